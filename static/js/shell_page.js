// On the page that stands in for one that is not kept: says which tag was asked for, and whether it can be one.
import { readCode, shown } from "./codes.js";
import { text } from "./texts.js";

/** Name the tag whose address this is; of any other address there is nothing to say. */
export function sayWhatIsMissing(place) {
  const [, typed] = /^\/t\/([^/]+)/i.exec(location.pathname) ?? [];
  if (!place || typed === undefined) return;
  const asked = decodeURIComponent(typed);
  try {
    place.textContent = text("tag-not-kept", { code: shown(readCode(asked)) });
  } catch {
    place.textContent = text("code-mistyped", { code: asked });
  }
}
