// The lines of the story: a press opens one in place, to correct its entry or take it back, also without a network.
// The server wrote on each line what its entry goes back to and what it says (templates/entries/_lines.html). A line
// that bears nothing, and every line without script, leads to the entry's own page.
import { renewIfAwaited } from "./live_page.js";
import { text } from "./texts.js";
import { waitingOver } from "./waiting_story.js";

const LINE = "li[data-root]";
const LINK = `${LINE} > a.line`;

/**
 * Let the lines open.
 * @param {(line: object) => void} correct
 * @param {(line: object) => Promise<void>} takeBack - both get {root, plant, kind, details, seen_on, words} as they
 *   stand, with what waits on this phone
 */
export function startStoryLines(correct, takeBack) {
  document.addEventListener("click", (event) => {
    const link = event.target.closest(LINK);
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (link.getAttribute("aria-expanded") === "true") close(link);
    else open(link, correct, takeBack);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === " " && event.target.matches(LINK)) {
      event.preventDefault(); // a button is pressed with the space bar too
      event.target.click();
    }
    const opened = event.key === "Escape" && event.target.closest(LINE)?.querySelector("a[aria-expanded=true]");
    if (opened) close(opened);
  });
  markLines();
}

/** Say of each line that it opens here. Call it again when the story was renewed. */
export function markLines() {
  for (const link of document.querySelectorAll(`${LINK}:not([aria-expanded])`)) {
    link.setAttribute("aria-expanded", "false");
    link.setAttribute("role", "button");
  }
}

/** Bring the focus to a line again after its entry was corrected. */
export function focusLine(root) {
  document.querySelector(`li[data-root="${CSS.escape(root)}"] > a.line`)?.focus({ preventScroll: true });
}

/** Where it is said what was taken back: above the story, so that it stays when the story is renewed. */
export function aboveStory() {
  const there = document.getElementById("taken-back");
  if (there) return there;
  const place = element("div", "");
  place.id = "taken-back";
  document.querySelector('[data-live="story"]').before(place);
  return place;
}

function open(link, correct, takeBack) {
  for (const other of document.querySelectorAll(`${LINK}[aria-expanded=true]`)) hide(other);
  const line = standing(link);
  const row = element("div", "acts");
  row.dataset.openHere = "";
  if (!line.takenBack) {
    row.append(
      button("correct", line, () => {
        hide(link);
        correct(line);
      }),
      button("take-back", line, async () => {
        close(link);
        await takeBack(line);
      }),
    );
  }
  const whole = element("a", "go", text("whole-entry"));
  whole.href = link.href;
  row.append(whole);
  link.after(row);
  link.setAttribute("aria-expanded", "true");
  row.scrollIntoView({ block: "nearest" });
}

function close(link) {
  hide(link);
  link.focus({ preventScroll: true });
  renewIfAwaited();
}

function hide(link) {
  link.parentElement.querySelector("[data-open-here]")?.remove();
  link.setAttribute("aria-expanded", "false");
}

/** What a line says by now: with a correction that waits on this phone. */
function standing(link) {
  const { root, plant, kind, answers, seenOn } = link.parentElement.dataset;
  const waiting = waitingOver(root)?.entry;
  return {
    root,
    plant,
    kind,
    details: waiting?.replaces ? waiting.details : JSON.parse(answers),
    seen_on: waiting?.replaces ? waiting.seen_on : seenOn,
    words: waiting?.replaces ? waitingOver(root).words : link.querySelector(".told").textContent.trim(),
    takenBack: Boolean(waiting?.withdraws),
  };
}

function button(name, line, act) {
  const made = element("button", "plain", text(name));
  made.type = "button";
  made.setAttribute("aria-label", text(`${name}-what`, { what: line.words }));
  made.addEventListener("click", act);
  return made;
}

function element(name, className, words = "") {
  const made = document.createElement(name);
  made.className = className;
  made.textContent = words;
  return made;
}
