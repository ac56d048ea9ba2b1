/**
 * What is done with a lot: beginning, end, state, place, and the way on which it is taken there.
 * @typedef {{start: number, end: number, state: number, operation: number | null, place: number,
 *   phase: PersonPhase | null}} LotPhase
 */

/** What is told of a person or a unit while the lot itself lies elsewhere. */
const WITHOUT_THE_LOT = ["walking", "reserved", "taken", "serviced", "standing", "waiting", "away"];

/**
 * The lot of another replay that is the same one, if there it has ever been taken.
 * @param {Replay} replay
 * @param {Lot} lot
 */
function sameLot(replay, lot) {
  const found = replay.lots.findIndex((other) => other.called === lot.called && other.pieces === lot.pieces);
  return found < 0 ? null : found;
}

/**
 * All that is done with a lot, in its order; what somebody does comes before what a station does at the same moment.
 * @param {Replay} replay
 * @param {number} lot
 * @returns {LotPhase[]}
 */
function lotPhases(replay, lot) {
  /** @type {LotPhase[]} */
  const phases = [];
  const isWithIt = (/** @type {number} */ state) => !WITHOUT_THE_LOT.includes(written.states[state].name);
  for (const person of replay.people) {
    for (const phase of person.phases) {
      const [start, end, state, its, operation, place] = phase;
      if (its === lot && isWithIt(state)) phases.push({ start, end, state, operation, place, phase });
    }
  }
  const dries = written.states.findIndex((state) => state.name === "drying");
  replay.stations.forEach((station, place) => {
    for (const [start, end, state, its, operation] of station.phases) {
      if (its === lot && isWithIt(state)) phases.push({ start, end, state, operation, place, phase: null });
    }
    for (const [start, end, its] of station.set_aside) {
      if (its === lot) phases.push({ start, end, state: dries, operation: null, place, phase: null });
    }
  });
  return phases.sort((one, other) => one.start - other.start || Number(other.phase !== null) - Number(one.phase !== null));
}

/**
 * Where a lot is at a moment and what is done with it.
 * @param {Replay} replay
 * @param {LotPhase[]} phases
 * @param {number} moment
 * @returns {{at: [number, number] | null, now: LotPhase | null, place: number, isOver: boolean, isBegun: boolean}}
 */
function lotAt(replay, phases, moment) {
  const begun = phases.filter((phase) => phase.start <= moment);
  const now = begun.find((phase) => phase.end > moment) ?? null;
  // What has been carried lies where it was brought, whatever else goes on meanwhile.
  const last = begun.reduce(
    (/** @type {LotPhase | null} */ latest, phase) => (latest === null || phase.end >= latest.end ? phase : latest),
    null,
  );
  const firstWay = phases[0]?.phase?.[6] ?? null;
  const lies = firstWay === null ? (phases[0]?.place ?? 0) : replay.ways[firstWay].from;
  const place = (now ?? last)?.place ?? lies;
  const number = now?.phase?.[6] ?? null;
  const way = number === null ? null : replay.ways[number];
  const taken = way !== null && way.points.length > 0 ? (now?.phase ?? null) : null;
  const at = way && taken ? alongWay(way, passed(replay, taken, moment)) : replay.standing[place];
  return { at, now, place, isOver: begun.length === phases.length && now === null, isBegun: begun.length > 0 };
}

/**
 * What becomes of a lot at a moment, in words.
 * @param {Replay} replay
 * @param {number} lot
 * @param {LotPhase[]} phases
 * @param {number} moment
 */
function lotWordsAt(replay, lot, phases, moment) {
  const { pieces, called, order } = replay.lots[lot];
  const { now, place, isOver, isBegun } = lotAt(replay, phases, moment);
  const there = replay.places[place];
  const lies = () => {
    const released = replay.orders[order - 1]?.released ?? 0;
    if (isOver) return `all its steps are done, at ${there}`;
    if (!isBegun && moment < released) return "not ordered yet";
    return isShut(replay, moment) ? `lies at ${there}, shop shut` : `waits at ${there}`;
  };
  const does = () => {
    if (!now) return lies();
    const { name, words } = written.states[now.state];
    const operation = now.operation === null ? "" : replay.operations[now.operation];
    if (name === "carrying" || name === "pushing") return `is ${name === "carrying" ? "carried" : "pushed"} to ${there}`;
    if (name === "setup") return `${there} is set up for ${operation}`;
    if (name === "handling") return `is picked up or put down at ${there}`;
    if (name === "drying") return `dries at ${there}`;
    if (name === "blocked") return `is done at ${there} and cannot leave it yet`;
    return `${operation || words} at ${there}`;
  };
  return `${pieces} × ${called}: ${does()}`;
}
