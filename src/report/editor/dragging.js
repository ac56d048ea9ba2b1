/** From this distance on, in pixels of the screen, a press is a drag. */
const DRAGGED = 4;
/** How many steps of the grid are taken at once with Shift. */
const MANY = 10;

/** What is being moved, and has not been put down yet. */
const moving = {
  /** @type {Station | null} */
  station: null,
  /** Where it is wanted. @type {[number, number]} */
  at: [0, 0],
  turn: 0,
  /** By the pointer: where it was taken hold of, from its middle. @type {[number, number] | null} */
  hold: null,
  /** @type {[number, number]} */
  pressed: [0, 0],
  isDragged: false,
  began: 0,
};

const trying = newestOnly((answer, asked, since) => {
  if (answer.refused) return say(answer.refused);
  if (!answer.drawn || !moving.station || asked.station !== moving.station.name) return;
  showPlan(answer.drawn);
  showFigures(answer.drawn);
  if (moving.hold) showHeld(/** @type {Station} */ (stationNamed(moving.station.name)), moving.at);
  performance.measure("moved to shown", { start: since });
});

function tryThere() {
  const { station, at, turn } = moving;
  if (!station) return;
  void trying.ask({ ask: "try", station: station.name, at, turn });
}

/** @param {Station} station */
function takeUp(station) {
  if (moving.station?.name === station.name) return;
  [moving.station, moving.at, moving.turn] = [station, [...station.at], station.turn];
}

/** Puts down what is being moved. */
async function putDown() {
  const { station, at, turn } = moving;
  if (!station) return;
  trying.clear();
  moving.station = null;
  moving.hold = null;
  await settle({ ask: "drop", station: station.name, at, turn });
}

/** Leaves everything where it was before. */
function letGo() {
  if (!moving.station) return;
  trying.clear();
  moving.station = null;
  moving.hold = null;
  if (shown.view) showDrawn(shown.view.drawn);
  say("Left where it was.");
}

floor.addEventListener("pointerdown", (event) => {
  const station = stationUnder(event);
  const at = onFloor(event);
  if (!station || !at || event.button !== 0) return;
  choose(station.name);
  takeUp(station);
  moving.hold = [at[0] - station.at[0], at[1] - station.at[1]];
  moving.pressed = [event.clientX, event.clientY];
  moving.isDragged = false;
  floor.setPointerCapture(event.pointerId);
});

floor.addEventListener("pointermove", (event) => {
  if (!moving.station || !moving.hold) return;
  const [x, y] = moving.pressed;
  if (!moving.isDragged && Math.hypot(event.clientX - x, event.clientY - y) < DRAGGED) return;
  moving.isDragged = true;
  const at = onFloor(event);
  if (!at) return;
  moving.at = [at[0] - moving.hold[0], at[1] - moving.hold[1]];
  const now = stationNamed(moving.station.name);
  if (now) showHeld(now, moving.at);
  tryThere();
});

floor.addEventListener("pointerup", (event) => {
  if (!moving.hold) return;
  floor.releasePointerCapture(event.pointerId);
  if (moving.isDragged) {
    void putDown();
    return;
  }
  const name = moving.station?.name ?? null;
  moving.station = null;
  moving.hold = null;
  const station = stationNamed(name);
  if (station) /** @type {SVGElement | null} */ (groupOf(station))?.focus({ preventScroll: true });
});

floor.addEventListener("pointercancel", letGo);

/** @type {Record<string, [number, number]>} */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** @param {KeyboardEvent} event */
const isTurn = (event) => event.key === "r" || event.key === "R";

// What is held by the pointer need not have the focus.
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") letGo();
  else if (moving.hold && isTurn(event)) turnChosen();
});

floor.addEventListener("keydown", (event) => {
  const station = stationAt(event.target);
  if (!station || event.ctrlKey || event.metaKey || event.altKey) return;
  const arrow = ARROWS[event.key];
  if (arrow) {
    event.preventDefault();
    takeUp(station);
    choose(station.name);
    const step = (shown.view?.step ?? 0) * (event.shiftKey ? MANY : 1);
    moving.at = [moving.at[0] + arrow[0] * step, moving.at[1] + arrow[1] * step];
    tryThere();
  } else if (isTurn(event) && !moving.hold) {
    event.preventDefault();
    choose(station.name);
    turnChosen();
  } else if (event.key === "Enter" || event.key === " ") {
    event.preventDefault();
    choose(station.name);
    field("#x").focus();
    field("#x").select();
  }
});

floor.addEventListener("keyup", (event) => {
  if (ARROWS[event.key] && !moving.hold) void putDown();
});

/** Turns the chosen station by a quarter, counter-clockwise. */
function turnChosen() {
  const station = stationNamed(shown.chosen);
  if (!station) return;
  takeUp(station);
  moving.turn = (moving.turn + 90) % 360;
  if (moving.hold) tryThere();
  else void putDown();
}
