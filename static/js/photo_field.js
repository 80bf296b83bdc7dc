// "Add a photo" of an open note. The control is made here when a note opens, so that pages stay lean; without script the
// online form has one of its own. What is added stands as hidden fields named photos, as the entry's details have it.
import { canTakePhotos, madeSmall } from "./photo_picture.js";
import { photo } from "./photo_store.js";
import { text } from "./texts.js";

const MOST_PHOTOS = 4;

const taken = new WeakMap(); // of a form: the photos made on this phone, by hash
const busy = new WeakMap(); // of a form: resolves when what was chosen has been made small

/** Let a form take photos, with none or with those of an entry that it is to correct. */
export function readyPhotos(form, hashes = []) {
  for (const { address } of taken.get(form)?.values() ?? []) URL.revokeObjectURL(address);
  taken.set(form, new Map());
  busy.set(form, Promise.resolve());
  form.querySelector("[data-photos]")?.remove();
  if (!canTakePhotos()) return;
  form.querySelector(".keep-row").before(control(form));
  for (const hash of hashes) {
    const picture = row(form, hash, `/photos/${hash}/thumb`);
    photo(hash).then((here) => here && showFrom(picture, here.bytes)); // it may not be on the server yet
  }
  count(form);
}

/** The photos of a form that are only on this phone: {hash, bytes}; waits until those just chosen are ready. */
export async function photosOf(form) {
  await busy.get(form);
  return [...(taken.get(form)?.entries() ?? [])].map(([hash, { bytes }]) => ({ hash, bytes }));
}

function control(form) {
  const field = element("div", "field");
  field.dataset.photos = "";
  const label = element("label", "choice add-photo", text("add-photo"));
  const input = element("input", "");
  input.type = "file";
  input.accept = "image/*";
  input.multiple = true;
  input.addEventListener("change", () => {
    const files = [...input.files];
    input.value = ""; // the same one may be chosen again after it was removed
    busy.set(form, busy.get(form).then(() => add(form, files)));
  });
  label.append(input);
  const said = element("p", "error");
  said.setAttribute("role", "status");
  field.append(element("ul", "photo-rows"), label, said);
  return field;
}

async function add(form, files) {
  const said = form.querySelector("[data-photos] [role=status]");
  said.className = "faint";
  said.textContent = text("photo-making");
  const faults = [];
  for (const file of files) {
    if (rows(form).length >= MOST_PHOTOS) {
      faults.push(text("photos-enough", { count: MOST_PHOTOS }));
      break;
    }
    try {
      const { hash, bytes } = await madeSmall(file);
      if (rows(form).some((one) => one.dataset.photo === hash)) continue;
      const address = URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" }));
      taken.get(form).set(hash, { bytes, address });
      row(form, hash, address);
    } catch (error) {
      const { name } = file;
      faults.push(error.name === "heic" ? text("photo-heic", { name }) : text("photo-none", { name }));
    }
  }
  said.className = faults.length ? "error" : "faint";
  said.textContent = faults.join(" ");
  count(form);
}

function row(form, hash, address) {
  const number = rows(form).length + 1;
  const item = element("li", "");
  item.dataset.photo = hash;
  const picture = element("img", "thumb");
  picture.src = address;
  picture.alt = text("photo-number", { number });
  const hidden = element("input", "");
  hidden.type = "hidden";
  hidden.name = "photos";
  hidden.value = hash;
  hidden.dataset.list = "";
  const remove = element("button", "plain", text("remove-photo"));
  remove.type = "button";
  remove.setAttribute("aria-label", text("remove-photo-number", { number }));
  remove.addEventListener("click", () => {
    URL.revokeObjectURL(address);
    taken.get(form).delete(hash);
    item.remove();
    count(form);
    form.querySelector("[data-photos] input[type=file]").focus();
  });
  item.append(picture, hidden, remove);
  form.querySelector(".photo-rows").append(item);
  return picture;
}

function showFrom(picture, bytes) {
  picture.src = URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" }));
  picture.addEventListener("load", () => URL.revokeObjectURL(picture.src), { once: true });
}

const rows = (form) => [...form.querySelectorAll(".photo-rows > li")];

/** As many as an entry takes; and a photo alone is a note, which then needs no words. */
function count(form) {
  const many = rows(form).length;
  form.querySelector("[data-photos] input[type=file]").disabled = many >= MOST_PHOTOS;
  if (form.dataset.kind === "note") form.elements.words.required = many === 0;
}

function element(name, className, words = "") {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.textContent = words;
  return made;
}
