/* From findings to the weights of the causes, and whether they fit any card (diagnosis/belief.py). */
(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /**
   * @typedef {object} Belief
   * @property {[string, string][]} findings by id
   * @property {Float64Array} probabilities (faults); all 0 where the findings are impossible
   * @property {boolean} impossible no cause, not even an unlisted one, can show these findings
   * @property {boolean} fits false where the findings fit no card (model, rule 14)
   * @property {number} misfit how many times likelier without any named fault than under the best card
   * @property {number} blind the same with every outcome picked blindly
   * @property {State} state
   */

  /** @param {Problem} problem @param {[string, string][]} findings @returns {[string, string][]} tests first, by id */
  function inOrder(problem, findings) {
    const repaired = (id) => Number(problem.repairIndex.has(id));
    return [...findings].sort(([a], [b]) => repaired(a) - repaired(b) || engine.byId(a, b));
  }

  function found(problem, state, id, seen) {
    const repair = problem.repairIndex.get(id), test = problem.testIndex.get(id);
    if (repair !== undefined) {
      if (seen === engine.STILL_THERE) return engine.afterFailed(problem, state, repair);
      throw new engine.EngineError(`repair ${id}: expected '${engine.STILL_THERE}', found '${seen}'`);
    }
    if (test === undefined) throw new engine.EngineError(`there is no test or repair '${id}' in this problem`);
    const { outcomes } = problem.tests[test], outcome = outcomes.indexOf(seen);
    if (outcome >= 0) return engine.afterTest(problem, state, test, outcome);
    throw new engine.EngineError(`test ${id} has no outcome '${seen}'; it has ${outcomes.join(", ")}`);
  }

  function listsUnnamed(problem) {
    return problem.faults[problem.faults.length - 1] === engine.UNLISTED;
  }

  /** @returns {number} */
  function over(chance, best) {
    if (best > 0) return chance / best;
    return chance > 0 ? Infinity : 1;
  }

  /**
   * P(findings | nothing named) and P(findings | picked blindly), each over max over cards of P(findings | fault).
   * What equipment is there is no sign of a fault: it only rules cards out.
   */
  function misfits(problem, findings) {
    const faults = problem.faults.length;
    const likelihood = problem.weights.map((weight) => Number(weight > 0));
    if (listsUnnamed(problem)) likelihood[faults - 1] = 0;
    let independent = 1, blind = 1;
    for (const [id, seen] of findings) {
      const test = problem.tests[problem.testIndex.get(id)];
      if (test === undefined) continue;
      const column = test.outcomes.indexOf(seen), from = (test.start + column) * faults;
      likelihood.forEach((value, fault) => {
        const chance = problem.chances[from + fault];
        likelihood[fault] = value * (test.equipment ? Number(chance > 0) : chance);
      });
      if (test.equipment) continue;
      independent *= test.otherwise[column];
      blind /= test.outcomes.length;
    }
    const best = likelihood.reduce((most, value) => Math.max(most, value), 0);
    return { misfit: over(independent, best), blind: over(blind, best) };
  }

  function fitsSome(problem, probabilities, { misfit, blind }) {
    const { constants } = problem, unlisted = listsUnnamed(problem) ? probabilities[probabilities.length - 1] : 0;
    return engine.round9(unlisted, constants) <= constants.unlisted_limit
      && engine.round9(misfit, constants) < constants.misfit_ratio && engine.round9(blind, constants) < constants.blind_ratio;
  }

  /**
   * @param {Problem} problem
   * @param {[string, string][]} findings a test's id and the outcome seen, or a repair's and "still-there"
   * @returns {Belief} whatever the order of the findings; throws EngineError for a name the problem does not have
   */
  function believe(problem, findings) {
    const sorted = inOrder(problem, findings);
    const state = sorted.reduce((here, [id, seen]) => found(problem, here, id, seen), engine.startState(problem));
    const impossible = !(state.total > 0), strange = misfits(problem, sorted);
    const probabilities = state.weights.map((weight) => (impossible ? 0 : weight / state.total));
    return {
      findings: sorted, probabilities, impossible, ...strange, state,
      fits: !impossible && fitsSome(problem, probabilities, strange),
    };
  }

  /** @returns {[string, number][]} causes, likeliest first, those equal to 9 significant digits by id */
  function rankedCauses(problem, belief) {
    const keys = problem.faults.map((id, place) => ({ id, share: belief.probabilities[place] }));
    const rounded = new Map(keys.map((key) => [key.id, engine.round9(key.share, problem.constants)]));
    keys.sort((a, b) => rounded.get(b.id) - rounded.get(a.id) || engine.byId(a.id, b.id));
    return keys.map(({ id, share }) => [id, share]);
  }

  /**
   * The findings to go on with when the repair was proved not to have cured (model, rule 7).
   * @returns {[string, string][]} by id
   */
  function notCured(problem, findings, id) {
    const repair = problem.repairs[problem.repairIndex.get(id)];
    const kept = new Map(findings.filter(([name]) => !repair.retake.includes(name)));
    for (const [test, outcome] of repair.restore) {
      kept.set(problem.tests[test].id, problem.tests[test].outcomes[outcome]);
    }
    return [...kept.set(id, engine.STILL_THERE)].sort(([a], [b]) => engine.byId(a, b));
  }

  Object.assign(engine, { believe, rankedCauses, notCured });
})();
