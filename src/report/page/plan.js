const SVG = "http://www.w3.org/2000/svg";
/** Radius of somebody on a plan, in units of the picture, and how far people stand apart who stand at one place. */
const BODY = 9;
const APART = 15;

/**
 * Something in a picture.
 * @param {string} name
 * @param {Record<string, string | number>} attributes
 * @param {Element} [within]
 */
function drawn(name, attributes, within) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  if (within) within.append(made);
  return made;
}

/** The first letter of a name, as a reader counts letters. @param {string} name */
function initial(name) {
  const letters = typeof Intl.Segmenter === "function" ? [...new Intl.Segmenter().segment(name)] : [];
  return (letters.length > 0 ? letters[0].segment : name.slice(0, 1)).toUpperCase();
}

/** @param {string} name */
function stateNamed(name) {
  const found = written.states.find((state) => state.name === name);
  if (!found) throw new Error(`there is no state ${name}`);
  return found;
}

/**
 * Who or what is followed: a person by number, -1 for nobody, or a lot.
 * @typedef {{person: number, lot: Lot | null}} Followed
 */

/**
 * One replay on its plan.
 * @param {number} index
 */
function createSide(index) {
  const [replay, floor] = [written.replays[index], written.floors[index]];
  const root = element(`#side-${index + 1}`);
  const svg = element(".floor svg", root);
  const overlay = drawn("g", { class: "overlay" }, svg);
  const track = drawn("polyline", { class: "track" }, overlay);
  const counters = countersOf(replay);
  const waiting = stateNamed("waiting");

  /** @param {[number, number]} at @returns {[number, number]} */
  const inPicture = ([x, y]) => [floor.origin[0] + x * floor.metre, floor.origin[1] - y * floor.metre];

  const stations = replay.stations.map((station, number) => {
    const group = svg.querySelector(`#plan-${index + 1}-station-${number + 1}`);
    const shape = group?.querySelector("path, rect") ?? null;
    const corner = floor.corners[number];
    const badge = corner ? drawn("g", { class: "badge" }, overlay) : null;
    if (badge && corner) {
      const [x, y] = inPicture(corner);
      badge.setAttribute("transform", `translate(${x + 4} ${y + 3})`);
      drawn("rect", { x: -10, y: -7, width: 20, height: 14 }, badge);
      drawn("text", { "text-anchor": "middle", y: 4 }, badge);
    }
    const units = Array.from({ length: station.units }, (_, unit) =>
      station.phases.filter((phase) => phase[5] === unit),
    );
    const rest = shape?.getAttribute("fill") ?? "none";
    return { station, group, shape, badge, units, rest, shown: "", told: "" };
  });

  const people = replay.people.map((person) => {
    const marker = drawn("g", { class: "person" }, overlay);
    const body = drawn("circle", { r: BODY }, marker);
    const letter = drawn("text", { "text-anchor": "middle", y: 4 }, marker);
    letter.textContent = initial(person.name) + (/\d{1,2}$/.exec(person.name)?.[0] ?? "");
    const load = drawn("g", { class: "load", transform: `translate(${BODY + 3} ${-BODY})` }, marker);
    drawn("rect", { x: -9, y: -6, width: 18, height: 12, rx: 2 }, load);
    const pieces = drawn("text", { "text-anchor": "middle", y: 3.5 }, load);
    drawn("title", {}, marker).textContent = person.name;
    return { person, marker, body, load, pieces };
  });

  /** Around the lot that is followed. */
  const ring = drawn("circle", { class: "lot-ring", r: BODY + 5 }, overlay);
  /** What is done with the lots that have been followed. @type {Map<number, LotPhase[]>} */
  const known = new Map();
  /** @param {number} lot */
  const phasesOf = (lot) => {
    const phases = known.get(lot) ?? lotPhases(replay, lot);
    known.set(lot, phases);
    return phases;
  };

  /** The number of the lot that is followed, as this side has it. @param {Followed} followed */
  const ownLot = ({ lot }) => (lot === null ? null : sameLot(replay, lot));

  const walked = element(".walked", root);
  const finished = element(".finished", root);
  const orders = element(".orders", root);
  const doing = element(".doing", root);
  const decided = element(".decided", root);
  const gear = element(".gear", root);

  /** @param {Element} target @param {string} text */
  const write = (target, text) => {
    if (target.textContent !== text) target.textContent = text;
  };

  /** @param {number} moment */
  function showStations(moment) {
    const shut = isShut(replay, moment);
    for (const shown of stations) {
      const busy = shown.units.map((unit) => phaseAt(unit, moment).now).filter((phase) => phase !== null);
      const state = busy.length > 0 ? written.states[busy[0][2]] : null;
      const stands = shut && state !== null && !["drying", "blocked"].includes(state.name);
      const fill = state && !stands ? state.fill : shown.rest;
      if (shown.shape && shown.shown !== fill) {
        shown.shape.setAttribute("fill", fill);
        shown.shown = fill;
      }
      const [queued, dries] = [queueAt(shown.station, moment), setAsideAt(shown.station, moment)];
      const told = `${queued > 0 ? queued : ""}${dries > 0 ? `+${dries}` : ""}`;
      if (shown.badge && shown.told !== told) {
        shown.badge.classList.toggle("is-shown", told !== "");
        write(element("text", shown.badge), told);
        shown.told = told;
      }
    }
  }

  /** @param {number} moment @param {number} followed */
  function showPeople(moment, followed) {
    /** @type {Map<number, number>} */
    const standing = new Map();
    people.forEach(({ person, marker, body, load, pieces }, number) => {
      const { at, phase, way, place, isAway } = personAt(replay, person, moment);
      marker.classList.toggle("is-gone", isAway || at === null);
      marker.classList.toggle("is-followed", number === followed);
      if (at === null) return;
      let [x, y] = inPicture(at);
      if (!way) {
        const before = standing.get(place) ?? 0;
        standing.set(place, before + 1);
        x += before * APART;
      }
      marker.setAttribute("transform", `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
      marker.dataset.at = `${at[0]} ${at[1]}`;
      const state = phase ? written.states[phase[2]] : waiting;
      if (body.getAttribute("fill") !== state.fill) body.setAttribute("fill", state.fill);
      const carries = ["carrying", "pushing", "handling"].includes(state.name) && phase !== null && phase[3] !== null;
      load.classList.toggle("is-shown", carries);
      if (carries && phase && phase[3] !== null) write(pieces, String(replay.lots[phase[3]].pieces));
      if (number === followed) {
        const points = way ? way.points.map(([px, py]) => inPicture([px, py]).join(",")).join(" ") : "";
        if (track.getAttribute("points") !== points) track.setAttribute("points", points);
      }
    });
    if (followed < 0) track.setAttribute("points", "");
  }

  /** @param {number} moment @param {number | null} lot */
  function showLot(moment, lot) {
    const at = lot === null ? null : lotAt(replay, phasesOf(lot), moment).at;
    ring.classList.toggle("is-shown", at !== null);
    if (at === null) return;
    const [x, y] = inPicture(at);
    ring.setAttribute("transform", `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
    ring.setAttribute("data-at", `${at[0]} ${at[1]}`);
  }

  /** @param {number} moment @param {Followed} followed */
  function words(moment, followed) {
    if (followed.lot !== null) {
      const lot = ownLot(followed);
      return lot === null ? `${followed.lot.called} is not built here` : lotWordsAt(replay, lot, phasesOf(lot), moment);
    }
    const person = replay.people[followed.person];
    return person ? `${person.name}: ${personWords(replay, person, moment)}` : "";
  }

  return {
    replay,
    root,
    stations,
    counters,
    words,
    /** @param {number} moment @param {Followed} followed */
    show(moment, followed) {
      root.classList.toggle("is-shut", isShut(replay, moment));
      showStations(moment);
      showPeople(moment, followed.person);
      showLot(moment, ownLot(followed));
      const metres = counters.walked(moment) / NANOS;
      walked.setAttribute("value", String(metres));
      write(walked, lengthWords(metres));
      const { count, seconds } = counters.finished(moment);
      finished.setAttribute("value", String(seconds));
      write(finished, timeWords(seconds));
      write(orders, counters.orders === 1 ? (count > 0 ? "done" : "so far") : `${count} of ${counters.orders} done`);
      write(doing, words(moment, followed));
      write(gear, gearWords(replay, moment));
      write(decided, decidedAt(replay, moment).words);
    },
  };
}
