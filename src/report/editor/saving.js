/** What is to be saved once somebody has said so. @type {Record<string, unknown> | null} */
let doubtful = null;

/** @param {Record<string, unknown>} question */
async function save(question) {
  const answer = await ask(question);
  doubtful = answer.conflict ? question : null;
  element("#conflict").hidden = !doubtful;
  write("#conflict-words", answer.conflict);
  if (answer.conflict) {
    say(answer.conflict);
    button("#save-anyway").focus();
    return;
  }
  await hear(answer);
  if (!answer.refused) field("#new-name").value = "";
}

button("#save").addEventListener("click", () => void save({ ask: "save", name: null }));
button("#save-anyway").addEventListener("click", () => void save({ ...doubtful, anyway: true }));
button("#save-not").addEventListener("click", () => {
  doubtful = null;
  element("#conflict").hidden = true;
  say("Nothing was saved.");
});
element("#save-new").addEventListener("submit", (event) => {
  event.preventDefault();
  void save({ ask: "save", name: field("#new-name").value });
});
