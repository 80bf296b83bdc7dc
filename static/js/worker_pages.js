// The kept pages: the server's HTML, one of each plant, as it was told to this person.
// Whose they are, and the list of them {token, pages, confirmed_at, complete}, lie in the same cache, so that all of
// it comes and goes together.
import { readCode } from "./codes.js";
import { cacheName, cacheNames, several } from "./worker_assets.js";

const LIST = "/-/list";
const OWNER = "/-/person";
const AS_OF = "X-Walkabout-As-Of"; // our own mark on a kept page: when the server last said that it is right
const PERSON = "X-Walkabout-Person";
const AT_ONCE = 4; // gently: the server is a small machine in a home
const PATIENCE_MS = 20_000;
// Addresses that are nobody's page; all else in the cache was told to a person.
const PROGRAM = /^\/(static|texts|offline|outbox|manifest\.webmanifest|-\/older-caches)(\/|$|\?)/;

let version = "";
let bringing = null;

/** Work with the cache of this program version. */
export function use(program) {
  version = program;
}

const open = () => caches.open(cacheName(version));
const patience = () => AbortSignal.timeout(PATIENCE_MS);

async function list(cache) {
  return (await cache.match(LIST))?.json();
}

const keepList = (cache, kept) => cache.put(LIST, Response.json(kept));

const owner = async (cache) => (await cache.match(OWNER))?.text();

/** Let the cache hold pages of this person; those of another go first. */
async function own(cache, person) {
  const before = await owner(cache);
  if (before === person) return;
  if (before !== undefined) await dropAll();
  await cache.put(OWNER, new Response(person));
}

/**
 * The page at an address; a tag's address leads to its plant's.
 * @returns {Promise<{path: string | null, retired: boolean}>} path null when the phone does not know the tag
 */
export async function pageAt(url) {
  const [, typed] = /^\/t\/([^/]+)\/?$/i.exec(url.pathname) ?? [];
  if (typed === undefined) return { path: url.pathname, retired: false };
  try {
    const code = readCode(decodeURIComponent(typed));
    const pages = (await list(await open()))?.pages ?? [];
    const hanging = pages.find((page) => page.tags.includes(code));
    const found = hanging ?? pages.find((page) => page.retired.includes(code));
    return { path: found?.path ?? null, retired: !hanging };
  } catch {
    return { path: null, retired: false }; // not a code: the server says what is wrong with it
  }
}

/** The kept page of a path, or undefined. */
export const page = (path) => caches.match(path, { cacheName: cacheName(version) });

/** When the server last said that the kept page of an address is right: milliseconds, or null. */
export async function asOf(url) {
  const cache = await open();
  const { path } = await pageAt(url);
  const found = path && (await cache.match(path));
  if (!found) return null;
  const kept = await list(cache);
  const listed = kept?.pages.find((one) => one.path === path);
  const confirmed = listed && versionOf(found) === listed.version ? kept.confirmed_at : 0;
  return Math.max(confirmed, Number(found.headers.get(AS_OF)));
}

/**
 * Keep a page if it may be kept: told plainly, to the person of the list, by this program.
 * @returns {Promise<boolean>} whether a page was kept that differs from the one before
 */
export async function offer(path, response) {
  const told = response.headers.get(PERSON);
  if (response.status !== 200 || response.redirected || !told) return leave(response);
  const cache = await open();
  await own(cache, told);
  if (!versionOf(response)?.startsWith(version)) return leave(response);
  const before = await cache.match(path);
  await cache.put(path, await marked(response));
  return !before || versionOf(before) !== versionOf(response);
}

/** Do not keep a response. Its body is let go of, or the connection would be held until somebody reads it. */
async function leave(response) {
  await response.body?.cancel();
  return false;
}

/** Ask for a page anew; resolves to "fresher", "same", or "unknown" when the answer could not be kept. */
export async function refresh(path) {
  const cache = await open();
  const before = await cache.match(path);
  const headers = before ? { "If-None-Match": before.headers.get("ETag") } : {};
  const response = await fetch(path, { headers, cache: "no-store", redirect: "manual", signal: patience() });
  if (response.status === 304) {
    await cache.put(path, await marked(before));
    return "same";
  }
  if (response.status === 404 || response.status === 410) await cache.delete(path);
  return (await offer(path, response)) ? "fresher" : "unknown";
}

/** Bring what the list names and the phone lacks; one run at a time. Resolves to words for the page: {is, pages}. */
export function bring() {
  bringing ??= bringAll()
    .catch(async (error) => ({ is: "failed", why: String(error), pages: (await list(await open()))?.pages.length ?? 0 }))
    .finally(() => {
      bringing = null;
    });
  return bringing;
}

/** As `bring`, but failing when a page cannot be had. */
export async function bringAll() {
  const cache = await open();
  const before = await list(cache);
  const have = before?.token ? `?have=${encodeURIComponent(before.token)}` : "";
  const response = await fetch(`/sync/pages${have}`, { headers: { "X-Walkabout": "pages" }, cache: "no-store", redirect: "error", signal: patience() });
  if (response.status === 304) {
    await keepList(cache, { ...before, confirmed_at: Date.now() });
    if (before.complete) return { is: "fresh", pages: before.pages.length };
  } else if (!response.ok) {
    throw new Error(`the list of pages came with ${response.status}`);
  }
  const fresh = response.status === 304 ? before : { ...(await response.json()), confirmed_at: Date.now() };
  if (fresh.program !== version) {
    // A newer program serves: its own worker brings its own pages. Ours stay as they are until then.
    registration.update().catch(() => undefined);
    return { is: "newer-program" };
  }
  await own(cache, fresh.person);
  await keepList(cache, { ...fresh, complete: false });
  await removeUnlisted(cache, fresh.pages);
  const brought = await fetchLacking(cache, fresh);
  if ((await owner(cache)) !== fresh.person) return { is: "signed-out" };
  await keepList(cache, { ...fresh, complete: true });
  return { is: "fresh", pages: fresh.pages.length, brought };
}

async function fetchLacking(cache, { person, pages }) {
  const lacking = [];
  await several(pages, AT_ONCE, async (page) => {
    const found = await cache.match(page.path);
    if (!found || versionOf(found) !== page.version) lacking.push(page);
  });
  await several(lacking, AT_ONCE, async ({ path }) => {
    if ((await owner(cache)) !== person) return; // signed out meanwhile
    const response = await fetch(path, { cache: "no-store", redirect: "manual", signal: patience() });
    if (response.status === 404 || response.status === 410) return;
    if (response.status !== 200) throw new Error(`${path} came with ${response.status}`);
    if (await offer(path, response)) await tell({ tell: "fresher", path });
  });
  return lacking.length;
}

async function removeUnlisted(cache, pages) {
  const listed = new Set(pages.map((page) => page.path));
  for (const request of await cache.keys()) {
    const { pathname } = new URL(request.url);
    if (![LIST, OWNER].includes(pathname) && !PROGRAM.test(pathname) && !listed.has(pathname)) await cache.delete(request);
  }
}

/** Whether a worker of another version keeps pages on this phone. */
export async function areKeptByAnother() {
  for (const name of await cacheNames()) {
    if (name !== cacheName(version) && (await (await caches.open(name)).match(OWNER))) return true;
  }
  return false;
}

/** Delete all that was told to a person, in the caches of all versions. The outbox is elsewhere and stays. */
export async function dropAll() {
  for (const name of await cacheNames()) {
    const cache = await caches.open(name);
    await cache.delete(OWNER); // first: who is bringing pages looks at it before each
    for (const request of await cache.keys()) {
      if (!PROGRAM.test(new URL(request.url).pathname)) await cache.delete(request);
    }
  }
}

/** Tell every open page something. */
export async function tell(words) {
  for (const client of await clients.matchAll({ includeUncontrolled: true })) client.postMessage(words);
}

/** The version of a page, as the list names it; its ETag says the person as well. */
function versionOf(response) {
  return /^(?:W\/)?"([^".]*)\./.exec(response.headers.get("ETag") ?? "")?.[1];
}

/** The same response, marked as right now. */
async function marked(response) {
  const headers = new Headers(response.headers);
  headers.set(AS_OF, String(Date.now()));
  headers.delete("Content-Encoding"); // the body is plain by now
  headers.delete("Content-Length");
  return new Response(await response.blob(), { status: 200, headers });
}
