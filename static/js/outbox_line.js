// The line at the bottom of every page: what waits on this phone, and as of when the page is.
import { momentWords, text } from "./texts.js";

const DAY_MS = 86_400_000;
const WARN_DAYS = 3;

/**
 * Write the line.
 * @param {HTMLElement} line
 * @param {object} state - {own, others, refused: records; photos, refusedPhotos: how many; signIn: whether one must sign in to
 *   send; asOf: milliseconds or null}
 */
export function writeOutboxLine(line, { own, others, refused, photos = 0, refusedPhotos = 0, signIn, asOf }, now = Date.now()) {
  const waits = [];
  if (own.length) waits.push(waitingWords(own, now));
  if (others.length) waits.push(text("waiting-others", { count: others.length }));
  if (refused.length) waits.push(text("refused", { count: refused.length }));
  if (photos) waits.push(text("photos-waiting", { count: photos }));
  if (refusedPhotos) waits.push(text("photos-refused", { count: refusedPhotos }));
  // The link stays the same one, so that whoever stands on it by keyboard is not thrown off when the words change.
  const words = line.querySelector("a") ?? link("/outbox", "");
  const says = waits.join(" · ") || text("nothing-waiting");
  const rest = asOf ? ` · ${text("as-of", { time: momentWords(asOf, now) })}` : "";
  if (line.textContent !== says + rest) {
    words.textContent = says;
    while (words.nextSibling) words.nextSibling.remove();
    if (words.parentElement !== line) line.replaceChildren(words);
    line.append(rest);
  }
  line.classList.toggle("pending", waits.length > 0);
  for (const old of line.parentElement.querySelectorAll(":scope > a")) old.remove();
  if (signIn && (own.length || photos)) {
    line.after(link(`/sign-in?next=${encodeURIComponent(location.pathname)}`, text("sign-in-to-send")));
  }
}

/** "2 waiting to send", with the age of the oldest once it is worth a warning. */
export function waitingWords(records, now = Date.now()) {
  const days = Math.floor((now - Math.min(...records.map((record) => record.kept_at))) / DAY_MS);
  return days >= WARN_DAYS
    ? text("waiting-long", { count: records.length, days })
    : text("waiting", { count: records.length });
}

function link(address, words) {
  const made = document.createElement("a");
  made.className = "go";
  made.href = address;
  made.textContent = words;
  return made;
}
