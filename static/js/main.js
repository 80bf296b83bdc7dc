// The one script that pages name. It knows all widgets; they do not know each other.
import { drawAgain, lastElsewhere } from "./again.js";
import { startKeeping } from "./keeping.js";
import { showKept } from "./kept_line.js";
import * as keptPages from "./kept_pages.js";
import { startLight } from "./light.js";
import { markLimb } from "./limbs.js";
import { renew } from "./live_page.js";
import { startTicks, tickedPlants } from "./many.js";
import { closeNotes, markChoices, openFilled, startNotePanels } from "./note_panels.js";
import * as outbox from "./outbox.js";
import { mendId } from "./outbox_acts.js";
import { writeOutboxLine } from "./outbox_line.js";
import { drawOutbox } from "./outbox_page.js";
import * as store from "./outbox_store.js";
import { madeAt, page } from "./page.js";
import { sendPhotos } from "./photo_sending.js";
import { drawPhotos } from "./photo_lines.js";
import { namesIn } from "./photo_store.js";
import { startPlantsList } from "./plants_list.js";
import { keepSending } from "./send_times.js";
import { sendWaiting } from "./sending.js";
import { sayWhatIsMissing } from "./shell_page.js";
import { aboveStory, focusLine, markLines, startStoryLines } from "./story_lines.js";
import { loadTexts, text } from "./texts.js";
import { drawWaiting, waitingList } from "./waiting_story.js";
import { signedIn, signedOut } from "./who.js";

const at = (id) => document.getElementById(id);
const today = () => outbox.today(page.timeZone);
let asOf = null;
let lastOutcome = null;

// From the first moment: the worker may have a fresher copy before the words below have come.
let drawn;
const isDrawn = new Promise((resolve) => {
  drawn = resolve;
});
keptPages.onTold(async ({ tell, path }) => {
  if (path !== page.path) return;
  await isDrawn;
  if (tell === "fresher") await fresh();
  await checked();
});

startLight(document.querySelector(".lights"));
await loadTexts(page.texts, document.documentElement.lang);
const person = await signedIn();

// Sending.
const sending = keepSending(async () => {
  if (!person) return { is: "sign-in" };
  lastOutcome = await sendWaiting(person.id, text("too-large"));
  await draw();
  if (lastOutcome.sent) keptPages.bringPages(); // among them this one, which then says what was sent
  if (lastOutcome.is === "answered") photoSending.ask();
  return lastOutcome;
});
const photoSending = keepSending(async () => {
  if (!person) return { is: "sign-in" };
  const outcome = await sendPhotos(person.id, text("photo-refused"));
  if (outcome.sent) keptPages.bringPages(); // the page then shows the photo
  return outcome;
}, "walkabout-photos");

// What the outbox holds, drawn on every page and again whenever it changes.
async function draw() {
  const [waiting, refused, sent] = await Promise.all(["waiting", "refused", "sent"].map(store.inState));
  const own = waiting.filter((record) => record.entry.author === person?.id);
  const others = waiting.filter((record) => record.entry.author !== person?.id);
  const signIn = !person || lastOutcome?.is === "sign-in";
  const [photos, refusedPhotos] = (await Promise.all(["waiting", "refused"].map(namesIn))).map((names) => names.length);
  writeOutboxLine(at("outbox-line"), { own, others, refused, photos, refusedPhotos, signIn, asOf });
  if (at("outbox")) {
    drawOutbox(at("outbox"), { own, others, refused, sent, today: await today() });
    await drawPhotos(at("outbox"), person);
  }
  if (page.plant) {
    const records = [...waiting, ...refused, ...sent].filter(({ entry }) => entry.plant === page.plant.id || isTold(entry));
    drawWaiting(waitingList(), records, madeAt(), await today(), { undo, correct });
    const mine = [...waiting, ...sent].filter(({ entry }) => entry.author === (person ?? page.person)?.id);
    drawAgain(document.querySelector("[data-takes-again]"), lastElsewhere(mine, page.plant.id, await today()));
    markChoices();
  }
}

async function undo(...records) {
  await outbox.undoAll(records, person ?? { id: records[0].entry.author, name: records[0].author_name });
  sending.ask();
}

/** Open the note of an entry that may still wait on this phone, to correct it. */
async function correct({ words, entry }) {
  const root = entry.replaces ?? entry.id;
  openFilled(entry, await today(), { replaces: root, plant: entry.plant, words: text("corrects", { what: words }) });
}

/** Whether the page tells what an entry corrects or takes back, though of a plant that was merged into this one. */
const isTold = ({ replaces, withdraws }) => (replaces || withdraws) && document.querySelector(`li[data-root="${replaces ?? withdraws}"]`);

outbox.onChange(draw);

// Notes.
if (page.plant || page.group) {
  const plants = page.plant ? () => [page.plant] : () => tickedPlants(at("ticks"));
  if (page.group) startTicks(at("ticks"));
  markLimb();
  startNotePanels(today);
  startKeeping(async () => person ?? page.person, plants, (records, form) => {
    closeNotes();
    if (records[0].entry.replaces) focusLine(records[0].entry.replaces);
    showKept(form.closest("section.note").parentElement, records, page.group !== null, () => undo(...records));
    sending.now();
    navigator.storage?.persist?.();
  });
}
if (page.plant) {
  startStoryLines(
    async (line) => openFilled(line, await today(), { replaces: line.root, plant: line.plant, words: text("corrects", { what: line.words }) }),
    async (line) => {
      const draft = { plant: line.plant, plant_name: page.plant.name, kind: "withdrawal", form: 1, details: {}, withdraws: line.root };
      const record = await outbox.keep({ ...draft, seen_on: await today(), words: line.words }, person ?? page.person);
      showKept(aboveStory(), [record], false, () => undo(record));
      sending.now();
    },
  );
  const mended = mendId() && (await store.record(mendId()));
  if (mended?.state === "refused") {
    const { replaces, plant } = mended.entry;
    openFilled(mended.entry, await today(), { mends: mended.id, replaces, plant });
  }
}

// The other pages.
startPlantsList(at("find"), [...document.querySelectorAll("ul.plants")], at("plants-count"));
sayWhatIsMissing(at("wanted"));
at("send-now")?.addEventListener("click", async () => {
  at("send-said").textContent = text("sending");
  await sending.now();
  await photoSending.now();
  const { is, sent } = lastOutcome ?? { is: "sign-in" };
  const words = { answered: () => text("sent-now", { count: sent }), away: () => text("server-away"), "sign-in": () => text("sign-in-first") };
  at("send-said").textContent = words[is]();
});
document.querySelector("form[data-sign-out]")?.addEventListener("submit", () => {
  signedOut();
  keptPages.dropPages();
});

// The kept pages.
async function fresh() {
  await renew();
  markChoices();
  markLines();
  markLimb();
  await draw();
}

async function checked() {
  asOf = (await keptPages.asOf()) ?? (page.nobodys ? null : performance.timeOrigin);
  await draw();
}

await draw();
drawn();
sending.ask();
await keptPages.startWorker();
await checked();
const brought = await keptPages.bringPages();
if (at("pages-said")) {
  at("pages-said").textContent = brought?.pages ? text("pages-kept", { count: brought.pages }) : "";
  if (!("serviceWorker" in navigator)) at("pages-said").textContent = text("no-worker");
}
