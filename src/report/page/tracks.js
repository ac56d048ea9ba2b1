/**
 * The phase that lasts at a moment, of phases that follow each other.
 * @template {PersonPhase | UnitPhase} T
 * @param {T[]} phases
 * @param {number} moment
 * @returns {{now: T | null, last: T | null}}
 */
function phaseAt(phases, moment) {
  const count = countUpTo(phases, moment, (phase) => phase[0]);
  const last = count > 0 ? phases[count - 1] : null;
  return { now: last && last[1] > moment ? last : null, last };
}

/**
 * Where a way leads after so much of it.
 * @param {Way} way
 * @param {number} share
 * @returns {[number, number]}
 */
function alongWay(way, share) {
  const { points } = way;
  const walked = points[points.length - 1][2] * share;
  const after = Math.min(countUpTo(points, walked, (point) => point[2]), points.length - 1);
  const [one, other] = [points[Math.max(after - 1, 0)], points[after]];
  const step = other[2] - one[2];
  const part = step > 0 ? (walked - one[2]) / step : 1;
  return [one[0] + (other[0] - one[0]) * part, one[1] + (other[1] - one[1]) * part];
}

/**
 * How much of a phase has passed, of the time in which the shop is open.
 * @param {Replay} replay
 * @param {PersonPhase | UnitPhase} phase
 * @param {number} moment
 */
function passed(replay, phase, moment) {
  const [from, to] = [shopTime(replay, phase[0]), shopTime(replay, phase[1])];
  return to > from ? Math.min(Math.max((shopTime(replay, moment) - from) / (to - from), 0), 1) : 1;
}

/**
 * Where somebody is at a moment, and in which phase.
 * @param {Replay} replay
 * @param {PersonTrack} person
 * @param {number} moment
 * @returns {{at: [number, number] | null, phase: PersonPhase | null, way: Way | null, place: number, isAway: boolean}}
 */
function personAt(replay, person, moment) {
  const { now, last } = phaseAt(person.phases, moment);
  const place = last ? last[5] : person.starts_at;
  const way = now && now[6] !== null ? replay.ways[now[6]] : null;
  const walks = way !== null && way.points.length > 0;
  const at = walks && now ? alongWay(way, passed(replay, now, moment)) : replay.standing[place];
  const gone = countUpTo(person.away, moment, (stretch) => stretch[0]);
  const isAway = isShut(replay, moment) || (gone > 0 && person.away[gone - 1][1] > moment);
  return { at, phase: now, way, place, isAway };
}

/**
 * How many lots wait at a station.
 * @param {StationTrack} station
 * @param {number} moment
 */
function queueAt(station, moment) {
  const count = countUpTo(station.queue, moment, (entry) => entry[0]);
  return count > 0 ? station.queue[count - 1][1] : 0;
}

/**
 * How many lots dry beside a station.
 * @param {StationTrack} station
 * @param {number} moment
 */
function setAsideAt(station, moment) {
  return station.set_aside.filter(([from, to]) => from <= moment && moment < to).length;
}

/**
 * All moments at which something begins or is decided, or an order is done, in their order.
 * @param {Replay[]} replays
 */
function eventsOf(replays) {
  /** @type {number[]} */
  const moments = [];
  for (const replay of replays) {
    for (const person of replay.people) moments.push(...person.phases.map((phase) => phase[0]));
    for (const order of replay.orders) moments.push(order.done ?? order.released);
    moments.push(...momentsOfDecisions(replay), replay.ends);
  }
  return rising(moments);
}

/**
 * Each moment once, in their order.
 * @param {number[]} moments
 */
function rising(moments) {
  const sorted = moments.sort((one, other) => one - other);
  return sorted.filter((moment, index) => index === 0 || moment > sorted[index - 1]);
}

/** @param {Replay} replay */
const momentsOfDecisions = (replay) => replay.decisions.map(([moment]) => moment);

/**
 * What was decided last up to a moment.
 * @param {Replay} replay
 * @param {number} moment
 * @returns {{words: string, isNow: boolean}}
 */
function decidedAt(replay, moment) {
  const count = countUpTo(replay.decisions, moment, (decision) => decision[0]);
  if (count === 0) return { words: "", isNow: false };
  const [decided, words] = replay.decisions[count - 1];
  return { words, isNow: decided === moment };
}

/**
 * How much of the gear is in use at a moment, in words.
 * @param {Replay} replay
 * @param {number} moment
 */
function gearWords(replay, moment) {
  const used = replay.gear.map(({ name, count, taken }) => {
    const now = taken.filter(([from, to]) => from <= moment && moment < to);
    return `${name}: ${now.reduce((sum, [, , amount]) => sum + amount, 0)} of ${count} in use`;
  });
  return used.join(" · ");
}

/**
 * A lot in words.
 * @param {Replay} replay
 * @param {number | null} index
 */
function lotWords(replay, index) {
  if (index === null) return "";
  const lot = replay.lots[index];
  return `${lot.pieces} × ${lot.name}`;
}

/**
 * What somebody does at a moment, in words.
 * @param {Replay} replay
 * @param {PersonTrack} person
 * @param {number} moment
 */
function personWords(replay, person, moment) {
  const { phase, place, isAway } = personAt(replay, person, moment);
  if (isAway) return isShut(replay, moment) ? "shop shut" : "away";
  if (!phase) return `waiting at ${replay.places[place]}`;
  const state = written.states[phase[2]];
  const lot = lotWords(replay, phase[3]);
  const operation = phase[4] === null ? "" : replay.operations[phase[4]];
  const there = replay.places[place];
  switch (state.name) {
    case "walking":
      return `walking to ${there}`;
    case "carrying":
    case "pushing":
      return `${state.name === "carrying" ? "carrying" : "pushing"} ${lot} to ${there}`;
    case "setup":
      return `setting up ${there} for ${operation} of ${lot}`;
    case "handling":
      return `handling ${lot} at ${there}`;
    case "serviced":
      return `seeing to ${there}`;
    default:
      return `${operation || state.words}, ${lot}, at ${there}`;
  }
}
