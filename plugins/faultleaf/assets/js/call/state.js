/* Where a job stands: its log read from the first entry to the last, without what was taken back.
 *
 * An entry that means nothing with this library, or no longer after what was said later, stays in the log and is
 * left out with a reason in words.
 */

/**
 * @typedef {object} JobState
 * @property {string[]} symptoms that are there; the first is what the call came in for
 * @property {string[]} absent looked for and not there
 * @property {Map<string, string>} equipment feature → value, where it is known
 * @property {Set<string>} unknown features of which nobody at the call knows the value
 * @property {string | null} who the highest rank at the call; null as long as nobody said
 * @property {Set<string>} safe cautions that were read
 * @property {Map<string, string>} findings test → outcome, or repair → "still-there", in the order in which they came
 * @property {Map<string, any>} readings test → the entry that measured it
 * @property {Map<string, any>} cannot test or repair → the entry that says why it cannot be done here
 * @property {{repair: string, entry: any, result: string | null, proved: any}[]} repairs in the order in which they
 *   were done, each with the entry that tells its result
 * @property {string | null} waiting the repair whose proof is open
 * @property {any | null} handedOn the entry that hands the call on without a cause
 * @property {any | null} named the entry that names the cause and leaves its repair to others
 * @property {boolean} closed
 * @property {{index: number, entry: any, takenBack: boolean, idle: string | null}[]} trail
 */

(function () {
  "use strict";
  const { call, engine } = globalThis.faultleaf;

  const GONE = "This library has no such card.";
  const RULED_OUT = "What is fitted here rules this test out.";

  /** @returns {JobState} */
  function emptyState() {
    return {
      symptoms: [], absent: [], equipment: new Map(), unknown: new Set(), who: null,
      safe: new Set(), findings: new Map(), readings: new Map(), cannot: new Map(), repairs: [], waiting: null,
      handedOn: null, named: null, closed: false, trail: [],
    };
  }

  /** @returns {{fault: any, repair: any} | null} */
  function findRepair(library, id) {
    const fault = library.faults.get(String(id).split(".")[0]);
    const repair = fault && fault.repairs.find((each) => each.id === id);
    return repair ? { fault, repair } : null;
  }

  function hasStep(library, id) {
    if (id.startsWith("equipment.")) return library.equipment.has(id.slice("equipment.".length));
    return library.testById.has(id) || findRepair(library, id) !== null;
  }

  /** What each kind of entry changes; one that gives words is left out for that reason. */
  const APPLY = Object.freeze({
    symptom(state, { symptom, present }, library) {
      if (!library.symptoms.has(symptom)) return GONE;
      state.symptoms = state.symptoms.filter((each) => each !== symptom);
      state.absent = state.absent.filter((each) => each !== symptom);
      (present ? state.symptoms : state.absent).push(symptom);
      return null;
    },
    who(state, { rank }, library) {
      if (!library.ranks.includes(rank)) return "This library has no such rank.";
      state.who = rank;
      return null;
    },
    equipment(state, { feature, value }, library) {
      const card = library.equipment.get(feature);
      if (!card || (value !== null && !card.values.includes(value))) return "This library does not ask that.";
      state.equipment.delete(feature);
      state.unknown.delete(feature);
      if (value === null) state.unknown.add(feature);
      else state.equipment.set(feature, value);
      return null;
    },
    safe(state, { caution }) {
      state.safe.add(caution);
      return null;
    },
    finding(state, entry, library) {
      const test = library.testById.get(entry.test);
      if (!test) return GONE;
      if (!test.outcomes.includes(entry.outcome)) return "This test has no such outcome in this library.";
      found(state, entry.test, entry.outcome);
      state.readings.delete(entry.test);
      if (entry.reading !== undefined) state.readings.set(entry.test, entry);
      return null;
    },
    cannot(state, entry, library) {
      if (!hasStep(library, entry.step)) return GONE;
      state.cannot.set(entry.step, entry);
      return null;
    },
    repair(state, entry, library) {
      if (!findRepair(library, entry.repair)) return GONE;
      state.repairs.push({ repair: entry.repair, entry, result: null, proved: null });
      state.waiting = entry.repair;
      state.handedOn = state.named = null;
      return null;
    },
    proved(state, entry, library) {
      const { repair, result } = entry, done = state.repairs.findLast((each) => each.repair === repair);
      if (!done) return "That repair was not done.";
      Object.assign(done, { result, proved: entry });
      if (state.waiting === repair) state.waiting = null;
      for (const [test, outcome] of Object.entries(findRepair(library, repair)?.repair.restore ?? {})) found(state, test, outcome);
      state.findings.delete(repair);
      if (result !== engine.CURED) found(state, repair, engine.STILL_THERE);
      return null;
    },
    named(state, entry, library) {
      if (!findRepair(library, entry.repair) || !library.faults.has(entry.cause)) return GONE;
      state.named = entry;
      return null;
    },
    "handed-on"(state, entry) {
      state.handedOn = entry;
      return null;
    },
    note: () => null,
    "taken-back": (state, { entry }) => (entry < state.trail.length ? null : "There is no such entry."),
    closed(state) {
      state.closed = true;
      return null;
    },
  });

  /** The finding as the latest: their order counts (model, rules 7 and 17). */
  function found(state, id, outcome) {
    state.findings.delete(id);
    state.findings.set(id, outcome);
  }

  /** @returns {boolean} whether a test can be done on what is known to be fitted */
  function canBeHere(library, state, test) {
    return Object.entries(library.testById.get(test).found_on)
      .every(([feature, allowed]) => allowed.includes(state.equipment.get(feature) ?? allowed[0]));
  }

  /** A test of what is not fitted here showed nothing of it: its findings are left out, whichever was said first. */
  function leaveOutRuledOut(state, library, without) {
    state.trail = state.trail.map((each) => {
      const { index, entry, takenBack, idle } = each, counts = !takenBack && !idle && !without.has(index);
      if (entry.what !== "finding" || !counts || canBeHere(library, state, entry.test)) return each;
      state.findings.delete(entry.test);
      state.readings.delete(entry.test);
      return { ...each, idle: RULED_OUT };
    });
  }

  /**
   * @param {Job} job
   * @param {Library} library
   * @param {Set<number>} [without] places of the log to be left out as well
   * @returns {JobState}
   */
  function stateOf(job, library, without = new Set()) {
    const state = emptyState(), back = call.takenBack(job.log);
    job.log.forEach((entry, index) => {
      const takenBack = back.has(index), left = takenBack || without.has(index);
      const idle = left ? null : APPLY[entry.what](state, entry, library);
      // Whatever is done after a job was closed opens it again.
      if (!left && entry.what !== "closed" && entry.what !== "note") state.closed = false;
      state.trail.push({ index, entry, takenBack, idle });
    });
    leaveOutRuledOut(state, library, without);
    return state;
  }

  /** @returns {boolean} whether the entry changes what is believed of the causes */
  function tells(entry) {
    return entry.what === "finding" || entry.what === "symptom" || (entry.what === "equipment" && entry.value !== null)
      || (entry.what === "proved" && entry.result !== engine.CURED);
  }

  /** @param {JobState} state @returns {number} the place of the last entry that changed the belief, -1 where none did */
  function lastTelling(state) {
    const last = state.trail.findLast(({ entry, takenBack, idle }) => !takenBack && !idle && tells(entry));
    return last ? last.index : -1;
  }

  /** @returns {any[]} the part of the trail with entries of these kinds that were not taken back, in order */
  function standing(state, ...kinds) {
    return state.trail.filter(({ entry, takenBack }) => !takenBack && kinds.includes(entry.what));
  }

  Object.assign(call, { stateOf, findRepair, canBeHere, lastTelling, standing });
})();
