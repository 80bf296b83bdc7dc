// The notes of a plant's page: a press on a choice opens its form in place, ready with what the choice says.
// A choice is a link with data-opens, the id of the note, and data-preset, answers that stand ready.
import { fillForm, unshown } from "./entry_form.js";
import { renewIfAwaited } from "./live_page.js";
import { readyPhotos } from "./photo_field.js";
import { text } from "./texts.js";

const CHOICE = "[data-opens]";
const OPENS = `${CHOICE}[aria-expanded]`;
const OPEN = `${CHOICE}[aria-expanded="true"]`;
// What a form for mending or correcting says of the entry that it is about.
const MARKS = ["mends", "replaces", "plant", "carries"];

/**
 * Let the choices open their notes.
 * @param {() => Promise<string>} today - the date that stands ready
 */
export function startNotePanels(today) {
  document.addEventListener("click", (event) => {
    const choice = event.target.closest(CHOICE);
    if (!choice || !note(choice)) return;
    event.preventDefault();
    if (choice.getAttribute("aria-expanded") === "true") closeNotes();
    else open(choice, today);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && event.target.closest(".note")) closeNotes();
    if (event.key === " " && event.target.matches(OPENS)) {
      event.preventDefault(); // a button is pressed with the space bar too
      event.target.click();
    }
  });
  markChoices();
}

/** Say of each choice that it opens something here. Call it again when choices were renewed. */
export function markChoices() {
  for (const choice of document.querySelectorAll(`${CHOICE}:not([aria-expanded])`)) {
    if (!note(choice)) continue;
    choice.setAttribute("aria-expanded", "false");
    choice.setAttribute("aria-controls", choice.dataset.opens);
    choice.setAttribute("role", "button");
  }
}

/**
 * Open the note of a kind with the answers of an entry, for mending or correcting it.
 * @param {{kind: string, details: object, seen_on: string}} entry
 * @param {string} today - the last day but one that may be chosen
 * @param {{mends?: string, replaces?: string, plant?: string, words?: string}} marks - what it mends, or corrects
 * @returns {HTMLFormElement | null} its form; null when this page has none
 */
export function openFilled(entry, today, { words, ...marks }) {
  const place = document.getElementById(`note-${entry.kind}`);
  if (!place) return null;
  hideAll();
  const form = cleared(place);
  for (const [name, value] of Object.entries(marks)) if (value) form.dataset[name] = value;
  // What stands ready in a fresh form is not what was answered.
  for (const control of form.elements) if (control.type === "radio" || control.type === "checkbox") control.checked = control.value === "";
  fillForm(form, entry.details, entry.seen_on);
  readyPhotos(form, entry.details.photos);
  form.dataset.carries = JSON.stringify(unshown(form, entry.details));
  bound(form, today);
  if (words) place.querySelector("h3").after(Object.assign(document.createElement("p"), { className: "corrects", textContent: words }));
  reveal(place);
  return form;
}

/** Close the open note; the focus goes back to the choice that opened it. */
export function closeNotes() {
  const choice = document.querySelector(OPEN);
  hideAll();
  choice?.focus();
  renewIfAwaited();
}

async function open(choice, today) {
  hideAll();
  const place = note(choice);
  const form = cleared(place);
  fillForm(form, JSON.parse(choice.dataset.preset || "{}"));
  choice.setAttribute("aria-expanded", "true");
  reveal(place);
  // A kept page is from another day perhaps.
  const day = await today();
  form.elements.seen_on.value = day;
  bound(form, day);
}

/** A day ahead may be chosen, for a phone west or east of the yard. */
function bound(form, day) {
  form.elements.seen_on.max = new Date(Date.parse(day) + 86_400_000).toISOString().slice(0, 10);
}

const note = (choice) => document.getElementById(choice.dataset.opens);

function hideAll() {
  for (const choice of document.querySelectorAll(OPEN)) choice.setAttribute("aria-expanded", "false");
  for (const place of document.querySelectorAll(".note")) place.hidden = true;
}

function reveal(place) {
  place.hidden = false;
  place.focus({ preventScroll: true });
  place.scrollIntoView({ block: "nearest" });
}

function cleared(place) {
  const form = place.querySelector("form.entry");
  form.reset();
  for (const mark of MARKS) delete form.dataset[mark];
  place.querySelector(".corrects")?.remove();
  form.querySelector(".error[role=alert]")?.remove();
  readyPhotos(form);
  return form;
}
