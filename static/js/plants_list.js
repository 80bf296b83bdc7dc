// Narrows the list of plants while one types, on a page that holds all of them.
import { text } from "./texts.js";

/** Let the form #find narrow the list #plants in place. */
export function startPlantsList(form, list, count) {
  if (!form || !list || !("whole" in form.dataset)) return;
  const lines = [...list.children];
  const asked = new URLSearchParams(location.search);
  for (const name of ["search", "crop", "spot", "state"]) {
    if (asked.has(name) && form.elements[name]) form.elements[name].value = asked.get(name);
  }

  const narrow = () => {
    const words = folded(form.elements.search.value).split(/\s+/).filter(Boolean);
    let shown = 0;
    for (const line of lines) {
      const all = folded(line.dataset.words);
      const fits =
        words.every((word) => all.includes(word) || all.includes(word.replaceAll("-", ""))) &&
        ["crop", "spot", "state"].every((name) => {
          const wanted = form.elements[name]?.value;
          return !wanted || line.dataset[name] === wanted;
        });
      line.hidden = !fits;
      if (fits) shown += 1;
    }
    count.textContent = shown ? text("plants", { count: shown }) : text("no-plant-fits");
  };

  form.addEventListener("input", narrow);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    narrow();
    list.querySelector("li:not([hidden]) a")?.focus();
  });
  if ([...asked.keys()].length) narrow();
}

/** Text for comparing: no capitals, no accents. */
function folded(words) {
  return words.normalize("NFKD").replace(/\p{Mn}/gu, "").toLowerCase();
}
