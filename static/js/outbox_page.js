// The outbox page: lists of what is on this phone, and what can be done with it.
import { dropsAfterAsking, mendAddress, saveToFile, sendAgain } from "./outbox_acts.js";
import { waitingWords } from "./outbox_line.js";
import { dateWords, momentWords, text } from "./texts.js";

/**
 * Fill the page.
 * @param {HTMLElement} root - #outbox
 * @param {object} lists - {own, others, refused, sent: records; today: civil date}
 */
export function drawOutbox(root, { own, others, refused, sent, today }) {
  fill(root, "waiting", own, (record) => [words(record, today, text("kept-at", { time: momentWords(record.kept_at) }))]);
  fill(root, "others", others, (record) => [
    words(record, today, text("author-signs-in", { name: record.author_name })),
  ]);
  fill(root, "refused", refused, (record) => [words(record, today, record.reason), acts(record)]);
  fill(root, "sent", sent.toReversed(), (record) => [
    words(record, today, text("on-the-server")),
  ]);
  root.querySelector("#waiting-title").textContent = own.length ? waitingWords(own) : text("nothing-waiting");
  root.querySelector("#send-now").disabled = own.length === 0;
  root.querySelector("#save").hidden = own.length + others.length + refused.length === 0;
  root.querySelector("#save-now").onclick = () => saveToFile([...own, ...others, ...refused]);
  root.hidden = false;
}

function fill(root, name, records, parts) {
  const list = root.querySelector(`[data-list="${name}"]`);
  const section = list.closest("section");
  if (name === "refused" || name === "others") section.hidden = records.length === 0;
  const lines = records.map((record) => {
    const line = element("li", "outbox-entry");
    line.dataset.entry = record.id;
    line.append(...parts(record));
    return line;
  });
  if (!lines.length) lines.push(element("li", "faint", text("nothing-here")));
  list.replaceChildren(...lines);
}

function words(record, today, more) {
  const link = element("a", "line");
  link.href = `/plants/${record.entry.plant}`;
  const what = element("span", "what");
  const { withdraws, replaces } = record.entry;
  const said = withdraws || replaces ? text(withdraws ? "withdraws" : "now-says", { what: record.words }) : record.words;
  what.append(element("b", "told", record.plant_name), ` ${said}`, element("span", "sub", more));
  link.append(what, element("span", "when", dateWords(record.entry.seen_on, today)));
  return link;
}

function acts(record) {
  const row = element("p", "acts");
  const edit = element("a", "choice", text("edit"));
  edit.href = mendAddress(record);
  edit.setAttribute("aria-label", text("edit-what", { what: record.words }));
  const again = button("send-again", record, () => sendAgain(record));
  const drop = button("delete", record, () => dropsAfterAsking(record, text("delete-sure")));
  if (!record.entry.withdraws) row.append(edit);
  row.append(again, drop);
  return row;
}

function button(name, record, act) {
  const made = element("button", "", text(name));
  made.type = "button";
  made.setAttribute("aria-label", text(`${name}-what`, { what: record.words }));
  made.addEventListener("click", act);
  return made;
}

function element(name, className, said = "") {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.textContent = said;
  return made;
}
