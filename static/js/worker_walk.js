// "next" and "before" of a plant's page without the network. The list of kept pages is in walking order, those of dead
// plants in their old place, so that their pages lead on too (walkabout/web/walk.py does the same with the network).
import { listed } from "./worker_pages.js";

const YARD = "/";
const ADDRESS = /^(\/plants\/[^/]+)\/(next|before)$/;

/**
 * Where an address of the walk leads by the list that this phone keeps.
 * @param {URL} url
 * @returns {Promise<string | null>} null when it is no such address, or the list does not say
 */
export async function walkedTo(url) {
  const [, path, way] = ADDRESS.exec(url.pathname) ?? [];
  return path === undefined ? null : onward(await listed(), path, way);
}

/** The path of the next walked plant from a path, one way or the other; from the last one to the list of plants. */
export function onward(pages, path, way) {
  const here = pages.findIndex((page) => page.path === path);
  if (here < 0) return null;
  const rest = way === "next" ? pages.slice(here + 1) : pages.slice(0, here).reverse();
  return rest.find((page) => page.walked)?.path ?? YARD;
}
