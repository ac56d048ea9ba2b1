/**
 * @param {string} selector
 * @param {Figure | null | undefined} figure
 */
function showFigure(selector, figure) {
  const target = element(selector);
  write(`${selector} data`, figure?.words ?? "not known");
  element("data", target).setAttribute("value", String(figure?.value ?? ""));
  write(`${selector} .change`, figure?.change ?? "");
}

/** @param {Drawn} drawn */
function showFigures(drawn) {
  showFigure("#walking", drawn.figures?.walking);
  showFigure("#lead-time", drawn.figures?.lead_time);
  write("#verdict", drawn.verdict.words);
  write("#verdict-before", drawn.verdict.before);
  element("#verdict").classList.toggle("has-fault", drawn.verdict.faults > 0);
  const runs = drawn.figures?.runs;
  write(
    "#runs",
    runs === undefined
      ? "Nobody gets everywhere as it is drawn, so nobody knows how far people walk."
      : `Means of ${runs} ${runs === 1 ? "run" : "runs"}. They say nothing about a pace to work at.`,
  );
}

/** @param {Drawn} drawn */
function showFindings(drawn) {
  const list = element("#findings");
  const items = drawn.findings.map((finding) => {
    const item = document.createElement("li");
    const press = document.createElement("button");
    press.type = "button";
    press.dataset.number = String(finding.number);
    press.className = finding.is_fault ? "fault" : "warning";
    const sign = document.createElement("span");
    sign.className = "sign";
    sign.textContent = String(finding.number);
    const words = document.createElement("span");
    words.textContent = `${finding.is_fault ? "Fault" : "Warning"}: ${finding.words}`;
    press.append(sign, words);
    if (finding.help) {
      const help = document.createElement("span");
      help.className = "help";
      help.textContent = `What would help: ${finding.help}`;
      words.append(help);
    }
    press.addEventListener("click", () => {
      const station = shown.drawn?.stations.find(({ number }) => finding.places.includes(number));
      if (station) choose(station.name);
      floor.querySelector(`#plan-1-finding-${finding.number}`)?.classList.add("is-marked");
      floor.scrollIntoView({ block: "nearest" });
    });
    item.append(press);
    return item;
  });
  list.replaceChildren(...items);
  element("#no-findings").hidden = items.length > 0;
}

/** What has come of it, in few words. @param {Drawn} drawn */
function inFewWords(drawn) {
  const walking = drawn.figures?.walking;
  const walked = walking ? `${walking.words} walked${walking.change ? `, ${walking.change}` : ""}` : "no way everywhere";
  return `${walked}; ${drawn.verdict.words}`;
}
