/* A record as a file: written so that a person can read it, and read so that nothing in it can do harm.
 *
 * A file comes from anywhere. Each value is checked for its type and copied field by field into a new object, so
 * that nothing else of the file lives on; texts stay texts, whatever stands in them.
 */
(function () {
  "use strict";
  const { call } = globalThis.faultleaf;
  const { JobError, isObject, own, isTime, isText } = call;

  const MOST_BYTES = 2_000_000;
  const MOST_ENTRIES = 5000;
  const JOB_ID = /^[A-Za-z0-9-]{1,64}$/;

  /** @returns {boolean} letters are counted first: most files need no counting of bytes, huge ones get none */
  function isTooLarge(text) {
    return text.length > MOST_BYTES || (3 * text.length > MOST_BYTES && new TextEncoder().encode(text).length > MOST_BYTES);
  }

  function parse(text) {
    if (isTooLarge(text)) throw new JobError("This file is too large to be a job record: over 2 MB.");
    try {
      return JSON.parse(text);
    } catch {
      throw new JobError("This file is not a job record: it is not JSON.");
    }
  }

  function readHead(raw) {
    if (!isObject(raw) || own(raw, "format") !== call.FORMAT) throw new JobError("This file is not a job record of this kind of site.");
    const version = own(raw, "version");
    if (!Number.isInteger(version) || version < call.OLDEST_VERSION) throw new JobError("This job record does not say its version.");
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

  /** Where the cards are that a field of this kind may name. */
  const FOLDERS = Object.freeze({
    symptom: ["symptoms"], test: ["tests"], fault: ["faults"], repair: ["faults"], step: ["tests", "faults"], caution: ["cautions"], feature: [],
  });

  /** @returns {string} the id of today; of a repair the fault's, with its number */
  function idOfToday(library, kind, id) {
    const [stem, ...number] = id.split(".");
    for (const folder of FOLDERS[kind]) {
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
      const id = idOfToday(library, field.kind, entry[name]);
      if (id === entry[name]) continue;
      said.add(`${entry[name]} is called ${id} now.`);
      fresh[name] = id;
    }
    return fresh;
  }

  /** @returns {string[]} the cards that an entry names and that are gone; causes are known only once they are loaded */
  function goneFrom(library, entry) {
    const known = { symptom: library.symptoms, test: library.testById, feature: library.equipment };
    return Object.entries(call.KINDS[entry.what])
      .filter(([name, { kind }]) => Object.hasOwn(known, String(kind)) && !known[kind].has(entry[name]))
      .map(([name]) => `This library has no card ${entry[name]}: what was said of it stays in the record and does not count.`);
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
    const entries = log.map(call.readEntry).map((entry) => renamed(entry, library, said));
    for (const entry of entries) for (const words of goneFrom(library, entry)) said.add(words);
    const other = head.library.fingerprint !== library.fingerprint;
    if (other) said.add("It was made with another state of the library: numbers may differ from what was shown then.");
    return { job: { ...head, log: entries }, changes: [...said] };
  }

  /** @param {JobState} state @returns {string[]} what of the record means nothing with this library */
  function leftOut(state) {
    return state.trail.filter(({ takenBack, idle }) => idle && !takenBack)
      .map(({ index, idle }) => `Entry ${index + 1} is left out. ${idle}`);
  }

  /** @param {Job} job @returns {string} the file: JSON with two blanks, fields always in the same order */
  function writeJobFile(job) {
    const { format, version, id, opened, library: { title, fingerprint } } = job;
    const about = Object.fromEntries(call.ABOUT.map((field) => [field, job.about[field]]));
    const record = { format, version, id, opened, library: { title, fingerprint }, about, log: job.log.map(call.ordered) };
    return `${JSON.stringify(record, null, 2)}\n`;
  }

  /** @returns {string} a name for the file from the job's own words: letters, digits and dashes */
  function fileName(job) {
    const words = [job.opened.slice(0, 10), job.about.customer || job.about.address || job.about.name || job.id].join(" ");
    const plain = words.normalize("NFKD").replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "");
    return `job-${plain.slice(0, 60)}.json`;
  }

  Object.assign(call, { readJobFile, writeJobFile, leftOut, fileName, MOST_BYTES });
})();
