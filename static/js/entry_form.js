// The form of an entry: reading what was answered, putting answers in. The names of its fields are the names in the
// entry's details; what is not part of them is named here.
const BESIDE = new Set(["seen_on"]);

/** The controls that make up the details, in order. */
function* controls(form) {
  for (const control of form.elements) {
    if (control.name && !control.disabled && !BESIDE.has(control.name) && control.type !== "submit") yield control;
  }
}

const isTap = (control) => control.type === "radio" || control.type === "checkbox";

/**
 * What a form says.
 * @returns {{details: object, seen_on: string, words: string}} `words` tell it as the page shows it
 */
export function readForm(form) {
  const details = {};
  const words = [];
  for (const control of controls(form)) {
    if (isTap(control) && !control.checked) continue;
    const written = control.value.trim();
    if (!written) continue;
    if ("list" in control.dataset) details[control.name] = [...(details[control.name] ?? []), written];
    else details[control.name] = "number" in control.dataset ? asNumber(written) : written;
    // "Yes, seen" goes without saying beside what was seen.
    if (written !== "yes" && control.type !== "hidden") words.push(told(control, written));
  }
  const about = form.dataset.title && words.length ? `${form.dataset.title}: ` : "";
  return { details, seen_on: form.elements.seen_on.value, words: about + words.join(", ") };
}

/** Put answers into a form. Names that it has no field for are left out. */
export function fillForm(form, details, seenOn = null) {
  for (const control of controls(form)) {
    if (!(control.name in details)) continue;
    const wanted = [details[control.name]].flat().map(String);
    if (isTap(control)) control.checked = wanted.includes(control.value);
    else control.value = wanted[0] ?? "";
    if (isTap(control) ? control.checked : control.value) control.closest("details")?.setAttribute("open", "");
  }
  if (seenOn) form.elements.seen_on.value = seenOn;
}

/**
 * The part of these answers that a form just filled with them does not show, such as a task that is not offered any
 * more: a correction carries it on.
 */
export function unshown(form, details) {
  const shown = readForm(form).details;
  const left = {};
  for (const [name, value] of Object.entries(details)) {
    const missing = Array.isArray(value) ? value.filter((each) => !shown[name]?.includes(each)) : value;
    if (Array.isArray(value) ? missing.length : !(name in shown)) left[name] = missing;
  }
  return left;
}

/** Answers together with those that a form did not show; what was answered anew holds. */
export function together(left, details) {
  const both = { ...left, ...details };
  for (const [name, value] of Object.entries(left)) {
    if (Array.isArray(value) && name in details) both[name] = [...details[name], ...value];
  }
  return both;
}

/** The first group of answers of which one is needed and none is chosen, or null. A group of single answers that may be
 * left open has an answer for that, with an empty value; a group of several that may not is marked data-needed.
 * @param {object} carried - answers that are kept without being shown
 */
export function unanswered(form, carried = {}) {
  for (const group of form.querySelectorAll("fieldset")) {
    const several = "needed" in group.dataset;
    const answers = [...group.querySelectorAll(several ? "input[type=checkbox]" : "input[type=radio]")];
    if (!answers.length || answers[0].name in carried) continue;
    if (answers.every((answer) => answer.value !== "" && !answer.checked)) return group;
  }
  return null;
}

/** A number as people write it, with point or comma; left as text when it is none, for the server to say so. */
function asNumber(written) {
  const number = Number(written.replace(",", "."));
  return Number.isFinite(number) ? number : written;
}

function told(control, written) {
  if (isTap(control)) return control.closest("label").textContent.trim();
  if (control.tagName === "SELECT") return control.selectedOptions[0].textContent.trim();
  const label = control.labels?.[0]?.textContent.trim();
  return "number" in control.dataset || control.type === "date" ? `${label}: ${written}` : written;
}
