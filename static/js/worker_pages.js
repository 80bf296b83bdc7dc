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
let era = 0; // rises with every sign-out: what was asked for in an earlier one is not kept any more
let turn = Promise.resolve();

/** Work with the cache of this program version. */
export function use(program) {
  version = program;
}

const open = () => caches.open(cacheName(version));
const patience = () => AbortSignal.timeout(PATIENCE_MS);

async function list(cache) {
  return (await cache.match(LIST))?.json();
}

const keepList = (cache, kept, asked) => put(cache, kept.person, asked, LIST, Response.json(kept));

const owner = async (cache) => (await cache.match(OWNER))?.text();

/** The moment at which something is asked for; give it to `offer` with the answer. */
export const moment = () => era;

/** Do one thing after the other, so that nothing is put where all is being deleted. */
function inTurn(work) {
  const done = turn.then(work);
  turn = done.catch(() => undefined);
  return done;
}

/** Let the cache hold pages of this person; those of another go first. */
export const own = (cache, person, asked) =>
  inTurn(async () => {
    const before = await owner(cache);
    if (asked !== era || before === person) return;
    if (before !== undefined) await deleteAll();
    await cache.put(OWNER, new Response(person));
  });

/** Keep something of a person's. Resolves to false, with nothing kept, if the cache is not that person's any more. */
export const put = (cache, person, asked, key, response) =>
  inTurn(async () => {
    if (asked !== era || (await owner(cache)) !== person) return false;
    await cache.put(key, response);
    return true;
  });

/**
 * The page at an address; a tag's address leads to its plant's.
 * @returns {Promise<{path: string | null, retired: boolean}>} path null when the phone does not know the tag
 */
export async function pageAt(url) {
  const [, typed] = /^\/t\/([^/]+)\/?$/i.exec(url.pathname) ?? [];
  if (typed === undefined) return { path: url.pathname, retired: false };
  try {
    const code = readCode(decodeURIComponent(typed));
    const pages = await listed();
    const hanging = pages.find((page) => page.tags.includes(code));
    const found = hanging ?? pages.find((page) => page.retired.includes(code));
    return { path: found?.path ?? null, retired: !hanging };
  } catch {
    return { path: null, retired: false }; // not a code: the server says what is wrong with it
  }
}

/** What the list names, in walking order; nothing before there is a list. */
export const listed = async () => (await list(await open()))?.pages ?? [];

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
 * @param {string} path
 * @param {Response} response
 * @param {number} asked - the moment at which it was asked for
 * @returns {Promise<boolean>} whether a page was kept that differs from the one before
 */
export async function offer(path, response, asked) {
  const cache = await open();
  if (mayBeKept(response)) await own(cache, response.headers.get(PERSON), asked);
  return keep(cache, path, response, asked);
}

async function keep(cache, path, response, asked) {
  if (!mayBeKept(response) || !versionOf(response)?.startsWith(version)) return leave(response);
  const before = await cache.match(path);
  const kept = await put(cache, response.headers.get(PERSON), asked, path, await marked(response));
  return kept && (!before || versionOf(before) !== versionOf(response));
}

const mayBeKept = (response) => response.status === 200 && !response.redirected && response.headers.has(PERSON);

/** Do not keep a response. Its body is let go of, or the connection would be held until somebody reads it. */
async function leave(response) {
  await response.body?.cancel();
  return false;
}

/** Ask for a page anew; resolves to "fresher", "same", or "unknown" when the answer could not be kept. */
export async function refresh(path) {
  const asked = moment();
  const cache = await open();
  const [before, person] = await Promise.all([cache.match(path), owner(cache)]);
  const headers = before ? { "If-None-Match": before.headers.get("ETag") } : {};
  const response = await fetch(path, { headers, cache: "no-store", redirect: "manual", signal: patience() });
  if (response.status === 304) {
    await put(cache, person, asked, path, await marked(before));
    return "same";
  }
  if (response.status === 404 || response.status === 410) await cache.delete(path);
  return (await offer(path, response, asked)) ? "fresher" : "unknown";
}

/** Bring what the list names and the phone lacks; one run at a time. Resolves to words for the page: {is, pages}. */
export function bring() {
  if (bringing?.era !== era) bringing = { era, run: null }; // a run of before a sign-out brings nothing any more
  const current = bringing;
  current.run ??= bringAll()
    .catch(async (error) => ({ is: "failed", why: String(error), pages: (await list(await open()))?.pages.length ?? 0 }))
    .finally(() => {
      current.run = null;
    });
  return current.run;
}

/** As `bring`, but failing when a page cannot be had. */
export async function bringAll() {
  const asked = moment();
  const cache = await open();
  const before = await list(cache);
  const have = before?.token ? `?have=${encodeURIComponent(before.token)}` : "";
  const response = await fetch(`/sync/pages${have}`, { headers: { "X-Walkabout": "pages" }, cache: "no-store", redirect: "error", signal: patience() });
  if (response.status === 304) {
    await keepList(cache, { ...before, confirmed_at: Date.now() }, asked);
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
  await own(cache, fresh.person, asked);
  await keepList(cache, { ...fresh, complete: false }, asked);
  await removeUnlisted(cache, fresh.pages);
  const brought = await fetchLacking(cache, fresh, asked);
  if (!(await keepList(cache, { ...fresh, complete: true }, asked))) return { is: "signed-out" };
  return { is: "fresh", pages: fresh.pages.length, brought };
}

async function fetchLacking(cache, { person, pages }, asked) {
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
    if (await keep(cache, path, response, asked)) await tell({ tell: "fresher", path });
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
export function dropAll() {
  era += 1;
  return inTurn(deleteAll);
}

async function deleteAll() {
  for (const name of await cacheNames()) {
    const cache = await caches.open(name);
    await cache.delete(OWNER); // first: another version's worker, bringing pages, looks at it before each
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
