// One request with entries, and what its outcome means. Nothing here decides what happens to an entry.
import { clockDifference } from "./clock.js";

// A server that has not answered by then is taken as out of reach; a long body on a poor link gets more.
const PATIENCE_MS = 20_000;
const BYTES_PER_MS = 4;

/**
 * Offer entries to the server; an empty batch asks only whether it is there, and which it is.
 * @param {object[]} entries - as kept in the outbox
 * @param {string} person - who the page says is signed in
 * @returns {Promise<object>} outcome: one of
 *   {is: "answered", answers, database, serverTime, difference}
 *   {is: "away", wait}      nothing is known to have arrived; `wait` in milliseconds if the server named it
 *   {is: "sign-in"}         nobody, or somebody else, is signed in here
 *   {is: "too-much"}        the batch as a whole is too large
 *   {is: "unreadable", reason}  the batch as a whole was not understood
 */
export async function offer(entries, person) {
  const asked = Date.now();
  const body = JSON.stringify({ entries, sent_at: new Date(asked).toISOString() });
  let response, answer;
  try {
    response = await fetch("/sync/entries", {
      method: "POST",
      body,
      headers: { "Content-Type": "application/json", "X-Walkabout": "entries", "X-Walkabout-Person": person },
      credentials: "same-origin",
      cache: "no-store",
      redirect: "error",
      signal: AbortSignal.timeout(PATIENCE_MS + body.length / BYTES_PER_MS),
    });
    answer = await response.json();
  } catch {
    // Also an answer that was cut off or is no JSON: the server may have kept everything, or nothing.
    if (!response || response.ok) return { is: "away", wait: null };
  }
  if (response.ok) return answered(answer, asked);
  if (response.status === 401 || response.status === 403) return { is: "sign-in" };
  if (response.status === 413) return { is: "too-much" };
  if (response.status === 400 || response.status === 422) return { is: "unreadable", reason: answer?.detail ?? null };
  return { is: "away", wait: retryAfter(response.headers.get("Retry-After")) };
}

function answered(answer, asked) {
  if (!Array.isArray(answer?.answers) || typeof answer.database !== "string") return { is: "away", wait: null };
  return {
    is: "answered",
    answers: answer.answers,
    database: answer.database,
    serverTime: answer.server_time,
    difference: clockDifference(answer.server_time, asked, Date.now()),
  };
}

function retryAfter(value) {
  if (!value) return null;
  const wait = /^\d+$/.test(value) ? Number(value) * 1000 : Date.parse(value) - Date.now();
  return Number.isFinite(wait) && wait > 0 ? wait : null;
}
