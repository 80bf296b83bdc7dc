// After "Keep it": one line that says what was kept on this phone, with "Undo", and the way to the next plant.
import { text } from "./texts.js";

/**
 * Show what was kept. The line stays until the next one, or until it is taken back.
 * @param {HTMLElement} place - what it is put into, in front
 * @param {{kept: string, undone: string}} words - what is said first, and after it was taken back
 * @param {() => Promise<void>} undo
 */
export function showKept(place, { kept, undone }, undo) {
  const line = document.createElement("div");
  line.className = "kept";
  line.setAttribute("role", "status");
  const words = document.createElement("p");
  words.textContent = kept;
  const button = document.createElement("button");
  button.type = "button";
  button.className = "plain";
  button.textContent = text("undo");
  button.addEventListener("click", async () => {
    button.disabled = true; // one press is enough, and many entries take a moment
    await undo();
    words.textContent = undone;
    button.remove();
  });
  line.append(words, button, ...onward());
  place.querySelector(":scope > .kept")?.remove();
  place.prepend(line);
}

/** The link of the tag line to the next plant, once more, where the thumb is. */
function onward() {
  const next = document.querySelector('.walk a[href$="/next"]');
  return next ? [next.cloneNode(true)] : [];
}
