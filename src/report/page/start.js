for (const choice of document.querySelectorAll(".switch button")) {
  choice.addEventListener("click", () => showSide(Number(choice.getAttribute("data-side")) - 1));
}

const guess = element("#guess");
guess.hidden = false;
guess.addEventListener("click", () => {
  const hides = document.body.classList.toggle("is-guessing");
  guess.textContent = hides ? "Show the answer" : "Guess first";
});

written.floors.forEach((_, index) => linkFindings(index));

if (written.replays.length > 0) {
  createPlayer(written.replays.map((_, index) => createSide(index)));
  element("#player").hidden = false;
  for (const counted of document.querySelectorAll(".counters, .doing, .gear")) /** @type {HTMLElement} */ (counted).hidden = false;
}
