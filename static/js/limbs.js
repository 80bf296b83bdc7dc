// The page of a plant, opened by the tag of one of its limbs: points at that limb, and notes are about it.
// A limb's line bears data-limb, its id, and data-limb-tags, the codes of its tags.
import { readCode } from "./codes.js";

/** Mark the limb whose tag was opened. Call it again when the lines were renewed. */
export function markLimb() {
  const line = openedLimb();
  if (!line) return;
  line.querySelector(".opened").hidden = false;
  line.setAttribute("aria-current", "true");
  // As what stands ready in every form of the page, so that clearing a form brings it back.
  for (const answer of document.querySelectorAll('form.entry input[name="limb"]')) answer.defaultChecked = answer.value === line.dataset.limb;
}

function openedLimb() {
  const [, typed] = /^\/t\/([^/]+)\/?$/i.exec(location.pathname) ?? [];
  if (typed === undefined) return undefined;
  try {
    const code = readCode(decodeURIComponent(typed));
    return [...document.querySelectorAll("[data-limb-tags]")].find((line) => line.dataset.limbTags.split(" ").includes(code));
  } catch {
    return undefined; // not a code: the page is that of no tag
  }
}
