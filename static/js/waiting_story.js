// Draws, at the top of the story, what waits on this phone for this plant; and marks the lines that it takes back.
import { dateWords, text } from "./texts.js";

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
  const takenBack = new Set(shown.map((record) => record.entry.withdraws ?? record.entry.replaces).filter(Boolean));
  const lines = shown
    .filter((record) => !(takenBack.has(record.id) && record.state !== "refused") && !record.entry.withdraws)
    .reverse()
    .map((record) => line(record, today, undo));
  story.replaceChildren(...lines);
  story.parentElement.hidden = lines.length === 0;
  for (const told of document.querySelectorAll('[data-live="story"] a[href^="/entries/"]')) {
    told.classList.toggle("undone", takenBack.has(told.getAttribute("href").split("/").at(-1)));
  }
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

function line(record, today, undo) {
  const item = element("li", "line");
  item.dataset.waiting = record.id;
  const what = element("span", "what", record.words);
  what.append(element("span", "sub", `${stateWords(record)} · ${record.author_name}`));
  const when = element("span", "when", dateWords(record.entry.seen_on, today));
  item.append(what, when);
  if (record.state === "refused") item.append(look());
  else item.append(undoButton(record, undo));
  return item;
}

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
