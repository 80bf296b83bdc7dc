// What the server wrote on <body> about this page. A kept page says what was true when it was made.

const { dataset } = document.body;

export const page = Object.freeze({
  program: dataset.program,
  texts: dataset.texts,
  timeZone: dataset.timezone,
  /** Who was signed in then: {id, name}, or null. */
  person: dataset.person ? Object.freeze({ id: dataset.person, name: dataset.personName }) : null,
  /** The plant that this is the page of: {id, name}, or null. */
  plant: dataset.plant ? Object.freeze({ id: dataset.plant, name: dataset.plantName }) : null,
  /** The group of plants that this is the page of: its key, or null. */
  group: dataset.group ?? null,
  /** The path of the kept page; a tag's address shows its plant's. */
  path: dataset.plant ? `/plants/${dataset.plant}` : location.pathname,
  /** Pages that belong to nobody say nothing about who is signed in. */
  nobodys: "nobodys" in dataset,
});

/** Milliseconds by the server when it made this page, or the fresher copy whose words it shows by now. */
export const madeAt = () => Date.parse(dataset.serverTime);
