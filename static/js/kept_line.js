// After "Keep it" or "Take back": one line that says what was kept on this phone or taken back, with "Undo", and the way
// to the next plant.
import { text } from "./texts.js";

/**
 * Show what was kept. The line stays until the next one, or until it is taken back.
 * @param {HTMLElement} place - what it is put into, in front
 * @param {object[]} records - one, or one for each plant of a group
 * @param {boolean} many - whether they are about a group
 * @param {() => Promise<void>} undo
 */
export function showKept(place, records, many, undo) {
  const values = { count: records.length, what: records[0].words };
  const sort = records[0].entry.withdraws ? "-back" : many ? "-many" : "";
  const said = (name) => text(name + sort, values);
  const line = document.createElement("div");
  line.className = "kept";
  line.setAttribute("role", "status");
  const words = document.createElement("p");
  words.textContent = said("kept");
  const button = document.createElement("button");
  button.type = "button";
  button.className = "plain";
  button.textContent = text("undo");
  button.addEventListener("click", async () => {
    button.disabled = true; // one press is enough, and many entries take a moment
    await undo();
    words.textContent = said("undone");
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
