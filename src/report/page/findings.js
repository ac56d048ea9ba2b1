/**
 * Findings and places that show each other: press a finding to see its place, press a place to see its findings.
 * @param {number} index
 */
function linkFindings(index) {
  const floor = written.floors[index];
  const root = element(`#side-${index + 1}`);
  const list = element(`#findings-${index + 1}`);
  const plan = `#plan-${index + 1}`;
  const places = written.replays[index]?.places ?? [];

  const clear = () => {
    for (const marked of document.querySelectorAll(".is-marked")) marked.classList.remove("is-marked");
    for (const pressed of document.querySelectorAll("[aria-pressed=true]")) pressed.setAttribute("aria-pressed", "false");
  };

  /** @param {string} selector */
  const mark = (selector) => {
    for (const found of document.querySelectorAll(selector)) found.classList.add("is-marked");
  };

  /** @param {number} number */
  const button = (number) => list.querySelector(`button[data-number="${number}"]`);

  /** @param {Finding} finding */
  const markAll = (finding) => {
    mark(`${plan}-finding-${finding.number}`);
    for (const place of finding.places) mark(`${plan}-station-${place + 1}`);
    button(finding.number)?.setAttribute("aria-pressed", "true");
  };

  /** @param {Finding} finding */
  const showPlace = (finding) => {
    const wasPressed = button(finding.number)?.getAttribute("aria-pressed") === "true";
    clear();
    element(".told", root).textContent = "";
    if (wasPressed) return;
    showSide(index);
    markAll(finding);
    element(".told", root).textContent = `${finding.number}: ${finding.words}`;
    element(".floor", root).scrollIntoView({ block: "nearest" });
    say(`${finding.is_fault ? "Fault" : "Warning"} ${finding.number} is marked on the plan: ${finding.words}`);
  };

  /** @param {number} place @param {string} name */
  const showFindings = (place, name) => {
    const own = floor.findings.filter((finding) => finding.places.includes(place));
    clear();
    mark(`${plan}-station-${place + 1}`);
    for (const finding of own) {
      mark(`${plan}-finding-${finding.number}`);
      button(finding.number)?.setAttribute("aria-pressed", "true");
    }
    const words = own.map((finding) => `${finding.number}: ${finding.words}`).join(" ");
    const text = own.length > 0 ? `${name}: ${words}` : `${name}: nothing was found here.`;
    element(".told", root).textContent = text;
    say(text);
  };

  /**
   * @param {Element} target
   * @param {string} label
   * @param {() => void} press
   */
  const pressable = (target, label, press) => {
    target.setAttribute("tabindex", "0");
    target.setAttribute("role", "button");
    target.setAttribute("aria-label", label);
    target.addEventListener("click", press);
    target.addEventListener("keydown", (event) => {
      const { key } = /** @type {KeyboardEvent} */ (event);
      if (key !== "Enter" && key !== " ") return;
      event.preventDefault();
      event.stopPropagation();
      press();
    });
  };

  // A picture has no parts for those who do not see it, and this one is made of things to press.
  element(".floor svg", root).setAttribute("role", "group");
  for (const finding of floor.findings) {
    button(finding.number)?.addEventListener("click", () => showPlace(finding));
    const sign = document.querySelector(`${plan}-finding-${finding.number}`);
    sign?.addEventListener("click", () => showPlace(finding));
  }
  places.forEach((name, place) => {
    const group = document.querySelector(`${plan}-station-${place + 1}`);
    if (!group) return;
    const count = floor.findings.filter((finding) => finding.places.includes(place)).length;
    const found = count === 0 ? "no finding" : count === 1 ? "1 finding" : `${count} findings`;
    pressable(group, floor.to_scale ? `${name}, ${found}` : name, () => showFindings(place, name));
  });
}

/**
 * Where there is room for one plan only, which of them is seen.
 * @param {number} index
 */
function showSide(index) {
  document.body.dataset.side = String(index + 1);
  for (const choice of document.querySelectorAll(".switch button")) {
    choice.setAttribute("aria-pressed", String(choice.getAttribute("data-side") === String(index + 1)));
  }
}
