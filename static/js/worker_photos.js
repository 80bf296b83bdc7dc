// The small pictures of the newest photos, kept for use without the network. A name stands for one picture for good, so
// they outlive a program version; whoever they were told to, they go with that person's pages.
import { PHOTOS, several } from "./worker_assets.js";
import { moment, own, put } from "./worker_pages.js";

const LIST = "/-/photos";
const THUMB = /^\/photos\/[0-9a-f]{64}\/thumb$/;
const AT_ONCE = 2;
const PATIENCE_MS = 20_000;

/** Whether an address is that of a small picture. */
export const isThumb = (url) => THUMB.test(url.pathname) && !url.search;

/** A small picture: the kept one, else the server's. */
export const answerThumb = async (request) => (await caches.match(request, { cacheName: PHOTOS })) ?? fetch(request);

/**
 * Bring the small pictures that the phone lacks, and let go of those that no page shows any more.
 * @param {number} asked - the moment at which they were asked for; nothing is brought after a sign-out since then
 */
export async function bringThumbs(asked) {
  if (asked !== moment()) return;
  const cache = await caches.open(PHOTOS);
  const before = await (await cache.match(LIST))?.json();
  const have = before?.complete ? `?have=${before.token}` : "";
  const response = await fetch(`/sync/photos${have}`, { headers: { "X-Walkabout": "photos" }, cache: "no-store", redirect: "error", signal: AbortSignal.timeout(PATIENCE_MS) });
  if (response.status !== 200) return;
  const fresh = await response.json();
  await own(cache, fresh.person, asked);
  const wanted = new Set(fresh.photos.map((name) => `/photos/${name}/thumb`));
  const here = new Set();
  for (const request of await cache.keys()) {
    const { pathname } = new URL(request.url);
    if (wanted.has(pathname)) here.add(pathname);
    else if (THUMB.test(pathname)) await cache.delete(request);
  }
  await several([...wanted].filter((path) => !here.has(path)), AT_ONCE, async (path) => {
    const picture = await fetch(path, { redirect: "error", signal: AbortSignal.timeout(PATIENCE_MS) });
    if (picture.ok) await put(cache, fresh.person, asked, path, picture);
  });
  await put(cache, fresh.person, asked, LIST, Response.json({ ...fresh, complete: true }));
}
