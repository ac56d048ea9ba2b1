/** What is drawn, or moved, on the plan beside stations. */
const drawing = {
  isOn: false,
  /** @type {[number, number] | null} */
  from: null,
  /** What is taken hold of, with where from its middle. @type {{thing: Thing, hold: [number, number]} | null} */
  held: null,
};

/** @param {boolean} isOn */
function showDrawing(isOn) {
  drawing.isOn = isOn;
  button("#draw").setAttribute("aria-pressed", String(isOn));
  floor.classList.toggle("is-drawn-on", isOn);
  if (isOn) say("Drag on the plan from one corner to the other; of a door from one end to the other.");
}

/** The thing in the way at a point of the floor. @param {[number, number]} at */
function thingAt([x, y]) {
  const things = shown.view?.shop?.room?.things ?? [];
  return things.find(({ low, high }) => low[0] <= x && x <= high[0] && low[1] <= y && y <= high[1]) ?? null;
}

/**
 * A dashed outline over the plan.
 * @param {[number, number]} one @param {[number, number]} other
 */
function showOutline(one, other) {
  floor.querySelector(".held")?.remove();
  const plan = shown.drawn?.plan;
  if (!plan) return;
  const outline = document.createElementNS(SVG, "rect");
  outline.setAttribute("x", String(plan.origin[0] + Math.min(one[0], other[0]) * plan.metre));
  outline.setAttribute("y", String(plan.origin[1] - Math.max(one[1], other[1]) * plan.metre));
  outline.setAttribute("width", String(Math.abs(one[0] - other[0]) * plan.metre));
  outline.setAttribute("height", String(Math.abs(one[1] - other[1]) * plan.metre));
  const held = document.createElementNS(SVG, "g");
  held.setAttribute("class", "held");
  held.append(outline);
  floor.querySelector("svg")?.append(held);
}

/** Where what is held would be, or what is drawn. @param {[number, number]} at @returns {[[number, number], [number, number]] | null} */
function drawnTo(at) {
  if (drawing.from) return [drawing.from, at];
  if (!drawing.held) return null;
  const { thing, hold } = drawing.held;
  const half = [0, 1].map((axis) => (thing.high[axis] - thing.low[axis]) / 2);
  const middle = [at[0] - hold[0], at[1] - hold[1]];
  return [
    [middle[0] - half[0], middle[1] - half[1]],
    [middle[0] + half[0], middle[1] + half[1]],
  ];
}

// Before what takes hold of stations.
floor.addEventListener(
  "pointerdown",
  (event) => {
    const at = onFloor(event);
    if (!at || event.button !== 0) return;
    if (drawing.isOn) drawing.from = at;
    else if (!stationUnder(event)) {
      const thing = thingAt(at);
      if (!thing) return;
      const middle = [0, 1].map((axis) => (thing.low[axis] + thing.high[axis]) / 2);
      drawing.held = { thing, hold: [at[0] - middle[0], at[1] - middle[1]] };
    } else return;
    event.stopImmediatePropagation();
    floor.setPointerCapture(event.pointerId);
  },
  { capture: true },
);
floor.addEventListener("pointermove", (event) => {
  const at = onFloor(event);
  const drawn = at && drawnTo(at);
  if (drawn) showOutline(...drawn);
});
floor.addEventListener("pointerup", (event) => {
  const at = onFloor(event);
  const drawn = at && drawnTo(at);
  const thing = drawing.held?.thing;
  [drawing.from, drawing.held] = [null, null];
  floor.querySelector(".held")?.remove();
  if (!drawn) return;
  const what = field("#draw-what").value;
  if (thing) {
    const isMoved = Math.hypot(drawn[0][0] - thing.low[0], drawn[0][1] - thing.low[1]) > 0.01;
    if (isMoved) void build({ build: "move_thing", name: thing.name, low: drawn[0] });
  } else void build({ build: "draw", name: what, corners: drawn });
  showDrawing(false);
});
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  [drawing.from, drawing.held] = [null, null];
  floor.querySelector(".held")?.remove();
  showDrawing(false);
});
button("#draw").addEventListener("click", () => showDrawing(!drawing.isOn));
element("#put-new").addEventListener("submit", (event) => {
  event.preventDefault();
  const lengths = ["#new-x", "#new-y", "#new-along", "#new-deep"].map((selector) => field(selector).value);
  void build({ build: "put_new", name: field("#draw-what").value, lengths });
});
