// The outbox's tables on the phone. Steps only ever add: an older program must be able to open a newer outbox,
// because unsent entries may be in it. Never change or remove a step; add one, and raise nothing by hand.
import { openDB } from "../vendor/idb/idb.js";

export const NAME = "walkabout";

// Step n brings version n - 1 to version n.
const STEPS = [
  (database) => {
    // One record an entry: {id, state, entry, words, ...}, see outbox_store.js.
    const entries = database.createObjectStore("entries", { keyPath: "id" });
    entries.createIndex("state", "state");
    entries.createIndex("plant", "entry.plant");
    // What the phone knows about itself, by name: device, clock_difference, database, person.
    database.createObjectStore("phone");
  },
  (database) => {
    // One record a photo: {hash, state, bytes, ...}, see photo_store.js.
    const photos = database.createObjectStore("photos", { keyPath: "hash" });
    photos.createIndex("state", "state");
  },
];

let opened = null;

/** The open database; opened once a page, and again when the browser closed it. */
export function database() {
  opened ??= open().catch((error) => {
    opened = null;
    throw error;
  });
  return opened;
}

async function open() {
  const watch = {
    upgrade(fresh, from) {
      for (const step of STEPS.slice(from)) step(fresh);
    },
    // A newer program in another tab wants to add its steps: make way, and open again when needed.
    blocking: (_current, _wanted, event) => forget(event.target),
    terminated: () => forget(null),
  };
  try {
    return await openDB(NAME, STEPS.length, watch);
  } catch (error) {
    if (error.name !== "VersionError") throw error;
    // A newer program was here and has added steps that this one does not need.
    return openDB(NAME, undefined, watch);
  }
}

function forget(connection) {
  connection?.close();
  opened = null;
}
