// Ids that phones make by themselves: UUIDv7 (RFC 9562, section 5.7), 48 bits of milliseconds, the rest random.

/**
 * A new id.
 * @param {number} time - milliseconds since 1970
 * @param {Uint8Array} bytes - 16 random bytes; given only by tests
 * @returns {string} lower-case text of 36 characters
 */
export function uuid7(time, bytes = crypto.getRandomValues(new Uint8Array(16))) {
  for (let place = 5, rest = time; place >= 0; place -= 1, rest = Math.floor(rest / 256)) {
    bytes[place] = rest % 256;
  }
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const digits = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return [0, 8, 12, 16, 20].map((from, at, all) => digits.slice(from, all[at + 1])).join("-");
}
