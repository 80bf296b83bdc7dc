// Times as entries carry them. The phone's clock may be wrong; the server's last answer told by how much.

/**
 * An instant as text with the phone's own offset from UTC, such as 2026-11-25T07:42:10.123+02:00.
 * @param {Date} instant
 */
export function withOffset(instant) {
  const minutes = -instant.getTimezoneOffset();
  const local = new Date(instant.getTime() + minutes * 60_000).toISOString().slice(0, -1);
  const [hours, rest] = [Math.floor(Math.abs(minutes) / 60), Math.abs(minutes) % 60];
  const pad = (number) => String(number).padStart(2, "0");
  return `${local}${minutes < 0 ? "-" : "+"}${pad(hours)}:${pad(rest)}`;
}

/**
 * Today's civil date in the yard, YYYY-MM-DD.
 * @param {string} timeZone - IANA name of the yard's time zone
 * @param {number | null} difference - seconds that the server is ahead of the phone; null when not known
 * @param {number} now - milliseconds since 1970 by the phone
 */
export function civilDate(timeZone, difference, now = Date.now()) {
  const parts = new Intl.DateTimeFormat("en", {
    timeZone, year: "numeric", month: "2-digit", day: "2-digit", calendar: "gregory", numberingSystem: "latn",
  }).formatToParts(new Date(now + (difference ?? 0) * 1000));
  const part = (type) => parts.find((one) => one.type === type).value;
  return `${part("year")}-${part("month")}-${part("day")}`;
}

/**
 * Seconds that the server is ahead of the phone, to the millisecond.
 * @param {string} serverTime - ISO time in the server's answer
 * @param {number} asked - phone's milliseconds when the request went out
 * @param {number} answered - phone's milliseconds when the answer came
 */
export function clockDifference(serverTime, asked, answered) {
  return Math.round(Date.parse(serverTime) - (asked + answered) / 2) / 1000;
}
