// Who is signed in on this phone, as far as it knows: what the newest page from the server said.
import { known, know } from "./outbox_store.js";
import { page } from "./page.js";

const NAME = "person"; // {id, name, said_at}; id null when nobody is

/** The person who is signed in, {id, name}, or null. Learns it from this page if it is newer than what is known. */
export async function signedIn() {
  const before = await known(NAME);
  if (!page.nobodys && page.madeAt > (before?.said_at ?? 0)) {
    await know(NAME, { id: page.person?.id ?? null, name: page.person?.name ?? null, said_at: page.madeAt });
    return page.person;
  }
  return before?.id ? { id: before.id, name: before.name } : null;
}

/** Note that nobody is signed in any more. */
export async function signedOut() {
  const before = await known(NAME);
  await know(NAME, { id: null, name: null, said_at: Math.max(page.madeAt, before?.said_at ?? 0) });
}
