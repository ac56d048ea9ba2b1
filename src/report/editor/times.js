/** What the table shows, so that it is not written anew while somebody is in it. */
let timesShown = "";

/** @param {Shop} shop */
function showTimes(shop) {
  const now = JSON.stringify(shop.times);
  if (now === timesShown) return;
  timesShown = now;
  const focused = document.activeElement?.getAttribute("aria-label");
  const head = document.createElement("tr");
  head.append(...["Station and work", ...shop.time_keys].map((words) => cell("th", words, "col")));
  element("#times thead").replaceChildren(head);
  element("#times tbody").replaceChildren(...shop.times.map((row) => timesRow(row, shop.time_keys)));
  if (!focused) return;
  const again = [...element("#times").querySelectorAll("input")].find((input) => input.getAttribute("aria-label") === focused);
  again?.focus();
}

/** @param {"th" | "td"} tag @param {string} words @param {string} [scope] */
function cell(tag, words, scope) {
  const made = document.createElement(tag);
  made.textContent = words;
  if (scope) made.setAttribute("scope", scope);
  return made;
}

/** @param {TimesRow} row @param {string[]} keys */
function timesRow(row, keys) {
  const line = document.createElement("tr");
  line.append(cell("th", row.shown, "row"));
  row.cells.forEach(({ written, usual }, nth) => {
    const input = lengthField(`${row.shown}, ${keys[nth]}`, written ?? "");
    input.placeholder = usual ?? "";
    if (usual) input.title = `${usual} where nothing is written`;
    input.addEventListener("change", () => {
      const { station, operation } = row;
      void build({ build: "time", station, operation, key: keys[nth], written: input.value }).then(() => {
        if (!element("#refused").hidden) input.value = written ?? "";
      });
    });
    const made = cell("td", "");
    made.append(input);
    line.append(made);
  });
  return line;
}
