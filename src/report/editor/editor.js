/** How often it is asked whether the file has changed, in milliseconds. */
const LOOKS = 1000;

/** How many answers with all runs are awaited. */
let awaited = 0;

/** @param {string} name */
function choose(name) {
  shown.chosen = name;
  markChosen();
  const station = stationNamed(name);
  element("#chosen").hidden = !station;
  if (!station) return;
  write("#chosen-name", station.shown);
  const isInForm = element("#chosen").contains(document.activeElement);
  if (isInForm && isTyping(document.activeElement)) return;
  [field("#x").value, field("#y").value] = station.written;
  field("#turn").value = String(station.turn);
}

/** @param {Drawn} drawn */
function showDrawn(drawn) {
  showFindings(drawn);
  showPlan(drawn);
  showFigures(drawn);
  if (shown.chosen) choose(shown.chosen);
}

/** @param {View} view */
function showView(view) {
  shown.view = view;
  showDrawn(view.drawn);
  const options = view.layouts.map((layout) => {
    const option = document.createElement("option");
    option.value = layout.name;
    option.textContent = layout.unsaved > 0 ? `${layout.shown} (not saved)` : layout.shown;
    option.selected = layout.name === view.layout;
    return option;
  });
  element("#layout").replaceChildren(...options);
  const unsaved = view.layouts.find((layout) => layout.name === view.layout)?.unsaved ?? 0;
  button("#undo").disabled = !view.can_undo;
  button("#redo").disabled = !view.can_redo;
  button("#save").disabled = !view.can_save || (unsaved === 0 && !view.is_built);
  button("#save-new button").disabled = !view.can_save || unsaved === 0;
  const also = view.also.map((name) => `"${name}"`).join(", ");
  const foreseen = also ? `Saving over it changes what is like it, too: ${also}.` : "";
  write("#foreseen", view.hindered ?? foreseen);
  const saves = `Nothing is written to ${view.file} before you save.`;
  write("#file", view.can_save ? saves : "What is shown is no file, so it cannot be saved: begin with --out FILE for a new one.");
  showProblems(view.problems);
  showProposals(view);
  showShop(view);
  showCompared();
}

/** @param {string | null | undefined} problems */
function showProblems(problems) {
  element("#problems").hidden = !problems;
  write("#problems pre", problems);
}

/**
 * Shows what has come of something.
 * @param {Answer} answer
 */
async function hear(answer) {
  write("#refused", answer.refused);
  element("#refused").hidden = !answer.refused;
  if (answer.refused) {
    say(answer.refused);
    if (shown.view) showDrawn(shown.view.drawn);
    return;
  }
  if (answer.begin) return showBeginning(answer.begin);
  if (!answer.drawn) return;
  const view = /** @type {View} */ (answer);
  showView(view);
  const told = answer.saved || answer.said;
  write("#told", told);
  say([told, inFewWords(view.drawn)].filter(Boolean).join(" "));
  await allRuns(view.revision);
}

/**
 * Asks for something and shows what has come of it.
 * @param {Record<string, unknown>} question
 */
async function settle(question) {
  await hear(await ask(question));
}

/**
 * All runs of what is shown, unless something else is shown by then.
 * @param {number} revision
 */
async function allRuns(revision) {
  awaited += 1;
  document.body.classList.add("is-playing");
  const answer = await ask({ ask: "figures" });
  awaited -= 1;
  document.body.classList.toggle("is-playing", awaited > 0);
  if (!answer.drawn || answer.revision !== revision || moving.station) return;
  shown.view = /** @type {View} */ (answer);
  showFigures(answer.drawn);
  say(inFewWords(answer.drawn));
}

async function look() {
  if (shown.view && !moving.station && !document.hidden) {
    const answer = await ask({ ask: "look", revision: shown.view.revision });
    // What has been done on the page meanwhile is shown already.
    if (answer.is_new && answer.revision !== shown.view.revision) await settle({ ask: "state" });
    else if (!answer.refused) showProblems(answer.problems);
  }
  setTimeout(look, LOOKS);
}

button("#undo").addEventListener("click", () => void settle({ ask: "undo" }));
button("#redo").addEventListener("click", () => void settle({ ask: "redo" }));
button("#turn-quarter").addEventListener("click", turnChosen);
element("#layout").addEventListener("change", () => {
  const name = /** @type {HTMLSelectElement} */ (element("#layout")).value;
  shown.chosen = null;
  if (compared) compared.shownNext = name;
  void settle({ ask: "layout", name });
});
element("#chosen").addEventListener("submit", (event) => {
  event.preventDefault();
  const at = [field("#x").value, field("#y").value];
  void settle({ ask: "place", station: shown.chosen, at, turn: field("#turn").value });
});
element("#chosen").addEventListener("keydown", (event) => {
  const station = stationNamed(shown.chosen);
  if (event.key === "Escape" && station) /** @type {SVGElement | null} */ (groupOf(station))?.focus();
});
/** @param {EventTarget | null} target */
const isTyping = (target) => target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement;

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || isTyping(event.target)) return;
  const key = event.key.toLowerCase();
  if (key !== "z" && key !== "y") return;
  event.preventDefault();
  const isRedo = key === "y" || event.shiftKey;
  if (isRedo ? shown.view?.can_redo : shown.view?.can_undo) void settle({ ask: isRedo ? "redo" : "undo" });
});

void settle({ ask: "state" }).then(look);
