/* The order in which steps are offered (diagnosis/step/preference.py): the least minutes, and among those as good as equal
 * a master's manner: the gentler test first, as long as it earns a share of its own minutes. What forbids nothing is
 * never said to cost more than its own minutes beside the best. A repair that did not cure is followed by a test that
 * parts the causes left, where there is one; one that is not likely to cure waits for a test that can prove its fault.
 */

/**
 * @typedef {{score: number, choice: Choice}} Scored expected minutes of a step with all that follows, and the step
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /** @returns {number} minutes of the step itself; of handing on with what is owed then */
  function ownMinutes(problem, state, { kind, place }) {
    if (kind === "test") return engine.minutesOfTest(problem, state, place);
    const spent = kind === "repair"
      ? engine.repairSpent(problem, state, place)
      : engine.handingOn(problem, state.weights);
    return spent / state.total;
  }

  /** @returns {(a: Scored, b: Scored) => number} tests in a master's order, then repairs, then handing on */
  function byManner(problem, own) {
    const { constants } = problem, usual = engine.byScore(constants), isTest = ({ choice }) => choice.kind === "test";
    const way = ({ choice }) => constants.ways.indexOf(problem.tests[choice.place].way);
    const minutes = ({ choice }) => engine.round9(own.get(choice), constants);
    const kind = ({ choice }) => Number(choice.kind === "hand-on");
    return (a, b) => {
      if (isTest(a) !== isTest(b)) return isTest(a) ? -1 : 1;
      if (!isTest(a)) return kind(a) - kind(b) || usual(a, b);
      return way(a) - way(b) || minutes(a) - minutes(b) || engine.byId(a.choice.id, b.choice.id);
    };
  }

  /** @returns {boolean} whether the test tells two rows apart that are still in question */
  function parts(problem, state, place) {
    const { in_question: share, parting } = problem.constants, { start, outcomes } = problem.tests[place];
    const count = problem.faults.length, asked = [...problem.faults.keys()];
    const rows = asked.filter((row) => state.weights[row] >= share * state.total);
    const apart = (one, other) => outcomes.reduce((sum, _, column) => {
      const from = (start + column) * count;
      return sum + Math.abs(problem.chances[from + one] - problem.chances[from + other]);
    }, 0) / 2;
    return rows.some((one, index) => rows.slice(index + 1).some((other) => engine.round9(apart(one, other), problem.constants) > parting));
  }

  /**
   * @returns {boolean} whether the test, for less work than the repair in vain, can prove what is still only likely:
   *   that the repair will cure
   */
  function proves(problem, state, place, repair) {
    const { likely, shown, confirming, tiny } = problem.constants, { start, outcomes } = problem.tests[place];
    const rounded = (value) => engine.round9(value, problem.constants);
    if (rounded(engine.curedBy(problem, state.weights, repair) / state.total) >= likely) return false;
    if (engine.minutesOfTest(problem, state, place) >= problem.failedMinutes[repair]) return false;
    const there = new Float64Array(state.weights.length);
    for (let at = problem.fixStart[repair]; at < problem.fixStart[repair + 1]; at += 1) {
      there[problem.fixPlace[at]] = state.weights[problem.fixPlace[at]];
    }
    const certain = engine.sum(there), others = state.weights.map((weight, row) => weight - there[row]);
    const showing = (weights, column) => {
      const from = (start + column) * weights.length;
      return weights.reduce((sum, weight, row) => sum + weight * problem.chances[from + row], 0);
    };
    return outcomes.some((_, column) => {
      const often = showing(there, column) / certain;
      const elsewhere = showing(others, column) / Math.max(state.total - certain, tiny);
      return rounded(often) >= shown && rounded(often) >= rounded(confirming * elsewhere);
    });
  }

  /** @returns {Scored[]} a test in front, where the best step is a repair and a test is wanted before it */
  function testBeforeRepair(problem, state, steps) {
    const first = steps[0].choice, justFailed = state.path[state.path.length - 1] >= problem.rows;
    if (first.kind !== "repair" || problem.mending[first.place] === 1) return steps;
    const tests = steps.filter(({ choice }) => choice.kind === "test");
    let wanted = tests.filter(({ choice }) => proves(problem, state, choice.place, first.place));
    if (justFailed && wanted.length === 0) wanted = tests.filter(({ choice }) => parts(problem, state, choice.place));
    const [front] = wanted.sort(engine.byScore(problem.constants));
    return front ? [front, ...steps.filter((step) => step !== front)] : steps;
  }

  /**
   * @param {Problem} problem @param {State} state
   * @param {Scored[]} scored best first
   * @returns {Scored[]} the steps in the order in which they are offered, minutes bounded by rule 21
   */
  function preferred(problem, state, scored) {
    if (scored.length === 0) return [];
    const { constants } = problem, rounded = (value) => engine.round9(value, constants);
    const own = new Map(scored.map(({ choice }) => [choice, ownMinutes(problem, state, choice)]));
    const least = scored[0].score, best = rounded(least), near = [], rest = [];
    for (const { score, choice } of scored) {
      const minutes = own.get(choice) ?? 0;
      const equal = rounded(score) <= best + Math.max(constants.near_share * best, constants.near_minutes);
      const earned = choice.kind !== "test" || rounded(score) <= best + (1 - constants.earned) * minutes;
      const bounded = choice.kind !== "hand-on" && !problem.endingThings.has(choice.id);
      const step = { score: bounded ? Math.min(score, least + minutes) : score, choice };
      (equal && earned ? near : rest).push(step);
    }
    near.sort(byManner(problem, own));
    rest.sort(engine.byScore(constants));
    return testBeforeRepair(problem, state, [...near, ...rest]);
  }

  Object.assign(engine, { preferred, ownMinutes });
})();
