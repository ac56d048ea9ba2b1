/** How often a window says that it is there, in milliseconds. */
const HERE = 5000;

/** By which number this window is known. */
const ownWindow = crypto.getRandomValues(new Uint32Array(1))[0];

async function tellHere() {
  const { others } = await ask({ ask: "here", window: ownWindow });
  if (others !== undefined) {
    write("#others", others > 0 ? "Another window shows the same shop: what is done in one is done in both." : "");
  }
  setTimeout(tellHere, HERE);
}

addEventListener("pagehide", () => {
  void fetch("ask", {
    method: "POST",
    keepalive: true,
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ ask: "gone", window: ownWindow }),
  });
});

void tellHere();
