/* One entry of a record: its kinds, what each of them holds, and whether a value may stand there.
 *
 * Whatever enters a record goes through `readEntry`, typed on the page or loaded from a file, so that a record that
 * was kept can always be read again.
 */
(function () {
  "use strict";
  /** @type {typeof Error} */
  const EngineError = globalThis.faultleaf.engine.EngineError;

  const REASONS = Object.freeze(["no-tool", "no-part", "no-access", "not-safe", "not-allowed", "refused", "other"]);
  const RESULTS = Object.freeze(["cured", "still-there", "mended"]);

  /** A field of an entry: its type, and whether it may be left out. `choice` is one of the values of `of`. */
  const text = { type: "text" }, note = { type: "text", optional: true };
  const id = (kind) => ({ type: "id", kind });
  const KINDS = Object.freeze({
    symptom: { symptom: id("symptom"), present: { type: "truth" } },
    who: { rank: { type: "text" } },
    equipment: { feature: id("feature"), value: { type: "text", nullable: true } },
    safe: { caution: id("caution") },
    finding: {
      test: id("test"), outcome: { type: "text" }, reading: { type: "number", optional: true },
      unit: note, noticed: { type: "truth", optional: true },
      worked: { type: "work", optional: true }, note,
    },
    cannot: { step: id("step"), reason: { type: "choice", of: REASONS }, note },
    repair: { repair: id("repair"), checked: { type: "texts", optional: true }, note },
    proved: { repair: id("repair"), result: { type: "choice", of: RESULTS }, note },
    named: { cause: id("fault"), repair: id("repair"), to: text, note },
    "handed-on": { to: text, note },
    note: { text },
    "taken-back": { entry: { type: "place" } },
    closed: {},
  });

  /** A record that cannot be read or made, in words for the one who holds it. */
  class JobError extends EngineError {}

  const LONGEST_TEXT = 4000;
  const LONGEST_ID = 120;
  const MOST_TEXTS = 20;
  const MOST_NAMED = 60;
  const ID = /^[a-z0-9]+(?:[-.][a-z0-9]+)*$/;
  const TIME = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d{1,3})?Z$/;

  function isObject(value) {
    return typeof value === "object" && value !== null && !Array.isArray(value);
  }

  /** @returns {any} what the field holds, never what an object inherits */
  function own(object, field) {
    return Object.hasOwn(object, field) ? object[field] : undefined;
  }

  /** @returns {boolean} whether it is a time that the calendar has: Date.parse alone takes 30 February for 2 March */
  function isTime(value) {
    if (typeof value !== "string" || !TIME.test(value)) return false;
    const time = Date.parse(value);
    return !Number.isNaN(time) && new Date(time).toISOString().startsWith(value.slice(0, 19));
  }

  /** @returns {boolean} letters are counted as JSON Schema counts them, by code points */
  function isText(value) {
    if (typeof value !== "string" || value.length > 2 * LONGEST_TEXT) return false;
    return value.length <= LONGEST_TEXT || [...value].length <= LONGEST_TEXT;
  }

  function isId(value) {
    return typeof value === "string" && value.length <= LONGEST_ID && ID.test(value);
  }

  /** @returns {boolean} texts by id: what was put into a worksheet, or what came out */
  function isNamedTexts(value) {
    return isObject(value) && Object.keys(value).length <= MOST_NAMED && Object.entries(value).every(([name, each]) => isId(name) && isText(each));
  }

  const WORK = Object.freeze({ worksheet: isId, by: isId, inputs: isNamedTexts, results: isNamedTexts });

  /** @returns {boolean} a worksheet as it was worked, and the result that decided */
  function isWork(value) {
    return isObject(value) && Object.keys(value).length === Object.keys(WORK).length &&
      Object.entries(WORK).every(([name, check]) => check(own(value, name)));
  }

  const CHECKS = Object.freeze({
    text: isText,
    texts: (value) => Array.isArray(value) && value.length <= MOST_TEXTS && value.every(isText),
    id: isId,
    number: Number.isFinite,
    truth: (value) => typeof value === "boolean",
    work: isWork,
    place: (value) => Number.isInteger(value) && value >= 0,
  });

  function fits(value, field) {
    if (field.nullable && value === null) return true;
    return field.type === "choice" ? field.of.includes(value) : CHECKS[field.type](value);
  }

  function copyWork({ worksheet, by, inputs, results }) {
    return { worksheet, by, inputs: { ...inputs }, results: { ...results } };
  }

  /** @param {Entry} entry @returns {Entry} a copy with its known fields in the order of KINDS, without empty ones */
  function ordered(entry) {
    const fields = ["at", "what", ...Object.keys(KINDS[entry.what])];
    const copy = (value) => (Array.isArray(value) ? [...value] : isObject(value) ? copyWork(value) : value);
    const kept = fields.filter((name) => own(entry, name) !== undefined).map((name) => [name, copy(entry[name])]);
    return /** @type {Entry} */ (Object.fromEntries(kept));
  }

  /**
   * @param {any} raw from anywhere
   * @param {number} index its place in the log
   * @returns {Entry} a copy of its known fields; throws JobError where one is wrong
   */
  function readEntry(raw, index) {
    const refuse = (/** @type {string} */ wrong) => { throw new JobError(`Entry ${index + 1} of this record ${wrong}.`); };
    if (!isObject(raw)) refuse("is not an entry");
    const what = own(raw, "what");
    if (typeof what !== "string" || !Object.hasOwn(KINDS, what)) refuse("is of a kind that this page does not know");
    if (!isTime(own(raw, "at"))) refuse("has no time that can be read");
    for (const [name, field] of Object.entries(KINDS[what])) {
      const value = own(raw, name);
      if (!(value === undefined && field.optional) && !fits(value, field)) refuse(`has no usable '${name}'`);
    }
    const known = ["at", "what", ...Object.keys(KINDS[what])];
    if (Object.keys(raw).some((name) => !known.includes(name))) refuse("has a field that this page does not know");
    if (what === "taken-back" && raw.entry >= index) refuse("takes back what comes after it");
    return ordered(raw);
  }

  globalThis.faultleaf.call = { KINDS, JobError, isObject, own, isTime, isText, ordered, readEntry };
})();
