const guess = element("#guess");
const guesses = /** @type {HTMLFormElement} */ (element("#guesses"));

/** Hides the answer until a guess has been made. @param {boolean} hides */
function hideAnswer(hides) {
  document.body.classList.toggle("is-guessing", hides);
  guesses.hidden = !hides;
  guess.textContent = hides ? "Show it without a guess" : "Guess first";
  if (hides) /** @type {HTMLElement | null} */ (guesses.querySelector("input"))?.focus();
}

/** What was guessed, in words. @param {FormData} said */
function guessInWords(said) {
  const [less, holdsUp] = ["walks-less", "holds-up"].map((name) => said.get(name));
  const walking = less === null ? [] : [less === "" ? "no difference in walking" : `“${less}” takes less walking`];
  return [...walking, `${String(holdsUp).trim()} holds the work up`].join("; ");
}

guess.hidden = false;
guess.addEventListener("click", () => hideAnswer(guesses.hidden));
guesses.addEventListener("submit", (event) => {
  event.preventDefault();
  const row = document.createElement("li");
  const words = document.createElement("bdi");
  words.textContent = `Guessed: ${guessInWords(new FormData(guesses))}.`;
  row.append(words);
  element("#guessed").append(row);
  element("#guessed").hidden = false;
  guesses.reset();
  hideAnswer(false);
  guess.focus();
});
