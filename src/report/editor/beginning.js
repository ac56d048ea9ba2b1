/** @param {Beginning} begin */
function showBeginning(begin) {
  document.body.classList.add("is-beginning");
  element("#begin").hidden = false;
  write("#begin-file", `Nothing is written to ${begin.file} before you press Begin.`);
  field("#begin-stations").value = begin.stations;
  showChoices("#begin-projects", begin.projects);
}

/** The suggestions of a field. @param {string} selector @param {string[]} names */
function showChoices(selector, names) {
  const options = names.map((name) => {
    const option = document.createElement("option");
    option.value = name;
    return option;
  });
  element(selector).replaceChildren(...options);
}

async function begin() {
  const table = /** @type {HTMLTextAreaElement} */ (element("#begin-table")).value;
  const wish = {
    room: field("#begin-room").value,
    doors: field("#begin-doors").value,
    stations: field("#begin-stations").value,
    longest: field("#begin-longest").value,
    project: field("#begin-project").value,
    table,
  };
  button("#begin button[type=submit]").disabled = true;
  write("#begin-waits", "Places are looked for. That takes some seconds.");
  say("Places are looked for. That takes some seconds.");
  const answer = await ask({ ask: "begin", wish });
  button("#begin button[type=submit]").disabled = false;
  write("#begin-waits", "");
  if (answer.drawn) {
    document.body.classList.remove("is-beginning");
    element("#begin").hidden = true;
  }
  await hear(answer);
}

element("#begin").addEventListener("submit", (event) => {
  event.preventDefault();
  void begin();
});
