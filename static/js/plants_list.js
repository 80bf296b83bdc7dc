// Narrows the lists of plants while one types, on a page that holds all of them.
import { text } from "./texts.js";

const FILTERS = ["crop", "spot", "state", "look"];

/**
 * Let a form narrow lists in place. The first list is in sight; the others are folded away, and open while they hold
 * something that was asked for.
 * @param {HTMLFormElement | null} form
 * @param {HTMLElement[]} lists
 * @param {HTMLElement | null} count - says how many plants of the first list are shown
 */
export function startPlantsList(form, lists, count) {
  if (!form || !lists.length || !("whole" in form.dataset)) return;
  const asked = new URLSearchParams(location.search);
  for (const name of ["search", ...FILTERS]) {
    const control = form.elements[name];
    if (!asked.has(name) || !control) continue;
    if (control.type === "checkbox") control.checked = true;
    else control.value = asked.get(name);
  }

  const narrow = () => {
    const words = folded(form.elements.search.value).split(/\s+/).filter(Boolean);
    const wanted = FILTERS.map((name) => [name, chosen(form.elements[name])]).filter(([, value]) => value);
    const fits = (line) => {
      const all = folded(line.dataset.words);
      return (
        words.every((word) => all.includes(word) || all.includes(word.replaceAll("-", ""))) &&
        wanted.every(([name, value]) => (line.dataset[name] ?? "") === value)
      );
    };
    const shown = lists.map((list) => {
      const lines = [...list.children];
      for (const line of lines) line.hidden = !fits(line);
      return lines.filter((line) => !line.hidden).length;
    });
    lists.slice(1).forEach((list, place) => {
      const part = list.closest("details");
      const number = shown[place + 1];
      part.hidden = number === 0;
      part.open = number > 0 && (words.length > 0 || wanted.length > 0);
      part.querySelector(".count").textContent = `(${number})`;
    });
    const none = shown.every((number) => number === 0);
    count.textContent = none ? text("no-plant-fits") : text("plants", { count: shown[0] || shown.reduce((sum, number) => sum + number, 0) });
  };

  form.addEventListener("input", narrow);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    narrow();
    lists.map((list) => list.querySelector("li:not([hidden]) a")).find(Boolean)?.focus();
  });
  if ([...asked.keys()].length) narrow();
}

/** What a filter is set to; nothing when it lets all pass. */
const chosen = (control) => (control?.type === "checkbox" && !control.checked ? "" : control?.value);

/** Text for comparing: no capitals, no accents. */
function folded(words) {
  return words.normalize("NFKD").replace(/\p{Mn}/gu, "").toLowerCase();
}
