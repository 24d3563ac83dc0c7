/* A record as a file: written so that a person can read it, and read so that nothing in it can do harm.
 *
 * A file comes from anywhere. Each value is checked for its type and copied field by field into a new object, so
 * that nothing else of the file lives on; texts stay texts, whatever stands in them.
 */
(function () {
  "use strict";
  const { call } = globalThis.faultleaf;
  const { JobError } = call;

  const MOST_BYTES = 2_000_000;
  const MOST_ENTRIES = 5000;
  const LONGEST_TEXT = 4000;
  const ID = /^[a-z0-9]+(?:[-.][a-z0-9]+)*$/;
  const JOB_ID = /^[A-Za-z0-9-]{1,64}$/;
  const TIME = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d{1,3})?Z$/;
  const LONGEST_ID = 120;

  function isObject(value) {
    return typeof value === "object" && value !== null && !Array.isArray(value);
  }

  /** @returns {any} what the field holds, never what an object inherits */
  function own(object, field) {
    return Object.hasOwn(object, field) ? object[field] : undefined;
  }

  function isTime(value) {
    return typeof value === "string" && TIME.test(value) && !Number.isNaN(Date.parse(value));
  }

  function isText(value) {
    return typeof value === "string" && value.length <= LONGEST_TEXT;
  }

  function isId(value) {
    return typeof value === "string" && value.length <= LONGEST_ID && ID.test(value);
  }

  const CHECKS = Object.freeze({
    text: isText,
    id: isId,
    number: Number.isFinite,
    truth: (value) => typeof value === "boolean",
    place: (value) => Number.isInteger(value) && value >= 0,
  });

  function fits(value, field) {
    if (field.nullable && value === null) return true;
    return field.type === "choice" ? field.of.includes(value) : CHECKS[field.type](value);
  }

  /** @returns {Entry} a copy of its known fields; throws JobError where one is wrong */
  function readEntry(raw, index) {
    const refuse = (what) => { throw new JobError(`Entry ${index + 1} of this record ${what}.`); };
    if (!isObject(raw)) refuse("is not an entry");
    const what = own(raw, "what");
    if (typeof what !== "string" || !Object.hasOwn(call.KINDS, what)) refuse("is of a kind that this page does not know");
    if (!isTime(own(raw, "at"))) refuse("has no time that can be read");
    const entry = { at: raw.at, what };
    for (const [name, field] of Object.entries(call.KINDS[what])) {
      const value = own(raw, name);
      if (value === undefined && field.optional) continue;
      if (!fits(value, field)) refuse(`has no usable '${name}'`);
      entry[name] = value;
    }
    const extra = Object.keys(raw).find((name) => !Object.hasOwn(entry, name));
    if (extra !== undefined) refuse("has a field that this page does not know");
    if (what === "taken-back" && entry.entry >= index) refuse("takes back what comes after it");
    return entry;
  }

  function parse(text) {
    if (text.length > MOST_BYTES) throw new JobError("This file is too large to be a job record: over 2 MB.");
    try {
      return JSON.parse(text);
    } catch {
      throw new JobError("This file is not a job record: it is not JSON.");
    }
  }

  function readHead(raw) {
    if (!isObject(raw) || own(raw, "format") !== call.FORMAT) throw new JobError("This file is not a job record of this kind of site.");
    const version = own(raw, "version");
    if (!Number.isInteger(version) || version < 1) throw new JobError("This job record does not say its version.");
    if (version > call.VERSION) throw new JobError("This job record comes from a newer site; open it there.");
    const id = own(raw, "id"), library = own(raw, "library"), about = own(raw, "about");
    if (typeof id !== "string" || !JOB_ID.test(id)) throw new JobError("This job record has no usable id.");
    if (!isTime(own(raw, "opened"))) throw new JobError("This job record does not say when it was opened.");
    if (!isObject(library) || !isText(own(library, "title")) || !isText(own(library, "fingerprint"))) {
      throw new JobError("This job record does not say which site it was made with.");
    }
    const wrong = call.ABOUT.find((field) => !isObject(about) || !isText(own(about, field)));
    if (wrong) throw new JobError(`This job record has no usable '${wrong}'.`);
    return {
      format: call.FORMAT, version: call.VERSION, id, opened: raw.opened,
      library: { title: library.title, fingerprint: library.fingerprint },
      about: Object.fromEntries(call.ABOUT.map((field) => [field, about[field]])),
    };
  }

  /** Where an entry names a card, by the field and what it holds. */
  const FOLDERS = Object.freeze({ symptom: "symptoms", test: "tests", repair: "faults", step: null, caution: "cautions" });

  /** @returns {string} the id of today; of a repair the fault's, with its number */
  function idOfToday(library, kind, id) {
    const folders = kind === "step" ? ["tests", "faults"] : FOLDERS[kind] ? [FOLDERS[kind]] : [];
    const [stem, ...number] = id.split(".");
    for (const folder of folders) {
      const names = library.formerly[folder];
      if (Object.hasOwn(names, stem)) return [names[stem], ...number].join(".");
    }
    return id;
  }

  /** Renames cards in an entry; says so once for each card. */
  function renamed(entry, library, said) {
    const fresh = { ...entry };
    for (const [name, field] of Object.entries(call.KINDS[entry.what])) {
      if (field.type !== "id") continue;
      const id = idOfToday(library, field.kind === "repair" ? "repair" : field.kind, entry[name]);
      if (id === entry[name]) continue;
      said.add(`${entry[name]} is called ${id} now.`);
      fresh[name] = id;
    }
    return fresh;
  }

  /**
   * @param {string} text of a file, from anywhere
   * @param {Library} library of this site
   * @returns {{job: Job, changes: string[]}} the record as this library understands it, and what is different now;
   *   throws JobError with the reason where the file is refused
   */
  function readJobFile(text, library) {
    const raw = parse(text), head = readHead(raw), log = own(raw, "log");
    if (!Array.isArray(log)) throw new JobError("This job record has no log.");
    if (log.length > MOST_ENTRIES) throw new JobError("This job record is too long: over 5,000 entries.");
    const said = new Set();
    const entries = log.map(readEntry).map((entry) => renamed(entry, library, said));
    const other = head.library.fingerprint !== library.fingerprint;
    if (other) said.add("It was made with another state of the library: numbers may differ from what was shown then.");
    return { job: { ...head, log: entries }, changes: [...said] };
  }

  /** @param {Job} job @param {State} state @returns {string[]} what of the record means nothing with this library */
  function leftOut(state) {
    return state.trail.filter(({ takenBack, idle }) => idle && !takenBack)
      .map(({ index, idle }) => `Entry ${index + 1} is left out. ${idle}`);
  }

  /** @param {Job} job @returns {string} the file: JSON with two blanks, fields always in the same order */
  function writeJobFile(job) {
    return `${JSON.stringify(job, null, 2)}\n`;
  }

  /** @returns {string} a name for the file from the job's own words: letters, digits and dashes */
  function fileName(job) {
    const words = [job.opened.slice(0, 10), job.about.customer || job.about.address || job.about.name || job.id].join(" ");
    const plain = words.normalize("NFKD").replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
    return `job-${plain.slice(0, 60)}.json`;
  }

  Object.assign(call, { readJobFile, writeJobFile, leftOut, fileName, MOST_BYTES });
})();
