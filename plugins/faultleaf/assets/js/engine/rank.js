/* Every step that may be taken now, with its expected minutes and in data why it is worth taking (diagnosis/rank.py). */
(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /**
   * @typedef {object} ScoredStep
   * @property {"test" | "repair" | "hand-on"} kind
   * @property {string} id
   * @property {number} expected_minutes everything to a proved repair, or to handing on
   * @property {number} cost_minutes of this step alone
   * @property {[string, number][]} outcomes with their shares
   * @property {[string, string][]} splits what each of the likeliest causes would most likely show, where they
   *   differ; for a repair the causes that it removes; for handing on the likeliest cause
   * @property {"first" | "cheapest" | "allowed" | "emergency" | "nothing-else"} reason
   * @property {{apart: string[], removes: number, opens: string[]}} why
   */

  const NO_WHY = Object.freeze({ apart: Object.freeze([]), removes: 0, opens: Object.freeze([]) });

  function handOn(ranked, minutes, reason) {
    const splits = ranked.slice(0, 1).filter(([, share]) => share > 0).map(([fault]) => [fault, engine.HAND_ON]);
    return {
      kind: "hand-on", id: engine.HAND_ON, expected_minutes: minutes, cost_minutes: minutes, outcomes: [], splits,
      reason, why: NO_WHY,
    };
  }

  function chanceOf(problem, repair, fault) {
    for (let at = problem.fixStart[repair]; at < problem.fixStart[repair + 1]; at += 1) {
      if (problem.fixPlace[at] === fault) return problem.fixChance[at];
    }
    return 0;
  }

  /** @returns {number} the share that the repair cures */
  function curedShare(problem, belief, repair) {
    return problem.faults.reduce((sum, _, fault) => sum + belief.probabilities[fault] * chanceOf(problem, repair, fault), 0);
  }

  function repairStep(problem, belief, ranked, place, expected, reason) {
    const removes = curedShare(problem, belief, place), { id, minutes } = problem.repairs[place];
    const fixed = ranked.filter(([fault, share]) => share > 0 && chanceOf(problem, place, problem.faults.indexOf(fault)) > 0);
    return {
      kind: "repair", id, expected_minutes: expected, cost_minutes: minutes,
      outcomes: [[engine.CURED, removes], [engine.STILL_THERE, 1 - removes]],
      splits: fixed.slice(0, problem.constants.most_named).map(([fault]) => [fault, engine.CURED]),
      reason, why: { ...NO_WHY, removes },
    };
  }

  /** @returns {[string, string][]} the likeliest causes with what each would most likely show, where they differ */
  function splitsOf(problem, ranked, place) {
    const { outcomes, start } = problem.tests[place], { constants } = problem;
    const worth = ([, share]) => engine.round9(share, constants) >= constants.worth_naming;
    const likeliest = ranked.slice(0, constants.most_named).filter(worth);
    const shown = likeliest.map(([fault]) => {
      const at = problem.faults.indexOf(fault);
      const chances = outcomes.map((_, column) => problem.chances[(start + column) * problem.faults.length + at]);
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
      (each, place) => waits(each) && !tried[place] && curedShare(problem, belief, place) > 0
    );
    return [...tests, ...repairs].map((each) => each.id);
  }

  function testStep(problem, belief, ranked, place, expected, reason) {
    const { id, minutes, outcomes, start } = problem.tests[place], faults = problem.faults.length;
    const share = (row) => belief.probabilities.reduce(
      (sum, chance, fault) => sum + chance * problem.chances[row * faults + fault], 0
    );
    const splits = splitsOf(problem, ranked, place), two = splits.slice(0, 2);
    return {
      kind: "test", id, expected_minutes: expected, cost_minutes: minutes,
      outcomes: outcomes.map((outcome, column) => [outcome, share(start + column)]), splits, reason,
      why: {
        apart: new Set(two.map(([, outcome]) => outcome)).size > 1 ? two.map(([fault]) => fault) : [],
        removes: 0, opens: openedBy(problem, belief, place),
      },
    };
  }

  function scored(problem, belief, ranked, { score, choice }, reason) {
    const expected = score / belief.state.total;
    if (choice.kind === "hand-on") return handOn(ranked, problem.handOn, reason);
    const make = choice.kind === "test" ? testStep : repairStep;
    return make(problem, belief, ranked, choice.place, expected, reason);
  }

  /**
   * @param {Problem} problem @param {Belief} belief
   * @param {number} [most] how many steps are wanted
   * @returns {ScoredStep[]} steps that may be taken now, best first. Only the due one while `first` tests wait; only
   *   handing on in an emergency or when the findings are impossible; empty when nothing at all can be done
   */
  function rankSteps(problem, belief, most = Infinity) {
    const ranked = engine.rankedCauses(problem, belief);
    if (problem.emergency || belief.impossible) {
      const reason = problem.emergency ? "emergency" : "nothing-else";
      return problem.handOn === null ? [] : [handOn(ranked, problem.handOn, reason)];
    }
    const due = engine.dueFirst(problem, belief.state) >= 0, best = due ? "first" : "cheapest";
    return engine.rolledSteps(problem, belief.state).slice(0, most).map((step, place) =>
      scored(problem, belief, ranked, step, place > 0 && !due ? "allowed" : best));
  }

  /** @returns {ScoredStep | null} the step to take now, or null when nothing can be done */
  function nextStep(problem, belief) {
    return rankSteps(problem, belief, 1)[0] || null;
  }

  Object.assign(engine, { rankSteps, nextStep });
})();
