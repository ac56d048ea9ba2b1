/**
 * Layouts beside each other, at which revision that was said, and which of them is to be shown next.
 * @type {{revision: number, rows: Beside[], runs: number | null, shownNext: string | null} | null}
 */
let compared = null;

/** What was said of all layouts, until something changes. */
function showCompared() {
  const { view } = shown;
  if (view && compared?.shownNext === view.layout) {
    // One step, in which nothing but what is shown has changed.
    if (view.revision === compared.revision + 1) compared.revision = view.revision;
    compared.shownNext = null;
  }
  element("#compared").hidden = !view || view.layouts.length < 2;
  const now = view && compared?.revision === view.revision ? compared : null;
  element("#compared .scroll").hidden = !now;
  write("#compared-runs", now?.runs ? `Means of ${now.runs} ${now.runs === 1 ? "run" : "runs"}, with the same luck.` : "");
  if (!now || !view) return;
  const rows = now.rows.map((row) => {
    const line = document.createElement("tr");
    const name = cell("th", "", "row");
    const words = document.createElement("bdi");
    words.textContent = row.name === view.layout ? `${row.shown} (shown)` : row.shown;
    name.append(words);
    const figures = [row.walking, row.lead_time].map((figure) => {
      const made = cell("td", figure?.words ?? "not known");
      if (figure) made.dataset.value = String(figure.value);
      return made;
    });
    line.append(name, ...figures, cell("td", row.verdict));
    return line;
  });
  element("#compared tbody").replaceChildren(...rows);
}

button("#compare").addEventListener("click", async () => {
  const revision = shown.view?.revision ?? 0;
  button("#compare").disabled = true;
  write("#compared-runs", "All runs of all layouts are being played.");
  const answer = await ask({ ask: "beside" });
  button("#compare").disabled = false;
  if (answer.beside) compared = { revision, rows: answer.beside, runs: answer.runs ?? null, shownNext: null };
  showCompared();
  if (answer.refused) return void hear(answer);
  if (answer.stale) return write("#compared-runs", "Something else was asked for meanwhile: press it once more.");
  say(compared?.rows.map((row) => `${row.shown}: ${row.walking?.words ?? "not known how far"} walked, ${row.verdict}`).join("; ") ?? "");
});
