/* The record of one job: what was said, done and seen, in order. Nothing in it is ever changed or taken out.
 *
 * What stands at any time is read off the log anew (state.js), so that anything can be taken back, and so that a
 * record can be played again with a later library. Pure: a time is handed in, nothing touches `document`.
 */
(function () {
  "use strict";
  const { EngineError } = globalThis.faultleaf.engine;

  /**
   * @typedef {object} Job
   * @property {"faultleaf-job"} format
   * @property {number} version
   * @property {string} id
   * @property {string} opened ISO time
   * @property {{title: string, fingerprint: string}} library of the site that it was made with
   * @property {Record<string, string>} about what the technician writes down of it, by ABOUT
   * @property {Entry[]} log
   *
   * @typedef {{at: string, what: string} & Record<string, any>} Entry one of KINDS, with its fields
   */

  const FORMAT = "faultleaf-job";
  const VERSION = 1;
  const ABOUT = Object.freeze(["name", "address", "customer", "telephone", "technician", "licence"]);
  const REASONS = Object.freeze(["no-tool", "no-part", "no-access", "not-safe", "not-allowed", "refused", "other"]);
  const RESULTS = Object.freeze(["cured", "still-there"]);

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
      unit: note, noticed: { type: "truth", optional: true }, note,
    },
    cannot: { step: id("step"), reason: { type: "choice", of: REASONS }, note },
    repair: { repair: id("repair"), note },
    proved: { repair: id("repair"), result: { type: "choice", of: RESULTS }, note },
    "handed-on": { to: text, note },
    note: { text },
    "taken-back": { entry: { type: "place" } },
    closed: {},
  });

  /** A record that cannot be read or made, in words for the one who holds it. */
  class JobError extends EngineError {}

  /** @param {{id: string, at: string, library: {title: string, fingerprint: string}}} given @returns {Job} */
  function newJob({ id, at, library }) {
    const about = Object.fromEntries(ABOUT.map((field) => [field, ""]));
    return { format: FORMAT, version: VERSION, id, opened: at, library: { ...library }, about, log: [] };
  }

  /** @param {Job} job @param {Entry} entry @returns {Job} a new one, with the entry at the end of its log */
  function add(job, entry) {
    return { ...job, log: [...job.log, entry] };
  }

  /** @param {Job} job @param {Record<string, string>} about @returns {Job} */
  function describe(job, about) {
    return { ...job, about: { ...job.about, ...about } };
  }

  /** @param {Entry[]} log @returns {Set<number>} places of the entries that were taken back; one taken back twice stays so */
  function takenBack(log) {
    return new Set(log.filter((entry) => entry.what === "taken-back").map((entry) => entry.entry));
  }

  globalThis.faultleaf.call = {
    FORMAT, VERSION, ABOUT, REASONS, RESULTS, KINDS, JobError, newJob, add, describe, takenBack,
  };
})();
