// Draws what waits on this phone for this plant: new entries above the story, corrections and withdrawals at the line
// that they are about, which is struck out.
import { holders } from "./standing.js";
import { dateWords, text } from "./texts.js";

const LINE = '[data-live="story"] li[data-root]';

let over = () => undefined;

/**
 * Draw the lines.
 * @param {HTMLElement} story - the list of the story
 * @param {object[]} records - of this plant
 * @param {number} madeAt - when the server made this page: what it had by then stands in the page itself
 * @param {string} today - civil date in the yard
 * @param {{undo: (record: object) => void, correct: (record: object) => void}} acts
 */
export function drawWaiting(story, records, madeAt, today, acts) {
  const shown = records.filter((record) => record.state !== "sent" || Date.parse(record.settled_at) > madeAt);
  over = holders(shown);
  for (const place of document.querySelectorAll(LINE)) drawUnder(place, today, acts);
  const lines = shown
    .filter((record) => standsAlone(record))
    .reverse()
    .map((record) => line(record, today, acts));
  story.replaceChildren(...lines);
  story.parentElement.hidden = lines.length === 0;
}

/** The record on this phone that holds over what the page says of an entry, a correction or a withdrawal; or undefined. */
export const waitingOver = (root) => over(root);

/** Whether a record has a line of its own above the story: it holds, and the story has no line that it is about. */
function standsAlone(record) {
  const { replaces, withdraws } = record.entry;
  if (record.state === "refused") return !withdraws;
  if (withdraws || over(record.id)) return false;
  if (!replaces) return true;
  return over(replaces) === record && !document.querySelector(`${LINE}[data-root="${replaces}"]`);
}

function drawUnder(place, today, acts) {
  const { root } = place.dataset;
  place.querySelector("[data-waiting]")?.remove();
  const record = over(root);
  if (record) place.append(underLine(record, today, acts));
  const link = place.querySelector("a.line");
  link.classList.toggle("undone", Boolean(record ?? over(link.getAttribute("href").split("/").at(-1))));
}

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

function line(record, today, { undo, correct }) {
  const item = element("li", "line");
  item.dataset.waiting = record.id;
  const what = element("span", "what");
  if (record.state === "refused") what.append(record.words);
  else what.append(button("told", record.words, text("correct-what", { what: record.words }), () => correct(record)));
  what.append(element("span", "sub", `${stateWords(record)} · ${record.author_name}`));
  item.append(what, element("span", "when", dateWords(record.entry.seen_on, today)), act(record, undo));
  return item;
}

/** What stands under a line of the story: narrow, as it says what it does to that line. */
function underLine(record, today, { undo }) {
  const { withdraws, seen_on } = record.entry;
  const item = element("div", "line");
  item.dataset.waiting = record.id;
  const what = element("span", "what", withdraws ? text("taken-back-here") : record.words);
  const corrected = withdraws ? [] : [text("corrected-here"), dateWords(seen_on, today)];
  what.append(element("span", "sub", [...corrected, stateWords(record), record.author_name].join(" · ")));
  item.append(what, act(record, undo));
  return item;
}

function act(record, undo) {
  if (record.state === "refused") return look();
  return button("plain", text("undo"), text("undo-what", { what: record.words }), () => undo(record));
}

function button(className, words, label, press) {
  const made = element("button", className, words);
  made.type = "button";
  made.setAttribute("aria-label", label);
  made.addEventListener("click", press);
  return made;
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
