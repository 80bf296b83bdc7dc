// What is written to and read from the outbox, each function one transaction. Browsers run transactions that write
// to the same table one after the other over all tabs, which is what makes "tried" and "undo" safe; no lock is held.
//
// A record: {
//   id        the entry's id
//   state     "waiting" (not yet answered for), "refused" (the server said no), "sent" (the server has it)
//   entry     the entry as it is sent, complete from the moment of saving
//   words     what it says, as shown beside the story
//   plant_name, author_name
//   kept_at   milliseconds by the phone
//   tried     true once a request with it may have gone out
//   reason    why it was refused
//   settled_at  the server's time when it answered for it
// }
import { database } from "./outbox_schema.js";
import { keepPhotos } from "./photo_store.js";

const STRICT = { durability: "strict" };

/** A change to the entries, and photos kept with them; resolves once all of it is on the disk. */
async function change(work, photos = []) {
  const transaction = (await database()).transaction(photos.length ? ["entries", "photos"] : ["entries"], "readwrite", STRICT);
  const pictures = photos.length ? keepPhotos(transaction.objectStore("photos"), photos) : null;
  try {
    const [outcome] = await Promise.all([work(transaction.objectStore("entries")), pictures, transaction.done]);
    return outcome;
  } catch (error) {
    undone(transaction); // an entry is never kept without its photos, or the other way round
    throw error;
  }
}

function undone(transaction) {
  try {
    transaction.abort();
  } catch {
    // The browser has done so.
  }
}

/** Keep a new record; fails, with nothing kept, when the phone has no room. */
export const add = (record, photos) => change((entries) => entries.add(record), photos);

/** Keep several new records, or none of them. */
export const addAll = (records, photos) => change((entries) => Promise.all(records.map((record) => entries.add(record))), photos);

/** Keep a record in place of a refused one that it mends. */
export const mend = (refusedId, record, photos) =>
  change(async (entries) => {
    const refused = await entries.get(refusedId);
    if (refused?.state === "refused") await entries.delete(refusedId);
    await entries.add(record);
  }, photos);

/** All records in a state, oldest first. */
export const inState = async (state) => (await database()).getAllFromIndex("entries", "state", state);

/** All records of a plant, oldest first. */
export const ofPlant = async (plant) => (await database()).getAllFromIndex("entries", "plant", plant);

/** One record, or undefined. */
export const record = async (id) => (await database()).get("entries", id);

/**
 * Say that a request with these entries goes out now.
 * @returns the records that still wait; what was undone meanwhile is not among them
 */
export const claim = (ids) =>
  change(async (entries) => {
    const claimed = [];
    for (const id of ids) {
      const found = await entries.get(id);
      if (found?.state !== "waiting") continue;
      claimed.push({ ...found, tried: true });
      if (!found.tried) await entries.put(claimed.at(-1));
    }
    return claimed;
  });

/**
 * Write down the server's word for each entry. Only "stored" and "here" take an entry out of waiting as sent.
 * @param {{id: string, word: string, reason: string | null}[]} answers
 * @param {string} when - the server's time
 */
export const settle = (answers, when) =>
  change(async (entries) => {
    for (const { id, word, reason } of answers) {
      const found = await entries.get(id);
      if (found?.state !== "waiting") continue;
      if (word === "stored" || word === "here") {
        await entries.put({ ...found, state: "sent", reason: null, settled_at: when });
      } else if (word === "refused") {
        await entries.put({ ...found, state: "refused", reason, settled_at: when });
      }
    }
  });

/**
 * Take entries back: each that never went out disappears, for any other the withdrawal is kept beside it.
 * @param {object[]} withdrawals - records that withdraw
 * @returns {Promise<("gone" | "withdrawn" | "unknown")[]>} one word for each
 */
export const takeBack = (withdrawals) =>
  change(async (entries) => {
    const outcomes = [];
    for (const withdrawal of withdrawals) {
      const found = await entries.get(withdrawal.entry.withdraws);
      const out = found?.tried && found.state !== "refused";
      if (out) await entries.add(withdrawal);
      else if (found) await entries.delete(found.id);
      outcomes.push(out ? "withdrawn" : found ? "gone" : "unknown");
    }
    return outcomes;
  });

/** Let a refused entry wait again. */
export const waitAgain = (id) =>
  change(async (entries) => {
    const found = await entries.get(id);
    if (found?.state === "refused") await entries.put({ ...found, state: "waiting", reason: null });
  });

/** Delete a refused entry; any other stays. */
export const drop = (id) =>
  change(async (entries) => {
    const found = await entries.get(id);
    if (found?.state === "refused") await entries.delete(id);
  });

/** Let what was sent wait again: the server's database is another one than before, and may lack it. */
export const offerAgain = () =>
  change(async (entries) => {
    for (const sent of await entries.index("state").getAll("sent")) {
      await entries.put({ ...sent, state: "waiting", settled_at: null });
    }
  });

/** Forget sent entries that were settled before a time; never any other. */
export const forgetSentBefore = (when) =>
  change(async (entries) => {
    for (const sent of await entries.index("state").getAll("sent")) {
      if (Date.parse(sent.settled_at) < when) await entries.delete(sent.id);
    }
  });

/** What the phone knows under a name, or null. */
export const known = async (name) => (await (await database()).get("phone", name)) ?? null;

/** Let the phone know something under a name. */
export const know = async (name, value) => {
  await (await database()).put("phone", value, name);
};

/** What the phone knows under a name; made and kept first where there is nothing yet. */
export const knownOr = async (name, make) => {
  const transaction = (await database()).transaction("phone", "readwrite", STRICT);
  let value = await transaction.store.get(name);
  if (value === undefined) {
    value = make();
    await transaction.store.put(value, name);
  }
  await transaction.done;
  return value;
};
