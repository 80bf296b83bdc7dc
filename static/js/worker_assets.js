// The program's own files in the worker's cache, and which caches are older than this one.

const PREFIX = "walkabout-";
/** The cache of photos, which belongs to no version. */
export const PHOTOS = `${PREFIX}photos`;
// Kept in the cache itself: the caches that stood there when this one was begun.
const OLDER = "/-/older-caches";
const AT_ONCE = 6;

/** The name of the cache of a version. */
export const cacheName = (program) => PREFIX + program;

/** The names of all caches of this site's program, of any version. */
export const cacheNames = async () => (await caches.keys()).filter((name) => name.startsWith(PREFIX));

/** Whether an address is one of the program's files. */
export const belongs = ({ assets }, url) => assets.includes(url.pathname + url.search);

/** A file: the kept one, else the server's. */
export async function answer({ program }, request) {
  // Not by opening the cache: that would make it anew if a newer version has deleted it a moment ago.
  return (await caches.match(request, { cacheName: cacheName(program) })) ?? fetch(request);
}

/** Note which caches are there before this one; only those are deleted when it takes over. */
export async function remember({ program }) {
  const own = cacheName(program);
  const older = (await cacheNames()).filter((name) => name !== own && name !== PHOTOS);
  await (await caches.open(own)).put(OLDER, Response.json(older));
}

/** Fetch all files and the pages that belong to nobody; what a cut-off try has kept already is not fetched again. */
export async function keep({ program, assets, pages }) {
  const cache = await caches.open(cacheName(program));
  await several([...assets, ...pages], AT_ONCE, async (address) => {
    if (await cache.match(address)) return;
    // Addresses of files name the version, so the browser's own copy is right; pages are asked for anew.
    const response = await fetch(address, { cache: assets.includes(address) ? "default" : "no-store", credentials: pages.includes(address) ? "omit" : "same-origin" });
    if (response.status !== 200 || response.redirected) throw new Error(`${address} came with ${response.status}`);
    await cache.put(address, response);
  });
}

/** Delete the caches that were there before this one. */
export async function forgetOlder({ program }) {
  const older = await (await caches.open(cacheName(program))).match(OLDER);
  await Promise.all((older ? await older.json() : []).map((name) => caches.delete(name)));
}

/** Do something for each of a list, so many at once; the first failure ends it. */
export async function several(list, atOnce, work) {
  const rest = list.values();
  await Promise.all(Array.from({ length: atOnce }, async () => {
    for (const one of rest) await work(one);
  }));
}
