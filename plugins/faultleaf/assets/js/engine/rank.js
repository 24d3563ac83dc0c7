/* Every step that may be taken now, with its minutes and in data why it is worth taking (diagnosis/step/rank.py). */

/**
 * @typedef {object} ScoredStep
 * @property {"test" | "repair" | "named" | "hand-on"} kind "named" ends the call with the cause named: the repair is
 *   above the rank at hand, or a job to quote
 * @property {string} id
 * @property {number} expected_minutes everything to a proved repair, or to handing on with what is owed then
 * @property {number} cost_minutes of this step alone
 * @property {[string, number][]} outcomes with their shares
 * @property {[string, string][]} splits what each of the likeliest causes would most likely show, where they
 *   differ; for a repair the causes that it removes; for handing on the likeliest cause
 * @property {"first" | "cheapest" | "allowed" | "emergency" | "stop" | "nothing-else"} reason
 * @property {{apart: string[], removes: number, opens: string[]}} why
 * @property {string[]} cautions of the stops found, for handing on
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /** @type {ScoredStep["why"]} */
  const NO_WHY = Object.freeze({ apart: [], removes: 0, opens: [] });

  /** @returns {ScoredStep} */
  function handOn(belief, ranked, minutes, reason) {
    const splits = ranked.slice(0, 1).filter(([, share]) => share > 0).map(([fault]) => [fault, engine.HAND_ON]);
    return {
      kind: "hand-on", id: engine.HAND_ON, expected_minutes: minutes, cost_minutes: minutes, outcomes: [], splits,
      reason, why: NO_WHY, cautions: [...new Set(belief.stops.map((stop) => stop.caution).filter((id) => id !== ""))],
    };
  }

  function repairStep(problem, belief, ranked, choice, expected, reason) {
    const { id, by_other: named } = problem.repairs[choice.place], removed = new Set();
    const removes = engine.curedBy(problem, belief.probabilities, choice.place);
    for (let at = problem.fixStart[choice.place]; at < problem.fixStart[choice.place + 1]; at += 1) {
      removed.add(problem.causes[problem.fixPlace[at]]);
    }
    const fixed = ranked.filter(([fault, share]) => share > 0 && removed.has(fault));
    return {
      kind: named ? "named" : "repair", id, expected_minutes: expected,
      cost_minutes: engine.ownMinutes(problem, belief.state, choice),
      outcomes: [[engine.CURED, removes], [engine.STILL_THERE, 1 - removes]],
      splits: fixed.slice(0, problem.constants.most_named).map(([fault]) => [fault, engine.CURED]),
      reason, why: { ...NO_WHY, removes }, cautions: [],
    };
  }

  /** @returns {number} P(row of the problem and this cause), over the cause's ways of showing */
  function shownBy(problem, belief, cause, row) {
    const { probabilities } = belief, from = row * problem.faults.length;
    return problem.causeRows.get(cause).reduce((sum, at) => sum + probabilities[at] * problem.chances[from + at], 0);
  }

  /** @returns {[string, string][]} the likeliest causes with what each would most likely show, where they differ */
  function splitsOf(problem, belief, ranked, place) {
    const { outcomes, start } = problem.tests[place], { constants } = problem;
    const worth = ([, share]) => engine.round9(share, constants) >= constants.worth_naming;
    const likeliest = ranked.slice(0, constants.most_named).filter(worth);
    const shown = likeliest.map(([fault]) => {
      const chances = outcomes.map((_, column) => shownBy(problem, belief, fault, start + column));
      return [fault, outcomes[chances.indexOf(Math.max(...chances))]];
    });
    return new Set(shown.map(([, outcome]) => outcome)).size > 1 ? shown : [];
  }

  /** @returns {string[]} the steps that may be worth taking and wait for a finding of this test */
  function openedBy(problem, belief, test) {
    const waits = (step) => step.needs.some((need) => need.test === test);
    const { known, tried } = belief.state;
    const tests = problem.tests.filter((each, place) => each.offered && waits(each) && known[place] < 0);
    const repairs = problem.repairs.filter(
      (each, place) => waits(each) && !tried[place] && engine.curedBy(problem, belief.probabilities, place) > 0
    );
    return [...tests, ...repairs].map((each) => each.id);
  }

  function testStep(problem, belief, ranked, choice, expected, reason) {
    const { place } = choice, { id, outcomes, start } = problem.tests[place], faults = problem.faults.length;
    const share = (row) => belief.probabilities.reduce(
      (sum, chance, fault) => sum + chance * problem.chances[row * faults + fault], 0
    );
    const splits = splitsOf(problem, belief, ranked, place), two = splits.slice(0, 2);
    return {
      kind: "test", id, expected_minutes: expected,
      cost_minutes: engine.ownMinutes(problem, belief.state, choice),
      outcomes: outcomes.map((outcome, column) => [outcome, share(start + column)]), splits, reason,
      why: {
        apart: new Set(two.map(([, outcome]) => outcome)).size > 1 ? two.map(([fault]) => fault) : [],
        removes: 0, opens: openedBy(problem, belief, place),
      },
      cautions: [],
    };
  }

  function scored(problem, belief, ranked, { score, choice }, reason) {
    if (choice.kind === "hand-on") return handOn(belief, ranked, score, reason);
    const make = choice.kind === "test" ? testStep : repairStep;
    return make(problem, belief, ranked, choice, score, reason);
  }

  /**
   * @param {Problem} problem @param {Belief} belief
   * @param {number} [most] how many steps are wanted
   * @returns {ScoredStep[]} steps that may be taken now, in the order in which they are offered. Only the due one while
   *   `first` tests wait; only handing on in an emergency or when the findings are impossible; after a stop only what
   *   it allows, and handing on; empty when nothing at all can be done
   */
  function rankSteps(problem, belief, most = Infinity) {
    const ranked = engine.rankedCauses(problem, belief);
    if (problem.emergency || belief.impossible) {
      const reason = problem.emergency ? "emergency" : "nothing-else";
      return problem.handOn === null ? [] : [handOn(belief, ranked, problem.handOn, reason)];
    }
    const due = engine.dueFirst(problem, belief.state) >= 0;
    const stopped = belief.stops.some((stop) => stop.caution !== ""), reason = due ? "first" : "allowed";
    const steps = engine.preferred(problem, belief.state, engine.rolledSteps(problem, belief.state));
    return steps.slice(0, most).map((step, place) => {
      const why = place === 0 && !due ? "cheapest" : reason;
      return scored(problem, belief, ranked, step, stopped ? "stop" : why);
    });
  }

  /** @returns {ScoredStep | null} the step to take now, or null when nothing can be done */
  function nextStep(problem, belief) {
    return rankSteps(problem, belief, 1)[0] || null;
  }

  Object.assign(engine, { rankSteps, nextStep });
})();
