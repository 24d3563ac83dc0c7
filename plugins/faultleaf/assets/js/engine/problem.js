/* The problem of one call as typed arrays: what Python's `Problem` is (diagnosis/model/problem.py).
 *
 * A description comes from cards (compile.js) and says only where a row differs from a test's
 * `otherwise`; here the rows are laid out one after the other, so that a look ahead reads memory
 * from front to back. Nothing in this folder touches `document`.
 */

/**
 * @typedef {[string, string[]][]} Conditions test id → the outcomes that are meant (any of them)
 *
 * @typedef {object} TestGiven
 * @property {string} id
 * @property {number} minutes the whole cost
 * @property {string[]} outcomes
 * @property {number[]} otherwise P(outcome | nothing named)
 * @property {[number, number[]][]} rows place of a row → P(outcome | row), where it is not `otherwise`
 * @property {Conditions} [needs]
 * @property {Conditions} [never_when]
 * @property {boolean} [offered] false: never proposed, but a finding of it counts
 * @property {boolean} [equipment] the noiseless question about a feature
 * @property {string} [who]
 * @property {string} [way] how it is done; "look" unless told
 * @property {[string, [string, string][]][]} [renews] own outcome → other tests with what is then found there
 * @property {string[]} [perishes_after] steps after which it is worth nothing
 * @property {string[]} [together] tests that wait at the same time undisturbed
 * @property {number} [minutes_together] what it costs where one of them is known
 * @property {number} [hands_on] minutes of work in it, for showing
 *
 * @typedef {object} RepairGiven
 * @property {string} id
 * @property {string} fault
 * @property {number} minutes the whole cost where it cured, proof included
 * @property {number} [failed_minutes] the same where it did not; `minutes` unless told
 * @property {[number, number][]} fixes place of a row → P(cured | row)
 * @property {Conditions} [needs]
 * @property {Conditions} [never_when]
 * @property {[string, string][]} [restore] test id → what is found where it did not cure
 * @property {boolean} [by_other] ends the call with the cause named
 * @property {string} [who]
 * @property {number} [hands_on] minutes of work in it, for showing
 *
 * @typedef {{test: string, outcome: string, allows: string[], caution: string, call: string}} Stop
 *   `caution` is empty where no danger is meant but an instrument that must be mended first
 *
 * @typedef {object} Description
 * @property {string[]} faults ids of the rows; the last one may be "unlisted"
 * @property {string[]} [causes] the fault cards of the rows; the rows themselves unless told
 * @property {number[]} weights
 * @property {TestGiven[]} tests
 * @property {RepairGiven[]} repairs
 * @property {string[]} first
 * @property {number | null} hand_on minutes; null where nobody can be handed on to
 * @property {number[]} [owed] (rows) minutes that handing on leaves somebody to pay
 * @property {Stop[]} [stops]
 * @property {boolean} [emergency]
 * @property {string[]} [refused]
 *
 * @typedef {{test: number, id: string, wanted: boolean[]}} Condition `test` is -1 where there is none such
 * @typedef {{id: string, minutes: number, outcomes: string[], otherwise: number[], needs: Condition[],
 *   never: Condition[], offered: boolean, equipment: boolean, who: string, way: string, hands_on: number,
 *   renews: [number, number][][], perishing: {tests: number[], repairs: number[]}, together: number[],
 *   least: number, start: number}} Test
 *   `renews`: by outcome, other tests with their new outcomes; `least`: minutes where one of `together` is known;
 *   `start`: the row of its first outcome
 * @typedef {{id: string, fault: string, minutes: number, failed_minutes: number, needs: Condition[],
 *   never: Condition[], restore: [number, number][], who: string, by_other: boolean, hands_on: number}} Repair
 *
 * @typedef {object} Problem
 * @property {any} constants numbers of the policy, as Python exported them
 * @property {string[]} faults ids of the rows: one for each way in which a fault shows
 * @property {string[]} causes the fault cards of the rows
 * @property {Map<string, number[]>} causeRows fault card → its rows
 * @property {Float64Array} weights (faults)
 * @property {Test[]} tests
 * @property {Repair[]} repairs
 * @property {Map<string, number>} testIndex
 * @property {Map<string, number>} repairIndex
 * @property {number[]} first
 * @property {number | null} handOn
 * @property {Float64Array} ending (faults) minutes of handing on with what is owed; 0 where that is not possible
 * @property {Stop[]} stops
 * @property {Map<number, (Uint8Array | null)[]>} stopping test → by outcome what it still allows: tests, then repairs
 * @property {Set<string>} endingThings steps after which something else may no longer be possible
 * @property {boolean} emergency
 * @property {string[]} refused
 * @property {number} rows outcomes of all tests together
 * @property {Float64Array} chances (rows × faults) P(outcome | fault)
 * @property {Float64Array} logs (rows × faults) log2 of it
 * @property {Float64Array} minutes (repairs) where it cured
 * @property {Float64Array} failedMinutes (repairs) where it did not
 * @property {Uint8Array} byOther (repairs)
 * @property {Uint8Array} mending (repairs) 1 where it cures nothing and puts an instrument right
 * @property {Int32Array} fixStart (repairs + 1) where the faults of each repair begin in the three that follow
 * @property {Int32Array} fixPlace
 * @property {Float64Array} fixChance P(cured | fault)
 * @property {Float64Array} fixSpared of handing on, minutes
 * @property {Float64Array} fixSaved the same at most, what a cure costs more taken off
 * @property {Uint8Array} shared (repairs) 1 where another repair fixes one of its faults too
 * @property {Float64Array} stubborn (faults) P(no repair at all cures)
 * @property {Float64Array} floor (faults) minutes paid at least; 0 where the fault is not in question
 * @property {Map<number, number[]>} gates test → repairs whose conditions look at it or at what it renews
 * @property {Set<number>} lifting tests whose finding may stop, or end a stop
 * @property {(Uint8Array | null)[]} forbids for each repair the curing ones that what it sets forbids; null where none
 */

(function () {
  "use strict";

  const UNLISTED = "unlisted";
  const CURED = "cured";
  const STILL_THERE = "still-there";
  const HAND_ON = "hand-on";

  /** A request that the engine cannot answer, in words for the one who asked. */
  class EngineError extends Error {}

  /** @param {string} a @param {string} b @returns {number} order of ids */
  function byId(a, b) {
    return a < b ? -1 : Number(a > b);
  }

  /**
   * @param {Conditions | undefined} conditions
   * @param {Map<string, number>} index
   * @param {TestGiven[]} tests
   * @returns {Condition[]} by id
   */
  function readConditions(conditions, index, tests) {
    const read = (conditions || []).map(([id, wanted]) => {
      const test = index.get(id) ?? -1;
      const outcomes = test < 0 ? [] : tests[test].outcomes;
      return { test, id, wanted: outcomes.map((outcome) => wanted.includes(outcome)) };
    });
    return read.sort((a, b) => byId(a.id, b.id));
  }

  /** @param {TestGiven[]} given @param {Map<string, number>} index @param {Map<string, number>} repairs @returns {Test[]} */
  function readTests(given, index, repairs) {
    const places = (ids, where) => (ids || []).filter((id) => where.has(id)).map((id) => where.get(id));
    let start = 0;
    return given.map((each) => {
      const renewed = new Map(each.renews || []), together = places(each.together, index);
      const test = {
        id: each.id, minutes: each.minutes, outcomes: each.outcomes, otherwise: each.otherwise,
        needs: readConditions(each.needs, index, given), never: readConditions(each.never_when, index, given),
        offered: each.offered !== false, equipment: each.equipment === true, who: each.who || "owner",
        way: each.way || "look", hands_on: each.hands_on || 0, together, least: each.minutes_together || 0,
        renews: each.outcomes.map((own) => (renewed.get(own) || []).map(([id, seen]) => outcomeOf(id, seen, given, index))),
        perishing: { tests: places(each.perishes_after, index), repairs: places(each.perishes_after, repairs) }, start,
      };
      start += each.outcomes.length;
      return test;
    });
  }

  /** @param {RepairGiven[]} given @param {TestGiven[]} tests @param {Map<string, number>} index @returns {Repair[]} */
  function readRepairs(given, tests, index) {
    return given.map((each) => ({
      id: each.id, fault: each.fault, minutes: each.minutes, failed_minutes: each.failed_minutes ?? each.minutes,
      needs: readConditions(each.needs, index, tests), never: readConditions(each.never_when, index, tests),
      restore: (each.restore || []).map(([id, seen]) => outcomeOf(id, seen, tests, index)),
      who: each.who || "owner", by_other: each.by_other === true, hands_on: each.hands_on || 0,
    }));
  }

  /** @returns {[number, number]} the test and the outcome, by place */
  function outcomeOf(id, seen, tests, index) {
    const test = index.get(id);
    const outcome = test === undefined ? -1 : tests[test].outcomes.indexOf(seen);
    if (outcome < 0) throw new EngineError(`there is no outcome '${seen}' of a test '${id}' to set`);
    return [test, outcome];
  }

  /** @returns {Map<number, (Uint8Array | null)[]>} `Problem.stopping` */
  function readStops(stops, tests, testIndex, repairIndex) {
    const stopping = new Map(), count = tests.length;
    for (const stop of stops) {
      const [test, outcome] = outcomeOf(stop.test, stop.outcome, tests, testIndex);
      const mask = new Uint8Array(count + repairIndex.size);
      for (const id of stop.allows) {
        if (testIndex.has(id)) mask[testIndex.get(id)] = 1;
        if (repairIndex.has(id)) mask[count + repairIndex.get(id)] = 1;
      }
      if (!stopping.has(test)) stopping.set(test, tests[test].outcomes.map(() => null));
      const before = stopping.get(test)[outcome];
      stopping.get(test)[outcome] = before === null ? mask : mask.map((may, step) => may & before[step]);
    }
    return stopping;
  }

  /** @param {TestGiven[]} given @param {Test[]} tests @param {number} faults @param {number} rows */
  function layOut(given, tests, faults, rows) {
    const chances = new Float64Array(rows * faults);
    given.forEach((each, place) => {
      const named = new Map(each.rows);
      each.outcomes.forEach((_, column) => {
        const from = (tests[place].start + column) * faults;
        chances.fill(each.otherwise[column], from, from + faults);
        for (const [fault, row] of named) chances[from + fault] = row[column];
      });
    });
    return chances;
  }

  /** Repairs with their faults one after the other: most repairs fix few faults of many. */
  function layOutFixes(given, ending) {
    const fixes = given.map((each) => each.fixes.filter(([, chance]) => chance > 0).sort((a, b) => a[0] - b[0]));
    const fixStart = new Int32Array(fixes.length + 1);
    fixes.forEach((each, place) => { fixStart[place + 1] = fixStart[place] + each.length; });
    const flat = fixes.flat(), owners = fixes.flatMap((each, repair) => each.map(() => repair));
    const fixPlace = Int32Array.from(flat, ([place]) => place);
    const fixChance = Float64Array.from(flat, ([, chance]) => chance);
    const fixSpared = fixChance.map((chance, at) => chance * ending[fixPlace[at]]);
    const fixSaved = fixChance.map((chance, at) => {
      const { minutes, failed_minutes: failed } = given[owners[at]];
      return chance * Math.max(ending[fixPlace[at]] - (minutes - (failed ?? minutes)), 0);
    });
    const fixed = new Map();
    fixPlace.forEach((place) => fixed.set(place, (fixed.get(place) || 0) + 1));
    const shared = Uint8Array.from(fixes, (each) => Number(each.some(([place]) => fixed.get(place) > 1)));
    return { fixStart, fixPlace, fixChance, fixSpared, fixSaved, shared };
  }

  /** What no repair cures, and the least that each fault costs. */
  function leastOf(weights, minutes, { fixStart, fixPlace, fixChance }, ending, handOn) {
    const stubborn = new Float64Array(weights.length).fill(1);
    const floor = handOn === null ? new Float64Array(weights.length).fill(Infinity) : ending.slice();
    minutes.forEach((cost, repair) => {
      for (let at = fixStart[repair]; at < fixStart[repair + 1]; at += 1) {
        stubborn[fixPlace[at]] *= 1 - fixChance[at];
        floor[fixPlace[at]] = Math.min(floor[fixPlace[at]], cost);
      }
    });
    return { stubborn, floor: floor.map((cost, place) => (weights[place] > 0 ? cost : 0)) };
  }

  /** @param {Test[]} tests @param {Repair[]} repairs @returns {Map<number, number[]>} */
  function gatesOf(tests, repairs) {
    const gates = new Map();
    const add = (test, places) => gates.set(test, [...new Set([...(gates.get(test) || []), ...places])]);
    repairs.forEach((repair, place) => {
      for (const { test } of [...repair.needs, ...repair.never]) if (test >= 0) add(test, [place]);
    });
    tests.forEach((test, place) => {
      for (const [other] of test.renews.flat()) if (gates.has(other)) add(place, gates.get(other));
    });
    return gates;
  }

  /** @returns {Set<string>} `Problem.endingThings` */
  function endingThingsOf(given, stops) {
    const steps = [...given.tests, ...given.repairs];
    return new Set([
      ...steps.flatMap((step) => (step.never_when || []).map(([id]) => id)),
      ...given.tests.flatMap((test) => test.perishes_after || []),
      ...given.tests.filter((test) => (test.renews || []).length > 0).map((test) => test.id),
      ...given.repairs.filter((repair) => (repair.restore || []).length > 0).map((repair) => repair.id),
      ...stops.map((stop) => stop.test),
    ]);
  }

  /** @returns {(Uint8Array | null)[]} for each repair the curing ones that what it sets forbids; null where none */
  function forbidsOf(repairs, tests, stopping, fixStart) {
    const bans = ([test, outcome], repair, place) => {
      const masks = stopping.get(test), mask = masks ? masks[outcome] : null;
      return repair.never.some((each) => each.test === test && each.wanted[outcome])
        || repair.needs.some((each) => each.test === test && !each.wanted[outcome])
        || (mask !== null && mask[tests.length + place] === 0);
    };
    return repairs.map(({ restore }) => {
      const forbidden = Uint8Array.from(repairs, (repair, place) => (
        fixStart[place] < fixStart[place + 1] && restore.some((found) => bans(found, repair, place)) ? 1 : 0
      ));
      return forbidden.includes(1) ? forbidden : null;
    });
  }

  /** @returns {Map<string, number[]>} */
  function rowsOf(causes) {
    const rows = new Map();
    causes.forEach((cause, row) => rows.set(cause, [...(rows.get(cause) || []), row]));
    return rows;
  }

  /** @returns what the repairs' minutes and faults give */
  function repairsLaidOut(given, weights) {
    const price = given.hand_on, owed = given.owed || [];
    const ending = weights.map((_, fault) => (price === null ? 0 : price + (owed[fault] || 0)));
    const minutes = Float64Array.from(given.repairs, (repair) => repair.minutes);
    const fixes = layOutFixes(given.repairs, ending);
    return {
      ending, minutes, ...fixes, ...leastOf(weights, minutes, fixes, ending, price),
      failedMinutes: Float64Array.from(given.repairs, (repair) => repair.failed_minutes ?? repair.minutes),
      byOther: Uint8Array.from(given.repairs, (repair) => Number(repair.by_other === true)),
      mending: Uint8Array.from(given.repairs, (repair, place) => Number(
        (repair.restore || []).length > 0 && fixes.fixStart[place] === fixes.fixStart[place + 1]
      )),
    };
  }

  /**
   * @param {Description} given
   * @param {any} constants
   * @returns {Readonly<Problem>} ready to be looked at; O(rows × (faults + repairs))
   */
  function makeProblem(given, constants) {
    const testIndex = new Map(given.tests.map((test, place) => [test.id, place]));
    const repairIndex = new Map(given.repairs.map((repair, place) => [repair.id, place]));
    const weights = Float64Array.from(given.weights), causes = given.causes || given.faults, stops = given.stops || [];
    const tests = readTests(given.tests, testIndex, repairIndex);
    const repairs = readRepairs(given.repairs, given.tests, testIndex);
    const rows = given.tests.reduce((sum, test) => sum + test.outcomes.length, 0);
    const chances = layOut(given.tests, tests, weights.length, rows);
    const laid = repairsLaidOut(given, weights);
    const stopping = readStops(stops, given.tests, testIndex, repairIndex);
    const lifts = (test) => test.renews.some((renewed) => renewed.some(([other]) => stopping.has(other)));
    return Object.freeze({
      constants, faults: given.faults, causes, causeRows: rowsOf(causes), weights, tests, repairs, testIndex, repairIndex,
      first: given.first.map((id) => testIndex.get(id) ?? -1), handOn: given.hand_on, stops, stopping,
      emergency: given.emergency === true, refused: given.refused || [],
      rows, chances, logs: chances.map((chance) => Math.log2(Math.max(chance, constants.tiny))),
      ...laid, gates: gatesOf(tests, repairs),
      lifting: new Set([...stopping.keys(), ...tests.map((test, place) => (lifts(test) ? place : -1))]),
      endingThings: endingThingsOf(given, stops), forbids: forbidsOf(repairs, tests, stopping, laid.fixStart),
    });
  }

  globalThis.faultleaf = globalThis.faultleaf || {};
  globalThis.faultleaf.engine = { UNLISTED, CURED, STILL_THERE, HAND_ON, EngineError, byId, makeProblem };
})();
