// Brings waiting photos to the server, one at a time, beside the entries: neither waits for the other. A photo goes to the
// address of its own hash, so that one that was cut off is sent again whole and two tabs do no harm.
import { changed } from "./outbox.js";
import { known } from "./outbox_store.js";
import { namesIn, photo, settlePhoto } from "./photo_store.js";

const PATIENCE_MS = 20_000;
const BYTES_PER_MS = 4;
const REFUSED = [413, 415, 422];

/**
 * Send all photos that wait and are this person's.
 * @param {string} person - id of who is signed in
 * @param {string} refused - words for a refusal without a reason
 * @returns {Promise<{is: "answered" | "away" | "sign-in", sent: number}>}
 */
export async function sendPhotos(person, refused) {
  let sent = 0;
  for (const hash of await namesIn("waiting")) {
    const found = await photo(hash);
    if (found?.state !== "waiting" || found.author !== person) continue;
    const { is, ...values } = await sendOne(found, person, refused);
    if (is !== "answered") return { is, sent };
    await settlePhoto(hash, values);
    sent += 1;
    changed();
  }
  return { is: "answered", sent };
}

async function sendOne(found, person, refused) {
  const address = `/sync/photos/${found.hash}`;
  // What may have arrived before is asked for first: a photo is large, and after a restore there are many.
  let answer = found.tried ? await asked(address, person) : null;
  if (!answer || answer.word === "missing") {
    await settlePhoto(found.hash, { tried: true });
    answer = await asked(address, person, found.bytes);
  }
  if (answer.is) return answer;
  if (answer.refused) return { is: "answered", state: "refused", reason: answer.reason ?? refused };
  // The word of another database than the entries know counts once they have heard of it (sending.js).
  const database = await known("database");
  if (database !== null && database !== answer.database) return { is: "away" };
  return { is: "answered", state: "sent", reason: null, settled_at: answer.server_time };
}

async function asked(address, person, bytes = null) {
  let response, answer;
  try {
    response = await fetch(address, {
      method: bytes ? "PUT" : "GET",
      body: bytes,
      headers: { "X-Walkabout": "photo", "X-Walkabout-Person": person, ...(bytes && { "Content-Type": "image/jpeg" }) },
      credentials: "same-origin",
      cache: "no-store",
      redirect: "error",
      signal: AbortSignal.timeout(PATIENCE_MS + (bytes?.byteLength ?? 0) / BYTES_PER_MS),
    });
    answer = await response.json();
  } catch {
    if (!response || response.ok) return { is: "away" };
  }
  if (response.ok) return typeof answer?.word === "string" ? answer : { is: "away" };
  if (response.status === 401 || response.status === 403) return { is: "sign-in" };
  if (REFUSED.includes(response.status)) return { refused: true, reason: answer?.detail };
  return { is: "away" };
}
