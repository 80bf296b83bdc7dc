// The words that scripts show, in the page's language, from the file that the server made of its catalogue.

let words = {};
let plural = new Intl.PluralRules("en");

/** Fetch the words; without them nothing can be said, so scripts begin after this. */
export async function loadTexts(address, language) {
  const response = await fetch(address, { signal: AbortSignal.timeout(10_000) });
  if (!response.ok) throw new Error(`no texts at ${address}: ${response.status}`);
  words = await response.json();
  plural = new Intl.PluralRules(language);
}

/**
 * The words under a name, with {values} put in.
 * A name that counts has several forms; `values.count` picks one.
 */
export function text(name, values = {}) {
  let pattern = words[name];
  if (pattern === undefined) throw new Error(`no text named ${name}`);
  if (typeof pattern === "object") pattern = pattern[plural.select(values.count)] ?? pattern.other;
  return pattern.replace(/\{(\w+)\}/g, (_whole, value) => values[value] ?? "");
}

/** A civil date as people say it near: today, yesterday, else weekday and date, with the year when it is not this one. */
export function dateWords(day, today) {
  const days = (Date.parse(today) - Date.parse(day)) / 86_400_000;
  if (days === 0) return text("today");
  if (days === 1) return text("yesterday");
  const year = day.slice(0, 4) === today.slice(0, 4) ? undefined : "numeric";
  const format = { weekday: year ? undefined : "short", day: "numeric", month: "short", year, timeZone: "UTC" };
  return new Intl.DateTimeFormat(document.documentElement.lang, format).format(Date.parse(day));
}

/** A moment of this phone's clock: the time alone on the same day, else with the date. */
export function momentWords(milliseconds, now = Date.now()) {
  const language = document.documentElement.lang;
  const time = { hour: "2-digit", minute: "2-digit" };
  const sameDay = new Date(milliseconds).toDateString() === new Date(now).toDateString();
  const date = sameDay ? {} : { weekday: "short", day: "numeric", month: "short" };
  return new Intl.DateTimeFormat(language, { ...date, ...time, hourCycle: "h23" }).format(milliseconds);
}
