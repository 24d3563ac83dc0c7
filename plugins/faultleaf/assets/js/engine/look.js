/* One look ahead: every step that may be taken from a state, and an estimate of what follows it (diagnosis/step/look.py).
 *
 * What follows the outcomes stands in flat arrays, one entry for each: the entries of step `row` begin at
 * `starts[row]` and end before `starts[row + 1]`. Rows are tests, repairs and, where it may be, handing on.
 */

/**
 * @typedef {object} Look
 * @property {State} state
 * @property {number} due the first check that waits, -1 where none does
 * @property {number[]} free repairs that may be done
 * @property {number[]} tests by place
 * @property {number[]} repairs by place
 * @property {number} steps how many rows
 * @property {Int32Array} starts (steps + 1)
 * @property {Float64Array} spent (steps) minutes × weight of the step itself
 * @property {Float64Array} runs of the best run of repairs after each outcome
 * @property {Float64Array} floors Σ w·r, minutes × weight that are paid at least
 * @property {Float64Array} doubts W·H, bits × weight
 * @property {number} price κ, minutes of the cheapest bit
 *
 * @typedef {{kind: string, place: number, id: string}} Choice
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;
  const KINDS = Object.freeze(["test", "repair", "hand-on"]);

  /** @returns {number} weight × entropy in bits; `each` is Σ w·log2 w */
  function bits(problem, total, each) {
    return Math.max(total * Math.log2(Math.max(total, problem.constants.tiny)) - each, 0);
  }

  /** @param {Problem} problem @param {State} state @returns {Look} with room for its numbers */
  function layOut(problem, state) {
    const due = engine.dueFirst(problem, state);
    const tests = due < 0 ? engine.openTests(problem, state) : [due];
    const free = due < 0 ? engine.openRepairs(problem, state) : [];
    const repairs = free.filter((repair) => worthDoing(problem, state, repair));
    const ends = Number(due < 0 && problem.handOn !== null);
    const steps = tests.length + repairs.length + ends;
    const starts = new Int32Array(steps + 1), spent = new Float64Array(steps);
    tests.forEach((test, row) => {
      starts[row + 1] = starts[row] + problem.tests[test].outcomes.length;
      spent[row] = engine.minutesOfTest(problem, state, test) * state.total;
    });
    repairs.forEach((repair, index) => {
      starts[tests.length + index + 1] = starts[tests.length + index] + 1;
      spent[tests.length + index] = engine.repairSpent(problem, state, repair);
    });
    if (ends) {
      starts[steps] = starts[steps - 1];
      spent[steps - 1] = engine.handingOn(problem, state.weights);
    }
    const numbers = () => new Float64Array(starts[steps]);
    return {
      state, tests, repairs, steps, starts, due, free, price: Infinity, spent,
      runs: numbers(), floors: numbers(), doubts: numbers(),
    };
  }

  /**
   * @returns {boolean} whether the repair may cure something and, where others do it, is likely enough to be named; or
   *   puts an instrument right, which cures nothing
   */
  function worthDoing(problem, state, repair) {
    const cured = engine.curedBy(problem, state.weights, repair);
    return (cured > 0 && engine.mayBeNamed(problem, cured, state.total, repair)) || problem.mending[repair] === 1;
  }

  /**
   * Puts into the look what follows one outcome: the belief stands in `bench.after`, its logarithms in `bench.logs`.
   * The best run's minutes are worked out here where it is known which repairs are `allowed`.
   */
  function weigh(problem, bench, seen, place, allowed) {
    const { after, logs } = bench, { floor, stubborn, ending } = problem;
    let whole = 0, each = 0, floors = 0, least = 0, price = 0;
    for (let fault = 0; fault < after.length; fault += 1) {
      const weight = after[fault];
      whole += weight;
      each += weight * logs[fault];
      floors += weight * floor[fault];
      least += weight * stubborn[fault];
      price += weight * ending[fault];
    }
    seen.floors[place] = floors;
    seen.doubts[place] = bits(problem, whole, each);
    if (allowed === null) return;
    seen.runs[place] = engine.bestMinutes(problem, bench, { whole, least, price }, allowed);
  }

  /** @returns {Float64Array} log2 of the weights */
  function logarithms(logs, weights, tiny) {
    for (let fault = 0; fault < weights.length; fault += 1) logs[fault] = Math.log2(Math.max(weights[fault], tiny));
    return logs;
  }

  /** The belief after a row of the problem: Bayes' rule, and its logarithms by adding. */
  function turnTo(problem, bench, state, own, row) {
    const { after, logs } = bench, { chances } = problem, faults = after.length, from = row * faults;
    const { weights } = state, more = problem.logs;
    for (let fault = 0; fault < faults; fault += 1) {
      after[fault] = weights[fault] * chances[from + fault];
      logs[fault] = own[fault] + more[from + fault];
    }
  }

  /** The belief after a repair that did not cure. */
  function turnToFailed(problem, bench, state, own, repair) {
    bench.after.set(state.weights);
    bench.logs.set(own);
    engine.leaveUncured(problem, bench.after, repair);
    for (let at = problem.fixStart[repair]; at < problem.fixStart[repair + 1]; at += 1) {
      const fault = problem.fixPlace[at];
      bench.logs[fault] = Math.log2(Math.max(bench.after[fault], problem.constants.tiny));
    }
  }

  /** @returns {Uint8Array} (repairs) which may be done once the test showed the outcome */
  function allowedAfter(problem, state, free, test, outcome) {
    const lifts = problem.lifting.has(test), gated = lifts ? free.keys() : problem.gates.get(test);
    if (gated === undefined) return free;
    const known = state.known.slice(), allowed = free.slice();
    engine.setFound(problem, known, test, outcome);
    const stopped = engine.allowedByStops(problem, known);
    for (const repair of gated) {
      allowed[repair] = Number(!state.tried[repair] && engine.doable(problem, repair, known, stopped));
    }
    return allowed;
  }

  /** @returns {Uint8Array} (repairs) which may be done once this one did not cure: what it restores may allow others */
  function allowedAfterFailed(problem, state, free, repair) {
    const allowed = free.slice();
    allowed[repair] = 0;
    if (problem.repairs[repair].restore.every(([test, seen]) => state.known[test] === seen)) return allowed;
    allowed.fill(0);
    for (const open of engine.openRepairs(problem, engine.afterFailed(problem, state, repair))) allowed[open] = 1;
    return allowed;
  }

  function lookAtTests(problem, bench, seen, own, free) {
    seen.tests.forEach((test, row) => {
      const { start, outcomes } = problem.tests[test];
      for (let column = 0; column < outcomes.length; column += 1) {
        const allowed = free && allowedAfter(problem, seen.state, free, test, column);
        turnTo(problem, bench, seen.state, own, start + column);
        weigh(problem, bench, seen, seen.starts[row] + column, allowed);
      }
    });
  }

  function lookAtRepairs(problem, bench, seen, own, free) {
    seen.repairs.forEach((repair, index) => {
      turnToFailed(problem, bench, seen.state, own, repair);
      const allowed = free && allowedAfterFailed(problem, seen.state, free, repair);
      weigh(problem, bench, seen, seen.starts[seen.tests.length + index], allowed);
    });
  }

  /** The runs after each step where others of the `first` tests come before any repair. */
  function runsOneByOne(problem, seen) {
    const { state, starts } = seen;
    seen.tests.forEach((test, row) => {
      for (let place = starts[row]; place < starts[row + 1]; place += 1) {
        seen.runs[place] = engine.runMinutes(problem, engine.afterTest(problem, state, test, place - starts[row]));
      }
    });
    seen.repairs.forEach((repair, index) => {
      const place = starts[seen.tests.length + index];
      seen.runs[place] = engine.runMinutes(problem, engine.afterFailed(problem, state, repair));
    });
  }

  /** @returns {number} κ: minutes per bit of the test that tells most for its minutes; infinite where none tells */
  function cheapestBit(problem, seen, own) {
    const { state, starts } = seen;
    let each = 0, price = Infinity;
    for (let fault = 0; fault < own.length; fault += 1) each += state.weights[fault] * own[fault];
    const whole = bits(problem, state.total, each);
    for (let row = 0; row < seen.tests.length; row += 1) {
      let left = 0;
      for (let place = starts[row]; place < starts[row + 1]; place += 1) left += seen.doubts[place];
      const told = whole - left;
      if (told > problem.constants.least_bits * state.total) price = Math.min(price, seen.spent[row] / told);
    }
    return price;
  }

  /**
   * What may be done from this state, one step ahead; only the due test while `first` tests wait.
   * @param {Problem} problem @param {Bench} bench @param {State} state
   * @returns {Look}
   */
  function look(problem, bench, state) {
    const seen = layOut(problem, state), slow = seen.due >= 0;
    const own = logarithms(bench.own, state.weights, problem.constants.tiny);
    const free = slow ? null : new Uint8Array(problem.repairs.length);
    if (free) for (const repair of seen.free) free[repair] = 1;
    lookAtTests(problem, bench, seen, own, free);
    lookAtRepairs(problem, bench, seen, own, free);
    if (slow) runsOneByOne(problem, seen);
    if (seen.due < 0) seen.price = cheapestBit(problem, seen, own);
    return seen;
  }

  /** @returns {Choice} the step of a row */
  function choiceOf(problem, seen, row) {
    const tests = seen.tests.length, repairs = seen.repairs.length;
    if (row < tests) return { kind: KINDS[0], place: seen.tests[row], id: problem.tests[seen.tests[row]].id };
    if (row >= tests + repairs) return { kind: KINDS[2], place: -1, id: engine.HAND_ON };
    const place = seen.repairs[row - tests];
    return { kind: KINDS[1], place, id: problem.repairs[place].id };
  }

  /** @returns {Float64Array} (steps) minutes × weight of each step with `after` its outcomes */
  function scoresWith(seen, after) {
    const scores = seen.spent.slice();
    for (let row = 0; row < seen.steps; row += 1) {
      for (let place = seen.starts[row]; place < seen.starts[row + 1]; place += 1) scores[row] += after[place];
    }
    return scores;
  }

  /** @returns {Float64Array} (steps) the same with the estimates, κ taken `trust` times */
  function estimates(seen, trust) {
    if (!(seen.price < Infinity)) return scoresWith(seen, seen.runs);
    const { runs, floors, doubts, starts } = seen, price = trust * seen.price, scores = seen.spent.slice();
    for (let row = 0; row < seen.steps; row += 1) {
      for (let place = starts[row]; place < starts[row + 1]; place += 1) {
        scores[row] += Math.min(runs[place], floors[place] + price * doubts[place]);
      }
    }
    return scores;
  }

  /** @returns {number[]} rows that may be equal, in the order of rule 13 */
  function exactly(problem, seen, rows, scores) {
    if (rows.length < 2) return rows;
    const steps = rows.map((row) => ({ row, score: scores[row], choice: choiceOf(problem, seen, row) }));
    return steps.sort(byScore(problem.constants)).map((step) => step.row);
  }

  /** @returns {number[]} the rows, the least score first; only what could be equal to 9 digits is rounded */
  function ranked(problem, seen, scores) {
    const order = Array.from(scores.keys()).sort((a, b) => scores[a] - scores[b] || a - b);
    const ranks = [];
    let group = [];
    for (const row of order) {
      const last = group[group.length - 1];
      if (group.length > 0 && !(scores[row] <= scores[last] * (1 + problem.constants.near))) {
        ranks.push(...exactly(problem, seen, group, scores));
        group = [];
      }
      group.push(row);
    }
    return [...ranks, ...exactly(problem, seen, group, scores)];
  }

  /** @returns {number} the row of the best step by estimate, -1 where nothing can be done */
  function bestRow(problem, seen, trust) {
    const scores = estimates(seen, trust);
    const least = scores.reduce((low, score) => Math.min(low, score), Infinity) * (1 + problem.constants.near);
    const near = [];
    scores.forEach((score, row) => { if (score <= least) near.push(row); });
    return near.length > 0 ? exactly(problem, seen, near, scores)[0] : -1;
  }

  /** @returns {(a: {score: number, choice: Choice}, b: {score: number, choice: Choice}) => number} rule 13 */
  function byScore(constants) {
    const rounded = ({ score }) => engine.round9(score, constants), kind = ({ choice }) => KINDS.indexOf(choice.kind);
    return (a, b) => rounded(a) - rounded(b) || kind(a) - kind(b) || engine.byId(a.choice.id, b.choice.id);
  }

  Object.assign(engine, { look, choiceOf, scoresWith, estimates, ranked, bestRow, byScore });
})();
