/** Who asks for less motion sees one event after the other, so many milliseconds each. */
const STEP_MS = 1200;
/** What takes longer between two frames is not made up for. */
const LONGEST_FRAME_MS = 250;

/**
 * The lots of a replay to choose from, by order, in the order of their names.
 * @param {HTMLSelectElement} follow
 * @param {Replay} replay
 */
function offerLots(follow, replay) {
  /** @type {Map<number, HTMLOptGroupElement>} */
  const groups = new Map();
  const numbered = replay.lots.map((lot, index) => ({ lot, index }));
  numbered.sort((one, other) => one.lot.order - other.lot.order || one.lot.called.localeCompare(other.lot.called));
  for (const { lot, index } of numbered) {
    let group = groups.get(lot.order);
    if (!group) {
      group = document.createElement("optgroup");
      group.label = `order ${lot.order}: ${lot.project}`;
      groups.set(lot.order, group);
      follow.append(group);
    }
    group.append(new Option(`${lot.pieces} × ${lot.called}`, `lot ${index}`));
  }
}

/**
 * The clock that all sides follow.
 * @param {ReturnType<typeof createSide>[]} sides
 */
function createPlayer(sides) {
  const events = eventsOf(sides.map((side) => side.replay));
  const decisions = rising(sides.flatMap((side) => momentsOfDecisions(side.replay)));
  const play = /** @type {HTMLButtonElement} */ (element("#play"));
  const slider = /** @type {HTMLInputElement} */ (element("#at"));
  const speed = /** @type {HTMLSelectElement} */ (element("#speed"));
  const follow = /** @type {HTMLSelectElement} */ (element("#follow"));
  const shown = element("#clock");
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  let moment = written.clock.begins;
  let isPlaying = false;
  let before = 0;

  offerLots(follow, sides[0].replay);
  slider.max = String(pageTime.whole / MICROS);

  const isOver = () => moment >= written.clock.ends;

  /** @returns {Followed} */
  const followed = () => {
    const [kind, number] = follow.value.split(" ");
    const isLot = kind === "lot";
    return { person: isLot ? -1 : Number(number), lot: isLot ? sides[0].replay.lots[Number(number)] : null };
  };

  const show = () => {
    const whom = followed();
    for (const side of sides) side.show(moment, whom);
    const words = clockWords(moment);
    if (shown.textContent !== words) shown.textContent = words;
    slider.value = String(pageTime.of(moment) / MICROS);
    slider.setAttribute("aria-valuetext", words);
  };

  const tell = () => {
    const whom = followed();
    const told = sides.map((side) => {
      const metres = lengthWords(side.counters.walked(moment) / NANOS);
      const { words, isNow } = decidedAt(side.replay, moment);
      const decided = isNow ? `. Decided: ${words}` : "";
      return `${side.replay.candidate}: ${metres} walked. ${side.words(moment, whom)}${decided}`;
    });
    say(`${clockWords(moment)}. ${told.join(". ")}`);
  };

  /** @param {boolean} now */
  const setPlaying = (now) => {
    isPlaying = now;
    play.textContent = now ? "Pause" : "Play";
    document.body.classList.toggle("is-playing", now);
    if (!now) {
      tell();
      return;
    }
    if (isOver()) moment = written.clock.begins;
    before = performance.now();
    requestAnimationFrame(frame);
  };

  /** @param {number} to */
  const go = (to) => {
    moment = Math.min(Math.max(to, written.clock.begins), written.clock.ends);
    show();
  };

  const nextDecision = () => decisions[countUpTo(decisions, moment, (decision) => decision)] ?? written.clock.ends;
  const nextEvent = () => events[countUpTo(events, moment, (event) => event)] ?? written.clock.ends;
  const previousEvent = () => events[countUpTo(events, moment - 1, (event) => event) - 1] ?? written.clock.begins;

  /** @param {number} now */
  function frame(now) {
    if (!isPlaying) return;
    if (calm.matches) {
      if (now - before >= STEP_MS) {
        before = now;
        go(nextEvent());
      }
    } else {
      const passedMs = Math.min(now - before, LONGEST_FRAME_MS);
      before = now;
      go(pageTime.moment(pageTime.of(moment) + passedMs * 1000 * Number(speed.value)));
    }
    if (isOver()) setPlaying(false);
    else requestAnimationFrame(frame);
  }

  /** @param {number} to */
  const step = (to) => {
    if (isPlaying) setPlaying(false);
    go(to);
    tell();
  };

  play.addEventListener("click", () => setPlaying(!isPlaying));
  element("#next").addEventListener("click", () => step(nextEvent()));
  element("#next-decision").addEventListener("click", () => step(nextDecision()));
  element("#previous").addEventListener("click", () => step(previousEvent()));
  slider.addEventListener("input", () => go(pageTime.moment(Number(slider.value) * MICROS)));
  slider.addEventListener("change", tell);
  follow.addEventListener("change", () => {
    show();
    tell();
  });
  document.addEventListener("keydown", (event) => {
    const within = /** @type {Element} */ (event.target);
    const isTaken = within.closest("button, input, select, summary, a, [role=button]") !== null;
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === " " && !isTaken) {
      event.preventDefault();
      setPlaying(!isPlaying);
    } else if (event.key === ".") step(nextEvent());
    else if (event.key === ",") step(previousEvent());
    else if (event.key === ";") step(nextDecision());
  });
  show();
  return { go: step };
}
