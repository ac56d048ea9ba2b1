/**
 * What the program has written into the page.
 *
 * Moments are microseconds of the calendar, lengths nanometres, places on the floor metres.
 *
 * @typedef {[start: number, end: number, state: number, lot: number | null, operation: number | null, place: number,
 *   way: number | null, nanometres: number]} PersonPhase
 * @typedef {[start: number, end: number, state: number, lot: number | null, operation: number | null, unit: number]} UnitPhase
 * @typedef {{name: string, starts_at: number, phases: PersonPhase[], away: [number, number][]}} PersonTrack
 * @typedef {{name: string, units: number, phases: UnitPhase[], set_aside: [number, number, number][],
 *   queue: [number, number][]}} StationTrack
 * @typedef {{name: string, count: number, taken: [number, number, number][]}} GearTrack
 * @typedef {{name: string, pieces: number, project: string, order: number, called: string}} Lot
 * @typedef {{from: number, to: number, points: [x: number, y: number, nanometres: number][]}} Way
 * @typedef {{project: string, released: number, done: number | null, counts: boolean}} OrderTrack
 * @typedef {{candidate: string, replication: number, begins: number, ends: number,
 *   sessions: [opens: number, closes: number, shop: number][], people: PersonTrack[], stations: StationTrack[],
 *   gear: GearTrack[], lots: Lot[], decisions: [moment: number, words: string][], operations: string[], places: string[], standing: ([number, number] | null)[],
 *   ways: Way[], orders: OrderTrack[],
 *   figures: {walking_m: number, lead_time_s: number | null, orders_done: number}}} Replay
 * @typedef {{number: number, is_fault: boolean, short: string, words: string, places: number[]}} Finding
 * @typedef {{metre: number, origin: [number, number], to_scale: boolean, is_checked: boolean,
 *   corners: ([number, number] | null)[],
 *   findings: Finding[]}} Floor
 * @typedef {{name: string, words: string, fill: string}} State
 * @typedef {{begins: number, ends: number, keeps_hours: boolean, shut: [number, number][], days: [number, string][]}} ClockData
 * @typedef {{length: {per_unit: number, sign: string}, clock: ClockData, states: State[], floors: Floor[],
 *   replays: Replay[], findings: unknown}} PageData
 */

const MICROS = 1e6;
const NANOS = 1e9;

/**
 * An element that the page is known to have.
 * @param {string} selector
 * @param {ParentNode} within
 * @returns {HTMLElement}
 */
function element(selector, within = document) {
  const found = within.querySelector(selector);
  if (!found) throw new Error(`the page has no ${selector}`);
  return /** @type {HTMLElement} */ (found);
}

/** @type {PageData} */
const written = JSON.parse(element("#page-data").textContent || "{}");

/** The one place in which changes are read out. */
const liveRegion = element("#said");

/** @param {string} text */
function say(text) {
  liveRegion.textContent = text;
}

/**
 * How many entries of a list that rises by `key` are at most `limit`.
 * @template T
 * @param {T[]} list
 * @param {number} limit
 * @param {(entry: T) => number} key
 */
function countUpTo(list, limit, key) {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (key(list[middle]) <= limit) low = middle + 1;
    else high = middle;
  }
  return low;
}
