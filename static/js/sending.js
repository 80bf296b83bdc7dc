// Brings waiting entries to the server: in batches, each entry judged on its own, one bad one never in the way of the
// others. Two tabs may send the same entry at once; the server keeps it once, so nothing here need be exclusive.
import { offer } from "./exchange.js";
import { changed } from "./outbox.js";
import * as store from "./outbox_store.js";
import { forgetPhotosSentBefore, offerPhotosAgain } from "./photo_store.js";

const MOST_ENTRIES = 50;
const MOST_BYTES = 240_000; // the server takes 256 kB; what surrounds the entries needs some of it
const KEPT_SENT_DAYS = 30;
const HEARD_MS = 3_000;
const DAY_MS = 86_400_000;
const size = (entry) => new TextEncoder().encode(JSON.stringify(entry)).length + 1;

/**
 * Send all that waits and is this person's.
 * @param {string} person - id of who is signed in
 * @param {string} tooLarge - words for an entry that alone is too large
 * @returns {Promise<{is: "answered" | "away" | "sign-in", wait?: number | null, sent: number}>}
 */
export async function sendWaiting(person, tooLarge) {
  const waiting = (await store.inState("waiting")).filter((record) => record.entry.author === person);
  // Unless the server was heard a moment ago, knock first with an empty batch: its time and its database are news,
  // and while it is away no entry counts as tried, so that "Undo" can still make one disappear.
  const knock = Math.abs(Date.now() - ((await store.known("heard_at")) ?? 0)) > HEARD_MS;
  let sent = 0;
  let restored = false;
  for (const batch of [...(knock ? [[]] : []), ...batches(waiting)]) {
    const outcome = await sendBatch(batch, person, tooLarge);
    sent += outcome.sent;
    restored ||= outcome.restored === true;
    if (outcome.is !== "answered") {
      await store.know("heard_at", 0);
      return { ...outcome, sent };
    }
  }
  if (restored) {
    const again = await sendWaiting(person, tooLarge);
    return { ...again, sent: sent + again.sent };
  }
  const serverNow = Date.now() + ((await store.known("clock_difference")) ?? 0) * 1000;
  await store.forgetSentBefore(serverNow - KEPT_SENT_DAYS * DAY_MS);
  await forgetPhotosSentBefore(serverNow - KEPT_SENT_DAYS * DAY_MS);
  return { is: "answered", sent };
}

/** Split records into batches that the server takes. */
export function batches(records) {
  const all = [];
  let bytes = Infinity;
  for (const record of records) {
    const more = size(record.entry);
    if (bytes + more > MOST_BYTES || all.at(-1).length === MOST_ENTRIES) {
      all.push([]);
      bytes = 0;
    }
    all.at(-1).push(record);
    bytes += more;
  }
  return all;
}

async function sendBatch(batch, person, tooLarge) {
  const claimed = batch.length ? await store.claim(batch.map((record) => record.id)) : [];
  if (batch.length && !claimed.length) return { is: "answered", sent: 0 };
  const outcome = await offer(claimed.map((record) => record.entry), person);
  if (outcome.is === "too-much" || outcome.is === "unreadable") return halve(claimed, outcome, person, tooLarge);
  if (outcome.is !== "answered") return { ...outcome, sent: 0 };
  await store.know("clock_difference", outcome.difference);
  await store.know("heard_at", Date.now());
  if (claimed.length) await store.settle(outcome.answers, outcome.serverTime);
  const restored = await isAnother(outcome.database);
  if (claimed.length || restored) changed();
  return { is: "answered", sent: claimed.length, restored };
}

/** Whether the server's database is another one than before; then all that was sent waits again. */
async function isAnother(database) {
  const before = await store.known("database");
  if (before === database) return false;
  // Restored from a copy, or set up anew: it may lack what was sent since. Offering again stores nothing twice.
  // In this order: a tab closed in between offers once more the next time.
  if (before) {
    await store.offerAgain();
    await offerPhotosAgain();
  }
  await store.know("database", database);
  return before !== null;
}

/** A batch was turned away whole: find the entry that is to blame. */
async function halve(claimed, outcome, person, tooLarge) {
  if (claimed.length <= 1) {
    const reason = (outcome.is === "unreadable" && outcome.reason) || tooLarge;
    await store.settle(claimed.map(({ id }) => ({ id, word: "refused", reason })), new Date().toISOString());
    changed();
    return { is: "answered", sent: 0 };
  }
  const middle = Math.ceil(claimed.length / 2);
  let sent = 0;
  for (const half of [claimed.slice(0, middle), claimed.slice(middle)]) {
    const done = await sendBatch(half, person, tooLarge);
    sent += done.sent;
    if (done.is !== "answered") return { ...done, sent };
  }
  return { is: "answered", sent };
}
