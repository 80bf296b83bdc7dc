// How an address that a person opens is answered: from what is kept if it is kept, and fresh behind; else from the
// server within a time limit; else with a page that says what to do.
import * as pages from "./worker_pages.js";
import { walkedTo } from "./worker_walk.js";

const SHELL = "/offline";
const PATIENCE_MS = 8_000;
const SHORT_PATIENCE_MS = 4_000;

// After a form or a redirect the kept page is likely out of date, and the server was there a moment ago: ask it first.
let distrusted = false;

/** Do not answer the next navigation from what is kept unless the server stays silent. */
export function distrust() {
  distrusted = true;
}

/** Whether an address is that of signing out. */
export const isSignOut = (url) => url.pathname === "/sign-out";

/**
 * The answer to a navigation.
 * @param {FetchEvent} event
 * @param {URL} url
 */
export async function answerNavigation(event, url) {
  const asked = pages.moment();
  const onward = await walkedTo(url);
  if (onward) return Response.redirect(onward);
  const { path, retired } = await pages.pageAt(url);
  const kept = path === null ? undefined : await pages.page(path);
  if (kept && !url.search && !retired && !distrusted) {
    event.waitUntil(refreshBehind(path));
    return kept;
  }
  try {
    // Past the browser's own cache: a page must say anew who is signed in.
    const response = await fetch(event.request, { cache: "no-store", signal: AbortSignal.timeout(kept ? SHORT_PATIENCE_MS : PATIENCE_MS) });
    distrusted = response.type === "opaqueredirect";
    if (path !== null && !url.search && !retired) event.waitUntil(pages.offer(path, response.clone(), asked));
    return response;
  } catch {
    return kept ?? (await pages.page(SHELL)) ?? Response.error();
  }
}

async function refreshBehind(path) {
  try {
    const outcome = await pages.refresh(path);
    if (outcome !== "unknown") await pages.tell({ tell: outcome, path });
  } catch {
    // Out of reach: the kept page has been shown and says as of when it is.
  }
}
