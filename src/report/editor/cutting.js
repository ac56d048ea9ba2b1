/** More letters than that the program does not take from a page. */
const LONGEST_LIST = 12000;

/** @returns {HTMLTextAreaElement} */
const listField = () => /** @type {HTMLTextAreaElement} */ (element("#list-table"));

element("#cut-list").addEventListener("submit", (event) => {
  event.preventDefault();
  const table = listField().value;
  if (table.length > LONGEST_LIST) {
    void hear({ refused: `The list is longer than ${LONGEST_LIST} letters: give it to \`shopstride new --cut-list\` instead, or in parts.` });
    return;
  }
  void build({ build: "cut_list", name: field("#list-name").value, table }).then(() => {
    if (element("#refused").hidden) listField().value = "";
  });
});

/** Reads a file that is chosen into the text below it. @param {string} chooser @param {string} text @param {string} name */
function readChosen(chooser, text, name) {
  field(chooser).addEventListener("change", async () => {
    const file = field(chooser).files?.[0];
    if (!file) return;
    if (file.size > LONGEST_LIST) {
      void hear({ refused: "This file is longer than a cut list can be here: give it to `shopstride new --cut-list`." });
      return;
    }
    /** @type {HTMLTextAreaElement} */ (element(text)).value = await file.text();
    if (field(name).value === "") field(name).value = file.name.replace(/\.csv$/i, "");
  });
}

readChosen("#list-file", "#list-table", "#list-name");
readChosen("#begin-list", "#begin-table", "#begin-project");
