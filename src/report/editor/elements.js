/**
 * What the program answers.
 *
 * Places on the floor are metres, turns degrees counter-clockwise.
 *
 * @typedef {{number: number, name: string, shown: string, at: [number, number], turn: number,
 *   written: [string, string]}} Station
 * @typedef {{number: number, is_fault: boolean, short: string, words: string, help: string | null,
 *   places: number[]}} Finding
 * @typedef {{value: number, words: string, difference: number | null, change: string | null}} Figure
 * @typedef {{runs: number, walking: Figure, lead_time: Figure | null}} Figures
 * @typedef {{faults: number, warnings: number, words: string, before: string | null}} Verdict
 * @typedef {{svg: string, metre: number, origin: [number, number]}} Plan
 * @typedef {{plan: Plan | null, stations: Station[], findings: Finding[], verdict: Verdict, figures: Figures | null}} Drawn
 * @typedef {{name: string, shown: string, verdict: string, walking: {value: number, words: string} | null,
 *   lead_time: {value: number, words: string} | null}} Beside
 * @typedef {{name: string, shown: string, unsaved: number}} LayoutChoice
 * @typedef {{about: string, stations: string[]}} Proposal
 * @typedef {{name: string, shown: string, ends: [[string, string], [string, string]]}} Door
 * @typedef {{name: string, shown: string, at: [string, string], size: [string, string], low: [number, number],
 *   high: [number, number]}} Thing
 * @typedef {{station: string, operation: string, shown: string,
 *   cells: {written: string | null, usual: string | null}[]}} TimesRow
 * @typedef {{kinds: string[], room: {size: [string, string] | null, doors: Door[], things: Thing[]} | null,
 *   time_keys: string[], times: TimesRow[], is_always_open: boolean}} Shop
 * @typedef {{file: string, stations: string, projects: string[], kinds: string[]}} Beginning
 * @typedef {{revision: number, file: string, can_save: boolean, can_improve: boolean, proposals: Proposal[], step: number,
 *   layouts: LayoutChoice[], layout: string, is_built: boolean, also: string[], hindered: string | null, shop: Shop | null,
 *   can_undo: boolean, can_redo: boolean, problems: string | null, drawn: Drawn, saved?: string, said?: string}} View
 * @typedef {Partial<View> & {beside?: Beside[], runs?: number, refused?: string, progress?: string, stale?: boolean, conflict?: string, is_new?: boolean,
 *   begin?: Beginning, others?: number}} Answer
 */

const SVG = "http://www.w3.org/2000/svg";

/**
 * An element that the page is known to have.
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {HTMLElement}
 */
function element(selector, within = document) {
  const found = within.querySelector(selector);
  if (!found) throw new Error(`the page has no ${selector}`);
  return /** @type {HTMLElement} */ (found);
}

/** @param {string} selector */
const button = (selector) => /** @type {HTMLButtonElement} */ (element(selector));

/** @param {string} selector */
const field = (selector) => /** @type {HTMLInputElement} */ (element(selector));

/**
 * Shows a text, or hides what would show it.
 * @param {string} selector
 * @param {string | null | undefined} text
 */
function write(selector, text) {
  const target = element(selector);
  if (target.textContent !== (text ?? "")) target.textContent = text ?? "";
}

/**
 * The one place in which changes are read out.
 * @param {string} text
 */
function say(text) {
  write("#said", text);
}
