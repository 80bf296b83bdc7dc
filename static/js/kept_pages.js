// The page's side of the worker: starting it, asking it, hearing from it. Without a worker all of it does nothing.

const PATIENCE_MS = 5_000;

/** Start the worker, if this browser has one to give (over https, or on this machine). */
export async function startWorker() {
  if (!("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/sw.js", { type: "module", scope: "/", updateViaCache: "none" });
  } catch (error) {
    // Pages then need the network; entries are kept all the same.
    console.warn("The worker did not start:", error);
  }
}

/** Ask the worker to bring the pages that this phone lacks, as soon as there is one. Resolves to its {is, pages}. */
export async function bringPages() {
  const registration = await navigator.serviceWorker?.ready;
  // A newer worker that is full takes over by itself; browsers sometimes leave it waiting until it is asked again.
  registration?.waiting?.postMessage({ ask: "take-over" });
  return ask({ ask: "bring-pages" }, Infinity);
}

/** When the server last said that this page is right: milliseconds, or null if the page is not kept. */
export const asOf = () => ask({ ask: "as-of", path: location.pathname }, PATIENCE_MS);

/** Have all kept pages deleted. */
export const dropPages = () => ask({ ask: "sign-out" }, PATIENCE_MS);

/** Call `listener` with what the worker tells this page: {tell, path}. */
export function onTold(listener) {
  navigator.serviceWorker?.addEventListener("message", ({ data }) => data?.tell && listener(data));
}

async function ask(question, patience) {
  // Not the controller: a page that was opened while the first worker began has none.
  const worker = (await navigator.serviceWorker?.getRegistration())?.active;
  if (!worker) return null;
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => resolve(data);
    if (Number.isFinite(patience)) setTimeout(() => resolve(null), patience);
    worker.postMessage(question, [port2]);
  });
}
