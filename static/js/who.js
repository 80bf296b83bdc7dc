// Who is signed in on this phone, as far as it knows: what the newest page from the server said.
import { known, know } from "./outbox_store.js";
import { madeAt, page } from "./page.js";

const NAME = "person"; // {id, name, said_at}; id null when nobody is

/**
 * The person who is signed in, {id, name}, or null. Learns it from this page if it is newer than what is known.
 * A kept page may be older than a sign-out and a sign-in again; the server has the last word when entries are sent.
 */
export async function signedIn() {
  const before = await known(NAME);
  if (!page.nobodys && madeAt() > (before?.said_at ?? 0)) {
    await know(NAME, { id: page.person?.id ?? null, name: page.person?.name ?? null, said_at: madeAt() });
    return page.person;
  }
  return before?.id ? { id: before.id, name: before.name } : page.person;
}

/** Note that nobody is signed in any more. */
export async function signedOut() {
  const before = await known(NAME);
  await know(NAME, { id: null, name: null, said_at: Math.max(madeAt(), before?.said_at ?? 0) });
}
