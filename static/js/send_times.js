// When to send: on opening, return, reconnection, after saving, on a press, and by a slow timer. Whether the server
// can be reached is known only by asking it; the browser's "online" flag is a hint to ask, never an answer.

const SOON_MS = 2_000;
const LATEST_MS = 300_000;
const IDLE_MS = 30_000;
// A tab that is asleep may hold the turn; wait this long for it, then go without. It is politeness, no more.
const TURN_MS = 5_000;

/**
 * Call `send` at the right times.
 * @param {() => Promise<{is: string, wait?: number | null}>} send
 * @param {string} turns - what the tabs take turns at
 * @returns {{now: () => Promise<void>}} `now` sends at once; calls while one runs share one more run after it
 */
export function keepSending(send, turns = "walkabout-sending") {
  let running = null;
  let again = false;
  let failures = 0;
  let quiet = 0;
  let notBefore = 0;
  let timer = null;

  async function run() {
    clearTimeout(timer);
    let outcome;
    try {
      outcome = await inTurn(send, turns);
    } catch (error) {
      console.error(error);
      outcome = { is: "away" };
    }
    failures = outcome.is === "answered" ? 0 : failures + 1;
    quiet = outcome.is === "answered" && !outcome.sent ? quiet + 1 : 0;
    notBefore = outcome.wait ? Date.now() + outcome.wait : 0;
    const pause = failures ? backOff(failures) : Math.min(IDLE_MS * 2 ** Math.min(quiet, 4), LATEST_MS);
    timer = setTimeout(() => ask(), Math.max(pause * (0.75 + Math.random() / 2), outcome.wait ?? 0));
  }

  function ask() {
    if (document.visibilityState === "hidden" && !failures) return running; // the next return asks again
    if (Date.now() < notBefore) return running; // the server asked for patience; the timer is set
    return now();
  }

  function now() {
    again = running !== null;
    running ??= run().finally(() => {
      running = null;
      if (again) return now();
      return undefined;
    });
    return running;
  }

  addEventListener("pageshow", (event) => event.persisted && ask()); // out of the back-forward cache
  addEventListener("online", ask);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && ask());
  return { now, ask };
}

/** Milliseconds to wait after so many failures in a row: 2 s, doubling, at most 5 minutes. */
export function backOff(failures) {
  return Math.min(SOON_MS * 2 ** (failures - 1), LATEST_MS);
}

async function inTurn(send, turns) {
  if (!navigator.locks) return send();
  try {
    return await navigator.locks.request(turns, { signal: AbortSignal.timeout(TURN_MS) }, send);
  } catch (error) {
    if (error.name !== "TimeoutError" && error.name !== "AbortError") throw error;
    return send();
  }
}
