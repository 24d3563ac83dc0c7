/* The jobs that this browser keeps. A full, blocked or damaged storage never stops a call: it is said, and the job
 * lives on in the page, from where it can be saved as a file. */

/**
 * @typedef {object} Kept
 * @property {Job[]} jobs newest first
 * @property {string[]} damaged ids of what cannot be read; it stays where it is
 *
 * @typedef {object} Store none of its functions throws
 * @property {() => Kept} list
 * @property {(id: string) => Job | null} load
 * @property {(job: Job) => {kept: boolean, reason: string | null, job: Job}} save `job`: under a new id where
 *   another tab has gone on with the same job in another way, so that both are kept
 * @property {(id: string) => boolean} remove
 * @property {() => string | null} trouble why nothing is kept, where that is so
 */

(function () {
  "use strict";
  const { call } = globalThis.faultleaf;

  const PREFIX = "faultleaf-job:";
  const BLOCKED = "This browser keeps nothing for this page. Save the job as a file before you close it.";
  const FULL = "This browser's storage is full. Save the job as a file, or delete old jobs.";
  const DAMAGED = "A job that was kept here cannot be read. It is left as it is.";

  /** What browsers throw where no room is left; the second is Firefox's older name. */
  const FULL_NAMES = Object.freeze(["QuotaExceededError", "NS_ERROR_DOM_QUOTA_REACHED"]);

  /** @returns {Storage | null} the browser's storage; null where it is blocked */
  function browserStorage() {
    try {
      const storage = globalThis.localStorage;
      storage.getItem(PREFIX);
      return storage;
    } catch {
      return null;
    }
  }

  function keysOf(storage) {
    const keys = [];
    for (let place = 0; place < storage.length; place += 1) {
      const key = storage.key(place);
      if (key !== null && key.startsWith(PREFIX)) keys.push(key);
    }
    return keys.sort();
  }

  function same(one, other) {
    const fields = Object.keys(one);
    const alike = (field) => JSON.stringify(one[field]) === JSON.stringify(other[field]);
    return fields.length === Object.keys(other).length && fields.every(alike);
  }

  /** @returns {boolean} whether one log begins with the whole of the other */
  function continues(longer, shorter) {
    return shorter.every((entry, place) => place < longer.length && same(entry, longer[place]));
  }

  /** @returns {Job} the kept one, which has the longer log, with what was written down of the job here */
  function joined(there, job) {
    const about = Object.entries(job.about).filter(([, value]) => value !== "");
    return { ...there, about: { ...there.about, ...Object.fromEntries(about) } };
  }

  /** @returns {Job | null} */
  function read(storage, key, library) {
    try {
      return call.readJobFile(storage.getItem(key) || "", library).job;
    } catch {
      return null;
    }
  }

  /** @returns {string} an id that no kept job has */
  function freeId(storage, id) {
    let number = 2;
    while (storage.getItem(`${PREFIX}${id}-${number}`) !== null) number += 1;
    return `${id}-${number}`;
  }

  /** @param {Storage | null} storage @param {Library} library @returns {Store} */
  function openStore(storage, library) {
    let trouble = storage ? null : BLOCKED;

    /** @param {(storage: Storage) => any} work @param {any} otherwise where nothing can be kept @returns {any} */
    function attempt(work, otherwise) {
      if (!storage) return otherwise;
      try {
        return work(storage);
      } catch (error) {
        trouble = error && FULL_NAMES.includes(error.name) ? FULL : BLOCKED;
        return otherwise;
      }
    }

    function list() {
      const found = attempt((storage) => keysOf(storage).map((key) => [key, read(storage, key, library)]), []);
      const jobs = found.map(([, job]) => job).filter(Boolean);
      const latest = (job) => (job.log.length > 0 ? job.log[job.log.length - 1].at : job.opened);
      jobs.sort((a, b) => (latest(a) < latest(b) ? 1 : -1));
      return { jobs, damaged: found.filter(([, job]) => !job).map(([key]) => key.slice(PREFIX.length)) };
    }

    function save(job) {
      const kept = attempt((storage) => {
        const there = read(storage, PREFIX + job.id, library);
        const before = storage.getItem(PREFIX + job.id);
        const ours = before === null || (there && (continues(job.log, there.log) || continues(there.log, job.log)));
        // Whoever has the longer log is ahead; a shorter one that it begins with adds nothing to it.
        const behind = ours && there && there.log.length > job.log.length;
        const named = ours ? job : { ...job, id: freeId(storage, job.id) };
        storage.setItem(PREFIX + named.id, call.writeJobFile(behind ? joined(there, job) : named));
        trouble = null;
        return named;
      }, null);
      return { kept: kept !== null, reason: kept === null ? trouble : null, job: kept || job };
    }

    return {
      list, save,
      load: (id) => attempt((storage) => read(storage, PREFIX + id, library), null),
      remove: (id) => attempt((storage) => { storage.removeItem(PREFIX + id); return true; }, false),
      trouble: () => trouble,
    };
  }

  Object.assign(call, { openStore, browserStorage, STORE_WORDS: Object.freeze({ BLOCKED, FULL, DAMAGED }) });
})();
