/* The desk of jobs: those that are kept and those of this visit, so that a call goes on where nothing can be stored. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const call = globalThis.faultleaf.call;

  /** @returns {string} an id that no other device gives */
  function newId(now) {
    const bytes = crypto.getRandomValues(new Uint8Array(5));
    return `${now.toISOString().slice(0, 10)}-${[...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("")}`;
  }

  class Desk {
    /** @param {Library} names knows every name of the site, but the causes of no symptom */
    constructor(names) {
      this.names = names;
      /** @type {Store} */
      this.store = call.openStore(call.browserStorage(), names);
      /** Jobs of this visit by id. @type {Map<string, Job>} */
      this.kept = new Map();
      /** Jobs that nobody works yet: they are not stored. @type {Set<string>} */
      this.drafts = new Set();
      this.unsaved = false;
    }

    /** @returns {string} why nothing can be kept, "" where all is well */
    trouble() { return this.store.trouble() || ""; }

    /** @param {string} id @returns {Job | null} */
    find(id) { return this.kept.get(id) || this.store.load(id); }

    /** @returns {Job[]} every job there is, latest first */
    jobs() {
      const all = new Map(this.store.list().jobs.map((job) => [job.id, job]));
      for (const [id, job] of this.kept) if (!this.drafts.has(id)) all.set(id, job);
      const last = (job) => (job.log.length > 0 ? job.log[job.log.length - 1].at : job.opened);
      return [...all.values()].sort((a, b) => (last(a) < last(b) ? 1 : -1));
    }

    /** @returns {number} kept jobs that cannot be read */
    damaged() { return this.store.list().damaged.length; }

    /** @param {Date} now @returns {Job} a draft, with the names of the last job */
    begin(now) {
      const { title, fingerprint } = this.names;
      const job = callView.asBefore(call.newJob({ id: newId(now), at: now.toISOString(), library: { title, fingerprint } }), this.jobs()[0]);
      this.drafts.add(job.id);
      return job;
    }

    /** The draft becomes a job: from here on it is kept. */
    startWork(job) { this.drafts.delete(job.id); }

    /** @param {Job} job @returns {Job} the same, or a copy under a new id where another tab went on with it */
    keep(job) {
      this.unsaved = true;
      const kept = this.drafts.has(job.id) ? job : this.store.save(job).job;
      this.kept.set(kept.id, kept);
      return kept;
    }

    /** @param {Job} job from a file @param {Date} now @returns {Job} beside one of the same id that says something else, under a new id */
    take(job, now) {
      const there = this.find(job.id), same = !there || JSON.stringify(there.log) === JSON.stringify(job.log);
      return same ? job : { ...job, id: newId(now) };
    }

    /** @param {string} id */
    remove(id) {
      this.kept.delete(id);
      this.store.remove(id);
    }
  }

  Object.assign(callView, { Desk });
})();
