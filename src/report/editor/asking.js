/**
 * Asks the program, which answers one question after the other.
 * @param {Record<string, unknown>} question
 * @returns {Promise<Answer>}
 */
async function ask(question) {
  try {
    const sent = await fetch("ask", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(question),
    });
    document.body.classList.remove("is-alone");
    if (!sent.ok) return { refused: `The program does not answer that (${sent.status}).` };
    return /** @type {Answer} */ (await sent.json());
  } catch {
    document.body.classList.add("is-alone");
    return { refused: "The program has ended: begin again with `shopstride edit`. What was saved is in the file." };
  }
}

/**
 * Asks for the newest of many: one is on its way at a time, and of those that come meanwhile only the last is asked.
 * @param {(answer: Answer, asked: Record<string, unknown>, since: number) => void} heard told since when it was wanted
 */
function newestOnly(heard) {
  /** @type {{question: Record<string, unknown>, since: number} | null} */
  let next = null;
  let isAsking = false;
  return {
    /** @param {Record<string, unknown>} question */
    async ask(question) {
      next = { question, since: performance.now() };
      if (isAsking) return;
      isAsking = true;
      while (next) {
        const asked = next;
        next = null;
        const answer = await ask(asked.question);
        if (!answer.stale) heard(answer, asked.question, asked.since);
      }
      isAsking = false;
    },
    /** Forgets what has not been asked yet. */
    clear() {
      next = null;
    },
  };
}
