/* The record of one job: what was said, done and seen, in order. Nothing in it is ever changed or taken out.
 *
 * What stands at any time is read off the log anew (state.js), so that anything can be taken back, and so that a
 * record can be played again with a later library. Pure: a time is handed in, nothing touches `document`.
 */

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
 * @typedef {{at: string, what: string} & Record<string, any>} Entry one of KINDS (entry.js), with its fields
 */

(function () {
  "use strict";
  const { call } = globalThis.faultleaf;

  const FORMAT = "faultleaf-job";
  const VERSION = 3;
  /** Files from here on are read: version 1 had no named causes and nothing proved before a repair, version 2 no
   * worksheets. */
  const OLDEST_VERSION = 1;
  const ABOUT = Object.freeze(["name", "address", "customer", "telephone", "technician", "licence"]);

  /** @param {{id: string, at: string, library: {title: string, fingerprint: string}}} given @returns {Job} */
  function newJob({ id, at, library }) {
    const about = Object.fromEntries(ABOUT.map((field) => [field, ""]));
    return { format: FORMAT, version: VERSION, id, opened: at, library: { ...library }, about, log: [] };
  }

  /**
   * @param {Job} job
   * @param {Entry} entry a field that is undefined counts as left out
   * @returns {Job} a new one, with the entry at the end of its log; throws JobError for what could not be read again
   */
  function add(job, entry) {
    const said = Object.fromEntries(Object.entries(entry).filter(([, value]) => value !== undefined));
    return { ...job, log: [...job.log, call.readEntry(said, job.log.length)] };
  }

  /** @param {Job} job @param {Record<string, string>} about @returns {Job} throws JobError for what could not be read again */
  function describe(job, about) {
    const wrong = Object.entries(about).find(([field, value]) => !ABOUT.includes(field) || !call.isText(value));
    if (wrong) throw new call.JobError(`This job record has no usable '${wrong[0]}'.`);
    return { ...job, about: { ...job.about, ...about } };
  }

  /** @param {Entry[]} log @returns {Set<number>} places of the entries that were taken back; one taken back twice stays so */
  function takenBack(log) {
    return new Set(log.filter((entry) => entry.what === "taken-back").map((entry) => entry.entry));
  }

  Object.assign(call, { FORMAT, VERSION, OLDEST_VERSION, ABOUT, newJob, add, describe, takenBack });
})();
