/* Where one stands in a call: weights, findings, repairs tried; and what may be done next (diagnosis/state.py). */
(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /**
   * @typedef {object} State
   * @property {Float64Array} weights (faults), not normalised
   * @property {number} total their sum
   * @property {Int16Array} known (tests) the outcome found, -1 where none is
   * @property {Uint8Array} tried (repairs)
   * @property {number[]} path the steps so far: a row of the problem, or `rows` + the repair that did not cure
   */

  /** @param {Float64Array} values @returns {number} */
  function sum(values) {
    let total = 0;
    for (let place = 0; place < values.length; place += 1) total += values[place];
    return total;
  }

  /** @returns {State} */
  function makeState(weights, known, tried, path) {
    return { weights, total: sum(weights), known, tried, path };
  }

  /** @param {Problem} problem @returns {State} before any finding */
  function startState(problem) {
    const known = new Int16Array(problem.tests.length).fill(-1);
    return makeState(problem.weights, known, new Uint8Array(problem.repairs.length), []);
  }

  /** @returns {State} once the test showed this outcome (Bayes' rule, not normalised) */
  function afterTest(problem, state, test, outcome) {
    const row = problem.tests[test].start + outcome, from = row * state.weights.length;
    const weights = state.weights.slice(), known = state.known.slice();
    for (let place = 0; place < weights.length; place += 1) weights[place] *= problem.chances[from + place];
    known[test] = outcome;
    return makeState(weights, known, state.tried, [...state.path, row]);
  }

  /** Takes away what the repair cures of each of its faults. */
  function leaveUncured(problem, weights, repair) {
    for (let at = problem.fixStart[repair]; at < problem.fixStart[repair + 1]; at += 1) {
      weights[problem.fixPlace[at]] *= 1 - problem.fixChance[at];
    }
  }

  /** @returns {State} once the repair was done, proved, and had not cured (model, rule 7) */
  function afterFailed(problem, state, repair) {
    const weights = state.weights.slice(), known = state.known.slice(), tried = state.tried.slice();
    leaveUncured(problem, weights, repair);
    for (const [test, outcome] of problem.repairs[repair].restore) known[test] = outcome;
    tried[repair] = 1;
    return makeState(weights, known, tried, [...state.path, problem.rows + repair]);
  }

  /** @returns {boolean} what the condition is about is found, and is one of the outcomes that it means */
  function holds({ test, wanted }, known) {
    return test >= 0 && known[test] >= 0 && wanted[known[test]];
  }

  /** @returns {boolean} */
  function forbidden(step, known) {
    for (const condition of step.never) if (holds(condition, known)) return true;
    return false;
  }

  /** @returns {boolean} what the step needs is found, and nothing is found that forbids it */
  function permitted(step, known) {
    for (const condition of step.needs) if (!holds(condition, known)) return false;
    return !forbidden(step, known);
  }

  /** @returns {number[]} tests that may be done now, by place */
  function openTests(problem, state) {
    const open = [];
    problem.tests.forEach((test, place) => {
      if (test.offered && state.known[place] < 0 && permitted(test, state.known)) open.push(place);
    });
    return open;
  }

  /** @returns {number[]} repairs that may be done now and were not tried yet, by place */
  function openRepairs(problem, state) {
    const open = [];
    problem.repairs.forEach((repair, place) => {
      if (!state.tried[place] && permitted(repair, state.known)) open.push(place);
    });
    return open;
  }

  /** @returns {number} the test to do now on the way to this one: itself, or one that it waits for; -1: it cannot be */
  function wayTo(problem, state, test) {
    const step = problem.tests[test];
    if (forbidden(step, state.known)) return -1;
    for (const need of step.needs) {
      const seen = need.test < 0 ? -1 : state.known[need.test];
      if (seen >= 0 && !need.wanted[seen]) return -1;
      if (seen >= 0) continue;
      return need.test < 0 || !problem.tests[need.test].offered ? -1 : wayTo(problem, state, need.test);
    }
    return test;
  }

  /** @returns {number} the test that must come now because the `first` tests are not done; -1 when they are */
  function dueFirst(problem, state) {
    for (const test of problem.first) {
      const way = state.known[test] < 0 ? wayTo(problem, state, test) : -1;
      if (way >= 0) return way;
    }
    return -1;
  }

  Object.assign(engine, {
    sum, startState, afterTest, afterFailed, leaveUncured, permitted, openTests, openRepairs, dueFirst,
  });
})();
