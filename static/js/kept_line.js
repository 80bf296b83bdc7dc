// After "Keep it": one line that says what was kept on this phone, with "Undo".
import { text } from "./texts.js";

/** Show what was kept. The line stays until the next one, or until it is taken back. */
export function showKept(place, record, undo) {
  const line = document.createElement("div");
  line.className = "kept";
  line.setAttribute("role", "status");
  const words = document.createElement("p");
  words.textContent = text("kept", { what: record.words });
  const button = document.createElement("button");
  button.type = "button";
  button.className = "plain";
  button.textContent = text("undo");
  button.addEventListener("click", async () => {
    await undo(record);
    line.replaceChildren(Object.assign(document.createElement("p"), { textContent: text("undone", { what: record.words }) }));
  });
  line.append(words, button);
  place.querySelector(":scope > .kept")?.remove();
  place.prepend(line);
}
