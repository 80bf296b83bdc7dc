// "Keep it": from a filled form to an entry in the outbox, and what is said when that cannot be.
import { readForm, together, unanswered } from "./entry_form.js";
import { keep, keepAll } from "./outbox.js";
import { photosOf } from "./photo_field.js";
import { text } from "./texts.js";

/**
 * Let every form of an entry keep what it says on this phone; whether there is a network does not matter.
 * @param {() => Promise<{id: string, name: string} | null>} author
 * @param {() => {id: string, name: string}[]} plants - those that the entry is about, an entry for each
 * @param {(records: object[], form: HTMLFormElement) => void} kept - called once they are on the disk
 */
export function startKeeping(author, plants, kept) {
  document.addEventListener("submit", async (event) => {
    const form = event.target.closest("form.entry[data-kind]");
    if (!form) return;
    event.preventDefault();
    const button = form.querySelector("button.keep");
    if (button.disabled) return; // a second press while the first is being written
    button.disabled = true;
    try {
      const records = await keptFrom(form, await author(), plants());
      if (records) kept(records, form);
    } catch (error) {
      say(form, whyNot(error, (await photosOf(form)).length > 0));
    } finally {
      button.disabled = false;
    }
  });
}

function whyNot(error, withPhotos) {
  if (error.name !== "QuotaExceededError") return text("not-kept", { why: error.message });
  return withPhotos ? text("phone-full-photo") : text("phone-full");
}

async function keptFrom(form, author, plants) {
  form.querySelector(".error[role=alert]")?.remove();
  if (!author) return say(form, text("sign-in-to-note"));
  if (!plants.length) return say(form, text("tick-one"));
  const carried = JSON.parse(form.dataset.carries ?? "{}");
  const photos = await photosOf(form); // first: those just chosen become fields of the form
  const group = unanswered(form, carried);
  if (group) return say(group, text("choose-one"));
  const { details: answered, seen_on, words } = readForm(form);
  const details = together(carried, answered);
  if (!Object.keys(details).length) return say(form, text("say-something"));
  const draft = {
    kind: form.dataset.kind,
    form: Number(form.dataset.form),
    mends: form.dataset.mends,
    replaces: form.dataset.replaces,
    details,
    photos,
    seen_on,
    words: words || (details.photos ? text("photos-only", { count: details.photos.length }) : ""),
  };
  const about = ({ id, name }) => ({ ...draft, plant: form.dataset.plant ?? id, plant_name: name });
  return plants.length === 1 ? [await keep(about(plants[0]), author)] : keepAll(plants.map(about), author);
}

/** Say why nothing was kept, where it is to be put right. The answers stay. */
function say(place, words) {
  place.querySelector(".error[role=alert]")?.remove();
  const line = document.createElement("p");
  line.className = "error";
  line.setAttribute("role", "alert");
  line.textContent = words;
  if (place.matches("fieldset")) place.append(line);
  else place.querySelector("button.keep").before(line);
  line.scrollIntoView({ block: "nearest" });
  return null;
}
