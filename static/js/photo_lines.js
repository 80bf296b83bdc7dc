// The photos on the outbox page that are on this phone only, each with what can be done with it.
import { changed } from "./outbox.js";
import { dropPhoto, photosIn, photoWaitsAgain } from "./photo_store.js";
import { momentWords, text } from "./texts.js";

const shown = new Map(); // addresses of the pictures, by hash

/** Fill the list. */
export async function drawPhotos(root, person) {
  const records = [...(await photosIn("refused")), ...(await photosIn("waiting"))];
  const list = root.querySelector('[data-list="photos"]');
  list.closest("section").hidden = records.length === 0;
  list.replaceChildren(...records.map((record) => line(record, person)));
  if (records.some(({ state, author }) => state === "waiting" && author === person?.id)) root.querySelector("#send-now").disabled = false;
}

function line(record, person) {
  const item = element("li", "outbox-entry");
  const row = element("div", "line");
  const picture = element("img", "thumb");
  if (!shown.has(record.hash)) shown.set(record.hash, URL.createObjectURL(new Blob([record.bytes], { type: "image/jpeg" })));
  picture.src = shown.get(record.hash);
  picture.alt = "";
  const what = element("span", "what");
  what.append(element("b", "told", record.plant_name), element("span", "sub", said(record, person)));
  row.append(what, picture);
  item.append(row, acts(record));
  return item;
}

function said(record, person) {
  if (record.state === "refused") return record.reason;
  if (record.author !== person?.id) return text("author-signs-in", { name: record.author_name });
  return text("kept-at", { time: momentWords(record.kept_at) });
}

function acts(record) {
  const row = element("p", "acts");
  const save = element("a", "choice", text("save-photo"));
  save.href = shown.get(record.hash);
  save.download = `walkabout-${record.hash.slice(0, 12)}.jpg`;
  row.append(save);
  if (record.state === "refused") {
    row.append(
      button("send-again", () => photoWaitsAgain(record.hash)),
      button("delete", () => confirm(text("delete-photo-sure")) && dropPhoto(record.hash)),
    );
  }
  return row;
}

function button(name, act) {
  const made = element("button", "", text(name));
  made.type = "button";
  made.addEventListener("click", async () => {
    await act();
    changed();
  });
  return made;
}

function element(name, className, words = "") {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.textContent = words;
  return made;
}
