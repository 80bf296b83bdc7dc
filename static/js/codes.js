// Tag codes, read and shown as walkabout/tags/codes.py does it; tests/tags/codes.json binds both.
// For the page and for the worker: no document, no storage, no network.
//
// The check letter makes the sum of g^6, g^5, ... 1 times the letters zero in GF(32), the field with the
// polynomial x^5 + x^2 + 1: one wrong letter or two swapped ones are always noticed.

const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const LETTERS = 7;
const FIRST_GROUP = 3;
// Spaces and hyphens, written out because "white space" is not the same set in every language.
const SEPARATORS = /[ \t\r\n\u00a0\u200b\u202f\ufeff\u2010-\u2015\u2212-]+/;
const ADDRESS = /^[^]*\/t\/+([^/?#]*)[^]*$/i;

/** A typed code that cannot be one. `problem` and `values` pick and fill the text that the page shows. */
export class CodeError extends Error {
  constructor(problem, values = {}) {
    super(problem);
    this.name = "CodeError";
    this.problem = problem; // a key of PROBLEMS in codes.py
    this.values = values;
  }
}

/** The canonical seven letters of a typed, pasted or scanned code; throws CodeError. */
export function readCode(text) {
  const groups = groupsOf(text);
  const code = groups.join("");
  const letters = [...code];
  if (!code) throw new CodeError("empty");
  if (code.includes("/")) throw new CodeError("address");
  const first = groups.length === 2 ? [...groups[0]].length : FIRST_GROUP;
  letters.forEach((letter, place) => {
    if (ALPHABET.includes(letter)) return;
    throw new CodeError(place < first ? "letter-first" : "letter-second", { letter });
  });
  if (groups.length === 2 && letters.length !== LETTERS) {
    if (first !== FIRST_GROUP) throw new CodeError("group-first", { count: first });
    throw new CodeError("group-second", { count: letters.length - first });
  }
  if (letters.length !== LETTERS) throw new CodeError("length", { count: letters.length });
  if (weightedSum(code) !== 0) throw new CodeError("check", { code: shown(code) });
  return code;
}

/** The letters of a code as far as they can be made out, without judging them: for correcting while typing. */
export function normalise(text) {
  return groupsOf(text).join("");
}

/** A canonical code as people read it: three letters, a hyphen, four letters. */
export function shown(code) {
  return `${code.slice(0, FIRST_GROUP)}-${code.slice(FIRST_GROUP)}`;
}

function groupsOf(text) {
  const address = ADDRESS.exec(text);
  return (address ? address[1] : text)
    .replace(/[a-z]/g, (letter) => letter.toUpperCase())
    .replace(/[IL]/g, "1")
    .replace(/O/g, "0")
    .split(SEPARATORS)
    .filter((group) => group);
}

function weightedSum(letters) {
  let total = 0;
  for (const letter of letters) total = timesGenerator(total) ^ ALPHABET.indexOf(letter);
  return total;
}

function timesGenerator(value) {
  return (value << 1) ^ (value & 0b10000 ? 0b100101 : 0);
}
