// Photos on this phone, beside the entries of the outbox and kept together with them.
//
// A record: {
//   hash      its name: the SHA-256 of its bytes
//   bytes     the JPEG, an ArrayBuffer
//   state     "waiting", "refused" (the server said no), "sent"
//   author, author_name, plant_name
//   kept_at   milliseconds by the phone
//   tried     true once a request with it may have gone out
//   reason    why it was refused
//   settled_at  the server's time when it answered for it
// }
import { database } from "./outbox_schema.js";

const STRICT = { durability: "strict" };

async function change(work) {
  const transaction = (await database()).transaction(["photos", "entries"], "readwrite", STRICT);
  const [outcome] = await Promise.all([work(transaction.objectStore("photos"), transaction.objectStore("entries")), transaction.done]);
  return outcome;
}

/** Put photos in, within a transaction that keeps their entry. One that is here already stays as it is. */
export async function keepPhotos(photos, fresh) {
  for (const photo of fresh) {
    const found = await photos.get(photo.hash);
    if (!found || found.state === "refused") await photos.put(photo);
  }
}

/** The record of a new photo. */
export const madePhoto = ({ hash, bytes }, author, plantName) => ({
  hash, bytes, state: "waiting", author: author.id, author_name: author.name, plant_name: plantName,
  kept_at: Date.now(), tried: false, reason: null, settled_at: null,
});

/** All photos in a state. */
export const photosIn = async (state) => (await database()).getAllFromIndex("photos", "state", state);

/** The names of photos in a state. */
export const namesIn = async (state) => (await database()).getAllKeysFromIndex("photos", "state", state);

/** One photo, or undefined. */
export const photo = async (hash) => (await database()).get("photos", hash);

/** Note something of a photo that still waits. */
export const settlePhoto = (hash, values) =>
  change(async (photos) => {
    const found = await photos.get(hash);
    if (found?.state === "waiting") await photos.put({ ...found, ...values });
  });

/** Let a refused photo wait again. */
export const photoWaitsAgain = (hash) =>
  change(async (photos) => {
    const found = await photos.get(hash);
    if (found?.state === "refused") await photos.put({ ...found, state: "waiting", reason: null });
  });

/** Delete a refused photo; any other stays. */
export const dropPhoto = (hash) =>
  change(async (photos) => {
    const found = await photos.get(hash);
    if (found?.state === "refused") await photos.delete(hash);
  });

/** Delete those of the photos that have not been sent and that no entry on this phone names any more. */
export const dropUnnamed = (hashes) =>
  change(async (photos, entries) => {
    if (!hashes.length) return;
    const named = new Set((await entries.getAll()).flatMap(({ entry }) => entry.details.photos ?? []));
    for (const hash of hashes) {
      const found = await photos.get(hash);
      if (found && found.state !== "sent" && !named.has(hash)) await photos.delete(hash);
    }
  });

/** Let what was sent wait again: the server's database is another one than before. */
export const offerPhotosAgain = () =>
  change(async (photos) => {
    for (const sent of await photos.index("state").getAll("sent")) await photos.put({ ...sent, state: "waiting", settled_at: null });
  });

/** Forget sent photos that were settled before a time; never any other. */
export const forgetPhotosSentBefore = (when) =>
  change(async (photos) => {
    for (const sent of await photos.index("state").getAll("sent")) {
      if (Date.parse(sent.settled_at) < when) await photos.delete(sent.hash);
    }
  });
