// The page of a group: which of its plants are ticked. A note is kept for each of them.
import { text } from "./texts.js";

/**
 * Show the plants to be ticked, and let the buttons tick and untick several at once.
 * @param {HTMLElement} root - #ticks
 */
export function startTicks(root) {
  root.hidden = false;
  root.addEventListener("change", () => tell(root));
  root.addEventListener("click", (event) => {
    const button = event.target.closest("[data-tick]");
    if (!button) return;
    const { tick } = button.dataset;
    const ticked = tick === "all" || (tick !== "none" && button.getAttribute("aria-pressed") !== "true");
    for (const box of boxes(root)) if (tick === "all" || tick === "none" || isIn(box, tick)) box.checked = ticked;
    tell(root);
  });
  tell(root); // a browser may have kept the ticks of an earlier visit
}

/** The plants that are ticked: {id, name}, in walking order. */
export const tickedPlants = (root) =>
  boxes(root)
    .filter((box) => box.checked)
    .map((box) => ({ id: box.value, name: box.closest("label").textContent.trim() }));

const boxes = (root) => [...root.querySelectorAll("input[name=plant]")];
const isIn = (box, group) => (box.dataset.in ?? "").split(" ").includes(group);

/** Say how many are ticked; a group's button is pressed when all of its plants are. */
function tell(root) {
  const all = boxes(root);
  root.querySelector("#ticks-count").textContent = text("ticked", { count: all.filter((box) => box.checked).length, all: all.length });
  for (const button of root.querySelectorAll("[data-tick][aria-pressed]")) {
    const own = all.filter((box) => isIn(box, button.dataset.tick));
    button.setAttribute("aria-pressed", String(own.every((box) => box.checked)));
  }
}
