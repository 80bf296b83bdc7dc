// Takes over what a fresher copy of this page says, without moving what the person is doing.
// The regions that may change bear data-live with a name; all else of a page is the same in every copy.

import { page } from "./page.js";

let awaited = false;

/**
 * Put in what the kept copy of this page says now. While a note or a line of the story is open it waits; call again when it is closed.
 * @returns {Promise<boolean>} whether the page was renewed
 */
export async function renew() {
  if (busy()) {
    awaited = true;
    return false;
  }
  awaited = false;
  const response = await globalThis.caches?.match(page.path, { cacheName: `walkabout-${page.program}` });
  if (!response) return false;
  const fresh = new DOMParser().parseFromString(await response.text(), "text/html");
  if (busy()) return false;
  if (fresh.body.dataset.person !== document.body.dataset.person) {
    location.reload(); // somebody else signed in meanwhile; what waits on this phone stays
    return false;
  }
  for (const region of document.querySelectorAll("[data-live]")) {
    const other = fresh.querySelector(`[data-live="${CSS.escape(region.dataset.live)}"]`);
    if (other && other.innerHTML !== region.innerHTML) exchange(region, other);
  }
  document.body.dataset.serverTime = fresh.body.dataset.serverTime;
  return true;
}

/** Renew now if a fresher copy came while something was open. */
export const renewIfAwaited = () => (awaited ? renew() : Promise.resolve(false));

function busy() {
  const open = [...document.querySelectorAll("form.entry")].find((form) => form.checkVisibility?.() ?? form.offsetParent !== null);
  return open !== undefined || document.querySelector("[data-open-here]") !== null || document.activeElement?.matches("input, select, textarea");
}

function exchange(region, other) {
  const focused = region.contains(document.activeElement) ? document.activeElement.id || document.activeElement.getAttribute("href") : null;
  region.replaceChildren(...document.adoptNode(other).childNodes);
  if (!focused) return;
  const again = [...region.querySelectorAll("[id], [href]")].find((one) => one.id === focused || one.getAttribute("href") === focused);
  again?.focus({ preventScroll: true });
}
