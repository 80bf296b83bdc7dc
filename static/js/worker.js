// The service worker: opens kept pages without the network, keeps them fresh, and never touches what is being sent.
// /sw.js starts it with this program's version and list of files; each version is one cache of files and pages
// together, which is why no ready-made precaching library is used: those keep files and pages apart.
import * as assets from "./worker_assets.js";
import { answerNavigation, distrust, isSignOut } from "./worker_navigation.js";
import * as pages from "./worker_pages.js";
import { answerThumb, bringThumbs, isThumb } from "./worker_photos.js";

/**
 * Begin to work.
 * @param {{program: string, assets: string[], pages: string[]}} program - its version, the addresses of its files, and
 *   the pages that belong to nobody
 */
export function run(program) {
  pages.use(program.program);

  addEventListener("install", (event) => event.waitUntil(install(program)));
  addEventListener("activate", (event) => event.waitUntil(takeOver(program)));

  addEventListener("fetch", (event) => {
    const { request } = event;
    const url = new URL(request.url);
    if (url.origin !== location.origin) return;
    if (request.method === "POST" && request.mode === "navigate") {
      // Only watched, never answered: the form goes straight to the server.
      distrust();
      if (isSignOut(url)) event.waitUntil(pages.dropAll());
    } else if (request.method === "GET" && request.mode === "navigate") {
      event.respondWith(answerNavigation(event, url));
    } else if (request.method === "GET" && assets.belongs(program, url)) {
      event.respondWith(assets.answer(program, request));
    } else if (request.method === "GET" && isThumb(url)) {
      event.respondWith(answerThumb(request));
    }
  });

  addEventListener("message", (event) => {
    const reply = (words) => event.ports[0]?.postMessage(words);
    const { ask, path } = event.data ?? {};
    if (ask === "bring-pages") event.waitUntil(bringAll(reply));
    else if (ask === "as-of") event.waitUntil(pages.asOf(new URL(path, location.href)).then(reply));
    else if (ask === "take-over") event.waitUntil(skipWaiting()); // only a full one can be waiting
    else if (ask === "sign-out") event.waitUntil(pages.dropAll().then(() => reply("dropped")));
  });
}

/** Pages first; the small pictures of photos may fail and are brought the next time. */
async function bringAll(reply) {
  const asked = pages.moment();
  const brought = pages.bring(); // now: what was asked for before a sign-out must not begin after it
  await clients.claim();
  reply(await brought);
  await bringThumbs(asked).catch(() => undefined);
}

/** Fill the cache. A later version fetches the kept pages too, and fails, to be tried again, rather than lack one. */
async function install(program) {
  await assets.remember(program);
  await assets.keep(program);
  if (await pages.areKeptByAnother()) await pages.bringAll();
  await skipWaiting();
}

async function takeOver(program) {
  await assets.forgetOlder(program);
  await clients.claim();
}
