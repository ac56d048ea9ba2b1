/** How often it is asked how far a search is, in milliseconds. */
const PROGRESSES = 500;

/** @param {View} view */
function showProposals(view) {
  element("#better").hidden = !view.can_improve;
  const items = view.proposals.map((proposal, number) => {
    const item = document.createElement("li");
    const press = document.createElement("button");
    press.type = "button";
    press.textContent = `Show: ${proposal.about} (${proposal.stations.join(", ")})`;
    press.addEventListener("click", () => void settle({ ask: "take", proposal: number }));
    item.append(press);
    return item;
  });
  element("#proposals").replaceChildren(...items);
}

/** @param {boolean} isSearching */
function showSearching(isSearching) {
  button("#improve").disabled = isSearching;
  button("#stop").hidden = !isSearching;
}

async function improve() {
  showSearching(true);
  say("Better places are looked for, for a minute at most.");
  const asking = setInterval(async () => {
    const { progress } = await ask({ ask: "progress" });
    if (progress !== undefined && button("#improve").disabled) write("#progress", progress);
  }, PROGRESSES);
  const answer = await ask({ ask: "improve" });
  clearInterval(asking);
  showSearching(false);
  if (answer.stale) return write("#progress", "The search has ended, since something else was asked for.");
  const found = answer.proposals?.length ?? 0;
  const kept = "Undo leads back, and what you like can be saved as a new layout.";
  write("#progress", found > 0 ? kept : "Nothing better was found.");
  await hear(answer);
}

button("#improve").addEventListener("click", () => void improve());
button("#stop").addEventListener("click", () => void settle({ ask: "state" }));
