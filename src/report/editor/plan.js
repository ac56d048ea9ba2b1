/** What is shown: the answer that came last, and which station is chosen by its name. */
const shown = {
  /** @type {View | null} */
  view: null,
  /** @type {Drawn | null} */
  drawn: null,
  /** @type {string | null} */
  chosen: null,
};

const floor = element("#floor");

/** @param {string | null} name */
function stationNamed(name) {
  return shown.drawn?.stations.find((station) => station.name === name) ?? null;
}

/** @param {Station} station */
function groupOf(station) {
  return floor.querySelector(`#plan-1-station-${station.number + 1}`);
}

/**
 * The station to which something on the plan belongs.
 * @param {EventTarget | null} target
 */
function stationAt(target) {
  const group = target instanceof Element ? target.closest("[data-station]") : null;
  return group ? stationNamed(group.getAttribute("data-station")) : null;
}

/**
 * The topmost station that is pointed at, whatever is written over it.
 * @param {{clientX: number, clientY: number}} event
 */
function stationUnder(event) {
  const stations = document.elementsFromPoint(event.clientX, event.clientY).map(stationAt);
  return stations.find((station) => station !== null) ?? null;
}

/** Marks the chosen station and what is found about it. */
function markChosen() {
  for (const marked of document.querySelectorAll(".is-marked")) marked.classList.remove("is-marked");
  const station = stationNamed(shown.chosen);
  if (!station) return;
  groupOf(station)?.classList.add("is-marked");
  for (const finding of shown.drawn?.findings ?? []) {
    if (!finding.places.includes(station.number)) continue;
    floor.querySelector(`#plan-1-finding-${finding.number}`)?.classList.add("is-marked");
    element("#findings").querySelector(`[data-number="${finding.number}"]`)?.classList.add("is-marked");
  }
}

/**
 * Draws the plan anew, as the program has drawn it; what had the focus has it again.
 * @param {Drawn} drawn
 */
function showPlan(drawn) {
  if (!drawn.plan) return;
  const focused = stationAt(document.activeElement)?.name;
  const parsed = new DOMParser().parseFromString(drawn.plan.svg, "image/svg+xml");
  const svg = document.adoptNode(parsed.documentElement);
  svg.setAttribute("role", "group");
  floor.replaceChildren(svg);
  shown.drawn = drawn;
  for (const station of drawn.stations) {
    const group = groupOf(station);
    if (!group) continue;
    const count = drawn.findings.filter((finding) => finding.places.includes(station.number)).length;
    const found = count === 0 ? "no finding" : count === 1 ? "1 finding" : `${count} findings`;
    const [x, y] = station.written;
    group.setAttribute("data-station", station.name);
    group.setAttribute("tabindex", "0");
    group.setAttribute("role", "button");
    group.setAttribute("aria-label", `${station.shown} at ${x}, ${y}, turned ${station.turn}°, ${found}`);
    if (station.name === focused) /** @type {SVGElement} */ (group).focus({ preventScroll: true });
  }
  markChosen();
}

/**
 * Where on the floor something is pointed at, in metres.
 * @param {{clientX: number, clientY: number}} event
 * @returns {[number, number] | null}
 */
function onFloor(event) {
  const svg = floor.querySelector("svg");
  const plan = shown.drawn?.plan;
  const matrix = svg?.getScreenCTM();
  if (!plan || !matrix) return null;
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  return [(point.x - plan.origin[0]) / plan.metre, (plan.origin[1] - point.y) / plan.metre];
}

/**
 * The outline of a station where it is held, while the station itself is shown where it would come to stand.
 * @param {Station} station
 * @param {[number, number]} at
 */
function showHeld(station, at) {
  floor.querySelector(".held")?.remove();
  const plan = shown.drawn?.plan;
  const outline = groupOf(station)?.querySelector("path, rect");
  if (!plan || !outline) return;
  const held = document.createElementNS(SVG, "g");
  const right = (at[0] - station.at[0]) * plan.metre;
  const down = (station.at[1] - at[1]) * plan.metre;
  held.setAttribute("class", "held");
  held.setAttribute("transform", `translate(${right} ${down})`);
  held.append(outline.cloneNode());
  floor.querySelector("svg")?.append(held);
}
