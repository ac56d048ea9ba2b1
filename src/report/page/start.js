for (const choice of document.querySelectorAll(".switch button")) {
  choice.addEventListener("click", () => showSide(Number(choice.getAttribute("data-side")) - 1));
}

written.floors.forEach((_, index) => linkFindings(index));

if (written.replays.length > 0) {
  createPlayer(written.replays.map((_, index) => createSide(index)));
  element("#player").hidden = false;
  for (const counted of document.querySelectorAll(".counters, .doing, .gear, .decided")) /** @type {HTMLElement} */ (counted).hidden = false;
}
