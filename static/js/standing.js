// Which of the entries on this phone hold, by the rule of the server (walkabout/records/standing.py): of rival
// corrections and withdrawals of an entry the one made last, among those that are not taken back themselves.

/**
 * @param {object[]} records - of the outbox; what the server refused does not count
 * @returns {(id: string) => object | undefined} for an entry's id the record that holds over it
 */
export function holders(records) {
  const naming = new Map();
  const counting = records.filter(({ state }) => state !== "refused");
  for (const record of counting.sort((one, other) => (one.id < other.id ? -1 : 1))) {
    const target = record.entry.replaces ?? record.entry.withdraws;
    if (target) naming.set(target, [...(naming.get(target) ?? []), record]);
  }
  // An id is made after that of what it names, so this comes to an end.
  const over = (id) => naming.get(id)?.findLast((record) => !over(record.id)?.entry.withdraws);
  return over;
}
