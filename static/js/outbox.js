// What happens to an entry on the phone: it is kept, it may be taken back or mended, it is sent by sending.js.
import { civilDate, withOffset } from "./clock.js";
import * as store from "./outbox_store.js";
import { dropUnnamed, madePhoto } from "./photo_store.js";
import { uuid7 } from "./uuid7.js";

const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("walkabout-outbox") : null;
const listeners = new Set();

/** Call `listener` whenever the outbox changed, in this tab or another. */
export function onChange(listener) {
  listeners.add(listener);
}

/** Tell this tab and the others that the outbox changed. */
export function changed() {
  channel?.postMessage("changed");
  tell();
}

function tell() {
  for (const listener of listeners) listener();
}

channel?.addEventListener("message", tell);

/**
 * Keep an entry on this phone. Resolves only when it is on the disk.
 * @param {object} draft - {plant, kind, form, seen_on, details, words, plant_name}; replaces, withdraws, mends and photos ({hash, bytes}) where
 *   they apply
 * @param {{id: string, name: string}} author - who is signed in, for good
 * @returns {Promise<object>} the record kept
 */
export async function keep(draft, author) {
  const record = made(draft, author, await itself());
  const photos = (draft.photos ?? []).map((photo) => madePhoto(photo, author, draft.plant_name));
  const mended = draft.mends && (await store.record(draft.mends));
  if (draft.mends) await store.mend(draft.mends, record, photos);
  else await store.add(record, photos);
  if (mended) await dropUnnamed(mended.entry.details.photos ?? []);
  changed();
  return record;
}

/** Keep several entries at once, all of them or none, as `keep` does; none of them mends. */
export async function keepAll(drafts, author) {
  const phone = await itself();
  const records = drafts.map((draft) => made(draft, author, phone));
  await store.addAll(records, (drafts[0].photos ?? []).map((photo) => madePhoto(photo, author, drafts[0].plant_name)));
  changed();
  return records;
}

/** Take an entry back. What was never sent disappears; for anything else a withdrawing entry is kept. */
export async function undo(id, author, words) {
  const found = await store.record(id);
  return found ? (await undoAll([{ ...found, words }], author))[0] : "unknown";
}

/** Take several records back at once, each as `undo` does. */
export async function undoAll(records, author) {
  const phone = await itself();
  const withdrawals = records.map(({ id, entry, words, plant_name }) => {
    const draft = { plant: entry.plant, kind: "withdrawal", form: 1, seen_on: entry.seen_on, details: {}, withdraws: id, words, plant_name };
    return made(draft, author, phone);
  });
  const outcomes = await store.takeBack(withdrawals);
  await dropUnnamed(records.flatMap(({ entry }) => entry.details.photos ?? []));
  changed();
  return outcomes;
}

/** Today's date in the yard, as well as the phone knows it. */
export async function today(timeZone) {
  return civilDate(timeZone, await store.known("clock_difference"));
}

/** What this phone knows of itself and says in every entry. */
async function itself() {
  const device = await store.knownOr("device", () => uuid7(Date.now()));
  return { device, clock_difference: await store.known("clock_difference") };
}

function made(draft, author, { device, clock_difference }) {
  const now = new Date();
  const id = uuid7(now.getTime());
  return {
    id,
    state: "waiting",
    entry: {
      id,
      plant: draft.plant,
      kind: draft.kind,
      seen_on: draft.seen_on,
      made_at: withOffset(now),
      clock_difference,
      details: draft.details,
      replaces: draft.replaces ?? null,
      withdraws: draft.withdraws ?? null,
      author: author.id,
      device,
      form: draft.form,
    },
    words: draft.words,
    plant_name: draft.plant_name,
    author_name: author.name,
    kept_at: now.getTime(),
    tried: false,
    reason: null,
    settled_at: null,
  };
}
