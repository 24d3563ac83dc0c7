/* The problem of one call as typed arrays: what Python's `Problem` is (diagnosis/problem.py).
 *
 * A description comes from cards (compile.js) and says only where a row differs from a test's
 * `otherwise`; here the rows are laid out one after the other, so that a look ahead reads memory
 * from front to back. Nothing in this folder touches `document`.
 */
(function () {
  "use strict";

  /**
   * @typedef {[string, string[]][]} Conditions test id → the outcomes that are meant (any of them)
   *
   * @typedef {object} TestGiven
   * @property {string} id
   * @property {number} minutes the whole cost
   * @property {string[]} outcomes
   * @property {number[]} otherwise P(outcome | nothing named)
   * @property {[number, number[]][]} rows place of a fault → P(outcome | fault), where it is not `otherwise`
   * @property {Conditions} [needs]
   * @property {Conditions} [never_when]
   * @property {boolean} [offered] false: never proposed, but a finding of it counts
   * @property {boolean} [equipment] the noiseless question about a feature
   * @property {string} [who]
   *
   * @typedef {object} RepairGiven
   * @property {string} id
   * @property {string} fault
   * @property {number} minutes the whole cost, proof included
   * @property {[number, number][]} fixes place of a fault → P(cured | fault)
   * @property {Conditions} [needs]
   * @property {Conditions} [never_when]
   * @property {[string, string][]} [restore] test id → what is found where it did not cure
   * @property {string[]} [retake] tests whose findings stop counting once it was done
   * @property {string} [who]
   *
   * @typedef {object} Description
   * @property {string[]} faults the last one may be "unlisted"
   * @property {number[]} weights
   * @property {TestGiven[]} tests
   * @property {RepairGiven[]} repairs
   * @property {string[]} first
   * @property {number | null} hand_on minutes; null where nobody can be handed on to
   * @property {boolean} [emergency]
   * @property {string[]} [refused]
   *
   * @typedef {{test: number, id: string, wanted: boolean[]}} Condition `test` is -1 where there is none such
   * @typedef {{id: string, minutes: number, outcomes: string[], otherwise: number[], needs: Condition[],
   *   never: Condition[], offered: boolean, equipment: boolean, who: string, start: number}} Test
   *   `start`: the row of its first outcome
   * @typedef {{id: string, fault: string, minutes: number, needs: Condition[], never: Condition[],
   *   restore: [number, number][], retake: string[], who: string}} Repair
   *
   * @typedef {object} Problem
   * @property {any} constants numbers of the policy, as Python exported them
   * @property {string[]} faults
   * @property {Float64Array} weights (faults)
   * @property {Test[]} tests
   * @property {Repair[]} repairs
   * @property {Map<string, number>} testIndex
   * @property {Map<string, number>} repairIndex
   * @property {number[]} first
   * @property {number | null} handOn
   * @property {boolean} emergency
   * @property {string[]} refused
   * @property {number} rows outcomes of all tests together
   * @property {Float64Array} chances (rows × faults) P(outcome | fault)
   * @property {Float64Array} logs (rows × faults) log2 of it
   * @property {Uint8Array} even (rows × repairs) 1 where the row is the row's commonest chance for every fault of
   *   the repair: such repairs keep their order among each other
   * @property {Float64Array} minutes (repairs)
   * @property {Int32Array} fixStart (repairs + 1) where the faults of each repair begin in `fixPlace`, `fixChance`
   * @property {Int32Array} fixPlace
   * @property {Float64Array} fixChance
   * @property {Int32Array} only (repairs) the fault that it fixes, -1 where it fixes several or none
   * @property {Float64Array} rate (repairs) P(cured) of that fault over minutes
   * @property {Uint8Array} shared (repairs) 1 where another repair fixes one of its faults too
   * @property {Float64Array} stubborn (faults) P(no repair at all cures)
   * @property {Float64Array} floor (faults) minutes paid at least; 0 where the fault is not in question
   * @property {Map<number, number[]>} gates test → repairs whose conditions look at it
   * @property {boolean} restoring a repair sets a finding that another one's conditions look at
   */

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
      const test = index.has(id) ? index.get(id) : -1;
      const outcomes = test < 0 ? [] : tests[test].outcomes;
      return { test, id, wanted: outcomes.map((outcome) => wanted.includes(outcome)) };
    });
    return read.sort((a, b) => byId(a.id, b.id));
  }

  /** @param {TestGiven[]} given @param {Map<string, number>} index @returns {Test[]} */
  function readTests(given, index) {
    let start = 0;
    return given.map((each) => {
      const test = {
        id: each.id, minutes: each.minutes, outcomes: each.outcomes, otherwise: each.otherwise,
        needs: readConditions(each.needs, index, given), never: readConditions(each.never_when, index, given),
        offered: each.offered !== false, equipment: each.equipment === true, who: each.who || "owner", start,
      };
      start += each.outcomes.length;
      return test;
    });
  }

  /** @param {RepairGiven[]} given @param {TestGiven[]} tests @param {Map<string, number>} index @returns {Repair[]} */
  function readRepairs(given, tests, index) {
    return given.map((each) => ({
      id: each.id, fault: each.fault, minutes: each.minutes, retake: each.retake || [], who: each.who || "owner",
      needs: readConditions(each.needs, index, tests), never: readConditions(each.never_when, index, tests),
      restore: (each.restore || []).map(([id, seen]) => restored(id, seen, tests, index)),
    }));
  }

  /** @returns {[number, number]} the test and the outcome, by place */
  function restored(id, seen, tests, index) {
    const test = index.get(id);
    const outcome = test === undefined ? -1 : tests[test].outcomes.indexOf(seen);
    if (outcome < 0) throw new EngineError(`there is no outcome '${seen}' of a test '${id}' to restore`);
    return [test, outcome];
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

  /** Repairs with their faults one after the other: most repairs fix one fault of many. */
  function layOutFixes(given) {
    const fixes = given.map((each) => each.fixes.filter(([, chance]) => chance > 0).sort((a, b) => a[0] - b[0]));
    const fixStart = new Int32Array(fixes.length + 1);
    fixes.forEach((each, place) => { fixStart[place + 1] = fixStart[place] + each.length; });
    const flat = fixes.flat();
    const fixPlace = Int32Array.from(flat, ([place]) => place);
    const fixChance = Float64Array.from(flat, ([, chance]) => chance);
    const fixed = new Map();
    fixPlace.forEach((place) => fixed.set(place, (fixed.get(place) || 0) + 1));
    const shared = Uint8Array.from(fixes, (each) => Number(each.some(([place]) => fixed.get(place) > 1)));
    const only = Int32Array.from(fixes, (each) => (each.length === 1 ? each[0][0] : -1));
    const rate = Float64Array.from(fixes, (each, place) => (each.length === 1 ? each[0][1] / given[place].minutes : 0));
    return { fixStart, fixPlace, fixChance, shared, only, rate };
  }

  /** @returns {number} a value that fills more than half of the stretch, if any does (Boyer and Moore's vote) */
  function commonest(values, from, to) {
    let value = 0, votes = 0;
    for (let place = from; place < to; place += 1) {
      if (votes === 0) value = values[place];
      votes += values[place] === value ? 1 : -1;
    }
    return value;
  }

  /** @returns {Uint8Array} `Problem.even` */
  function evenRepairs(chances, faults, rows, { fixStart, fixPlace }) {
    const repairs = fixStart.length - 1;
    const even = new Uint8Array(rows * repairs);
    for (let row = 0; row < rows; row += 1) {
      const from = row * faults;
      const usual = commonest(chances, from, from + faults);
      for (let repair = 0; repair < repairs; repair += 1) {
        let same = 1;
        for (let at = fixStart[repair]; at < fixStart[repair + 1]; at += 1) {
          if (chances[from + fixPlace[at]] !== usual) same = 0;
        }
        even[row * repairs + repair] = same;
      }
    }
    return even;
  }

  /** What no repair cures, and the least that each fault costs. */
  function leastOf(weights, minutes, { fixStart, fixPlace, fixChance }, handOn) {
    const stubborn = new Float64Array(weights.length).fill(1);
    const floor = new Float64Array(weights.length).fill(handOn === null ? Infinity : handOn);
    minutes.forEach((cost, repair) => {
      for (let at = fixStart[repair]; at < fixStart[repair + 1]; at += 1) {
        stubborn[fixPlace[at]] *= 1 - fixChance[at];
        floor[fixPlace[at]] = Math.min(floor[fixPlace[at]], cost);
      }
    });
    return { stubborn, floor: floor.map((cost, place) => (weights[place] > 0 ? cost : 0)) };
  }

  /** @param {Repair[]} repairs @returns {Map<number, number[]>} */
  function gatesOf(repairs) {
    const gates = new Map();
    repairs.forEach((repair, place) => {
      for (const test of new Set([...repair.needs, ...repair.never].map((each) => each.test))) {
        if (test >= 0) gates.set(test, [...(gates.get(test) || []), place]);
      }
    });
    return gates;
  }

  /**
   * @param {Description} given
   * @param {any} constants
   * @returns {Readonly<Problem>} ready to be looked at; O(rows × (faults + repairs))
   */
  function makeProblem(given, constants) {
    const testIndex = new Map(given.tests.map((test, place) => [test.id, place]));
    const repairIndex = new Map(given.repairs.map((repair, place) => [repair.id, place]));
    const weights = Float64Array.from(given.weights);
    const tests = readTests(given.tests, testIndex);
    const repairs = readRepairs(given.repairs, given.tests, testIndex);
    const rows = given.tests.reduce((sum, test) => sum + test.outcomes.length, 0);
    const chances = layOut(given.tests, tests, weights.length, rows);
    const minutes = Float64Array.from(given.repairs, (repair) => repair.minutes);
    const fixes = layOutFixes(given.repairs);
    const gates = gatesOf(repairs);
    return Object.freeze({
      constants, faults: given.faults, weights, tests, repairs, testIndex, repairIndex,
      first: given.first.map((id) => testIndex.get(id)), handOn: given.hand_on,
      emergency: given.emergency === true, refused: given.refused || [],
      rows, chances, logs: chances.map((chance) => Math.log2(Math.max(chance, constants.tiny))),
      even: evenRepairs(chances, weights.length, rows, fixes), minutes, ...fixes,
      ...leastOf(weights, minutes, fixes, given.hand_on), gates,
      restoring: repairs.some((repair) => repair.restore.some(([test]) => gates.has(test))),
    });
  }

  globalThis.faultleaf = globalThis.faultleaf || {};
  globalThis.faultleaf.engine = { UNLISTED, CURED, STILL_THERE, HAND_ON, EngineError, byId, makeProblem };
})();
