/* Where one stands in a call: weights, findings, repairs tried; and what may be done next (diagnosis/model/state.py). */

/**
 * @typedef {object} State
 * @property {Float64Array} weights (faults), not normalised
 * @property {number} total their sum
 * @property {Int16Array} known (tests) the outcome found, -1 where none is
 * @property {Uint8Array} tried (repairs)
 * @property {number[]} path the steps so far: a row of the problem, or `rows` + the repair that did not cure
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

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
    setFound(problem, known, test, outcome);
    return makeState(weights, known, state.tried, [...state.path, row]);
  }

  /** Sets what is known once the test showed the outcome, with what it sets anew elsewhere (model, rule 17). */
  function setFound(problem, known, test, outcome) {
    known[test] = outcome;
    for (const [other, seen] of problem.tests[test].renews[outcome]) known[other] = seen;
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

  /**
   * What the stops found still allow (model, rule 16).
   * @returns {Uint8Array | null} (tests, then repairs); null where nothing stops
   */
  function allowedByStops(problem, known) {
    let allowed = null;
    for (const [test, masks] of problem.stopping) {
      const mask = known[test] < 0 ? null : masks[known[test]];
      if (mask !== null) allowed = allowed === null ? mask : allowed.map((may, step) => may & mask[step]);
    }
    return allowed;
  }

  /** @returns {boolean} whether something was done after which the test is worth nothing (model, rule 19) */
  function perished({ perishing }, state) {
    return perishing.tests.some((test) => state.known[test] >= 0) || perishing.repairs.some((repair) => state.tried[repair]);
  }

  /** @returns {number} what the test costs now: less where one that waits at the same time was done (model, rule 6) */
  function minutesOfTest(problem, state, test) {
    const { minutes, together, least } = problem.tests[test];
    return together.some((other) => state.known[other] >= 0) ? least : minutes;
  }

  /** @returns {number[]} tests that may be done now, by place */
  function openTests(problem, state) {
    const open = [], allowed = allowedByStops(problem, state.known);
    problem.tests.forEach((test, place) => {
      if (!test.offered || state.known[place] >= 0 || (allowed !== null && !allowed[place])) return;
      if (permitted(test, state.known) && !perished(test, state)) open.push(place);
    });
    return open;
  }

  /** @returns {boolean} neither a stop (`allowed` of allowedByStops) nor a condition forbids the repair */
  function doable(problem, repair, known, allowed) {
    if (allowed !== null && !allowed[problem.tests.length + repair]) return false;
    return permitted(problem.repairs[repair], known);
  }

  /** @returns {number[]} repairs that may be done now and were not tried yet, by place */
  function openRepairs(problem, state) {
    const open = [], allowed = allowedByStops(problem, state.known);
    problem.repairs.forEach((_, place) => {
      if (!state.tried[place] && doable(problem, place, state.known, allowed)) open.push(place);
    });
    return open;
  }

  /** @returns {number} the test to do now on the way to this one: itself, or one that it waits for; -1: it cannot be */
  function wayTo(problem, state, test, allowed) {
    const step = problem.tests[test];
    if (forbidden(step, state.known) || (allowed !== null && !allowed[test]) || perished(step, state)) return -1;
    for (const need of step.needs) {
      const seen = need.test < 0 ? -1 : state.known[need.test];
      if (seen >= 0 && !need.wanted[seen]) return -1;
      if (seen >= 0) continue;
      return need.test < 0 || !problem.tests[need.test].offered ? -1 : wayTo(problem, state, need.test, allowed);
    }
    return test;
  }

  /** @returns {number} the test that must come now because the `first` tests are not done; -1 when they are */
  function dueFirst(problem, state) {
    const allowed = allowedByStops(problem, state.known);
    for (const test of problem.first) {
      const way = state.known[test] < 0 ? wayTo(problem, state, test, allowed) : -1;
      if (way >= 0) return way;
    }
    return -1;
  }

  Object.assign(engine, {
    sum, makeState, startState, afterTest, afterFailed, setFound, leaveUncured, allowedByStops, minutesOfTest, doable,
    openTests, openRepairs, dueFirst,
  });
})();
