// Draws what waits on this phone for this plant: new entries above the story, corrections and withdrawals at the line
// that they are about, which is struck out.
import { dateWords, text } from "./texts.js";

let over = new Map();

/**
 * Draw the lines.
 * @param {HTMLElement} story - the list of the story
 * @param {object[]} records - of this plant
 * @param {number} madeAt - when the server made this page: what it had by then stands in the page itself
 * @param {string} today - civil date in the yard
 * @param {(record: object) => void} undo
 */
export function drawWaiting(story, records, madeAt, today, undo) {
  const shown = records.filter((record) => record.state !== "sent" || Date.parse(record.settled_at) > madeAt);
  const named = new Set(shown.map((record) => record.entry.withdraws ?? record.entry.replaces).filter(Boolean));
  const counting = shown.filter((record) => record.state === "refused" || !named.has(record.id));
  over = drawOver(counting, today, undo);
  const lines = counting
    .filter(({ entry, state }) => !entry.withdraws && (state === "refused" || !over.has(entry.replaces)))
    .reverse()
    .map((record) => line(record, today, undo));
  story.replaceChildren(...lines);
  story.parentElement.hidden = lines.length === 0;
  for (const told of document.querySelectorAll('[data-live="story"] a[href^="/entries/"]')) {
    told.classList.toggle("undone", named.has(told.getAttribute("href").split("/").at(-1)) || over.has(rootOf(told)));
  }
}

/** The record on this phone that holds over what the page says of an entry, a correction or a withdrawal; or undefined. */
export const waitingOver = (root) => over.get(root);

/** Of rival corrections and withdrawals the one made last holds, as on the server (walkabout/records/standing.py). */
function drawOver(records, today, undo) {
  const holds = new Map();
  for (const record of records.filter(({ state }) => state !== "refused").sort((one, other) => (one.id < other.id ? -1 : 1))) {
    const root = record.entry.replaces ?? record.entry.withdraws;
    if (root) holds.set(root, record);
  }
  const drawn = new Map();
  for (const place of document.querySelectorAll('[data-live="story"] li[data-root]')) {
    place.querySelector("[data-waiting]")?.remove();
    const record = holds.get(place.dataset.root);
    if (!record) continue;
    drawn.set(place.dataset.root, record);
    place.append(underLine(record, today, undo));
  }
  return drawn;
}

const rootOf = (told) => told.closest("[data-root]")?.dataset.root;

/** The list of what waits, made before the story when first asked for. */
export function waitingList() {
  const there = document.getElementById("waiting");
  if (there) return there.querySelector("ul");
  const section = element("section", "");
  section.id = "waiting";
  const title = element("h2", "", text("waiting-title"));
  title.id = "waiting-title";
  section.setAttribute("aria-labelledby", title.id);
  section.append(title, element("ul", "lines"));
  document.querySelector('[data-live="story"]').before(section);
  return section.querySelector("ul");
}

function line(record, today, undo) {
  const item = element("li", "line");
  item.dataset.waiting = record.id;
  const what = element("span", "what", record.words);
  what.append(element("span", "sub", `${stateWords(record)} · ${record.author_name}`));
  item.append(what, element("span", "when", dateWords(record.entry.seen_on, today)), act(record, undo));
  return item;
}

/** What stands under a line of the story: narrow, as it says what it does to that line. */
function underLine(record, today, undo) {
  const { withdraws, seen_on } = record.entry;
  const item = element("div", "line");
  item.dataset.waiting = record.id;
  const what = element("span", "what", withdraws ? text("taken-back-here") : record.words);
  const corrected = withdraws ? [] : [text("corrected-here"), dateWords(seen_on, today)];
  what.append(element("span", "sub", [...corrected, stateWords(record), record.author_name].join(" · ")));
  item.append(what, act(record, undo));
  return item;
}

const act = (record, undo) => (record.state === "refused" ? look() : undoButton(record, undo));

function undoButton(record, undo) {
  const button = element("button", "plain", text("undo"));
  button.type = "button";
  button.setAttribute("aria-label", text("undo-what", { what: record.words }));
  button.addEventListener("click", () => undo(record));
  return button;
}

function look() {
  const link = element("a", "go", text("look"));
  link.href = "/outbox";
  return link;
}

/** What is known of an entry's way to the server. */
export function stateWords(record) {
  if (record.state === "sent") return text("on-the-server");
  return text(record.state === "refused" ? "refused-one" : "waits");
}

function element(name, className, words = "") {
  const made = document.createElement(name);
  made.className = className;
  made.textContent = words;
  return made;
}
