// "Again": a first choice that notes the same as was noted last on another plant, for walking along a row.
import { fillForm, unshown } from "./entry_form.js";
import { text } from "./texts.js";

const DAY_MS = 86_400_000;
// What belongs to one plant only.
const OWN = ["photos", "limb", "task"];

/**
 * The note of today that can be made again here, or null: the last one of this phone, of another plant.
 * @param {object[]} records - all of this person on this phone
 * @param {string} plant - id of the plant of this page
 * @param {string} today - civil date in the yard
 */
export function lastElsewhere(records, plant, today) {
  const takenBack = new Set(records.map(({ entry }) => entry.withdraws).filter(Boolean));
  const noted = records
    .filter(({ entry, kept_at }) => entry.seen_on === today && Date.now() - kept_at < DAY_MS && !entry.withdraws)
    .filter(({ id, entry }) => !takenBack.has(id) && !("task" in entry.details))
    .sort((one, other) => (one.id < other.id ? 1 : -1));
  const last = noted.find(({ entry }) => entry.plant !== plant);
  if (!last) return null;
  const again = { id: last.id, kind: last.entry.kind, details: common(last.entry.details), words: last.words };
  const same = ({ entry }) => entry.plant === plant && entry.kind === again.kind && alike(common(entry.details), again.details);
  return noted.some(same) ? null : again;
}

/**
 * Show the choice in front of the others, or take it away. A choice whose note is open stays as it is.
 * @param {HTMLElement | null} list - the choices; null on the page of a plant that does not grow
 * @param {object | null} again
 */
export function drawAgain(list, again) {
  if (!list) return;
  const there = list.querySelector("[data-again]");
  if (there?.dataset.again === again?.id || there?.querySelector('[aria-expanded="true"]')) return;
  there?.remove();
  if (!again || !fits(again)) return;
  const choice = document.createElement("a");
  choice.className = "choice";
  choice.href = `${location.pathname}#note-${again.kind}`;
  choice.dataset.opens = `note-${again.kind}`;
  choice.dataset.preset = JSON.stringify(again.details);
  choice.textContent = text("again", { what: again.words });
  const item = document.createElement("li");
  item.dataset.again = again.id;
  item.append(choice);
  list.prepend(item);
}

/** Whether the form of this plant has all these answers: another crop has other problems and stages. */
function fits({ kind, details }) {
  const form = document.querySelector(`#note-${kind} form.entry`)?.cloneNode(true);
  if (!form || !Object.keys(details).length) return false;
  fillForm(form, details);
  return Object.keys(unshown(form, details)).length === 0;
}

const common = (details) => Object.fromEntries(Object.entries(details).filter(([name]) => !OWN.includes(name)));

const alike = (one, other) => JSON.stringify(Object.entries(one).sort()) === JSON.stringify(Object.entries(other).sort());
