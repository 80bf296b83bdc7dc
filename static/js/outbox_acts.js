// What a person can do with an entry on the outbox page.
import { changed } from "./outbox.js";
import * as store from "./outbox_store.js";
import { dropUnnamed } from "./photo_store.js";

/** The address that opens the plant's page with the entry's answers in its form. */
export const mendAddress = (record) => `/plants/${record.entry.plant}#mend-${record.id}`;

/** The id of the refused entry that this page was opened to mend, or null. */
export const mendId = () => /^#mend-([0-9a-f-]{36})$/.exec(location.hash)?.[1] ?? null;

/** Let a refused entry wait again as it is; the server may judge it otherwise by now. */
export async function sendAgain(record) {
  await store.waitAgain(record.id);
  changed();
}

/** Delete a refused entry once the person has said so. */
export async function dropsAfterAsking(record, question) {
  if (!confirm(question)) return;
  await store.drop(record.id);
  await dropUnnamed(record.entry.details.photos ?? []);
  changed();
}

/** Hand the entries over as a file, exactly as they would be sent. */
export function saveToFile(records) {
  const entries = records.map(({ entry, words, plant_name, author_name, reason }) => ({ ...entry, words, plant_name, author_name, reason }));
  const file = new Blob([JSON.stringify({ entries }, null, 1)], { type: "application/json" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = `walkabout-outbox-${new Date().toISOString().slice(0, 10)}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
