/* From findings to the weights of the causes, and whether they fit any card (diagnosis/step/belief.py). */

/**
 * @typedef {object} Belief
 * @property {[string, string][]} findings by id
 * @property {Float64Array} probabilities of the rows; all 0 where the findings are impossible
 * @property {Map<string, number>} byCause of the fault cards: the sums of their rows (model, rule 18)
 * @property {boolean} impossible no cause, not even an unlisted one, can show these findings
 * @property {boolean} fits false where the findings fit no card (model, rule 14)
 * @property {number} misfit how many times likelier without any named fault than under the best card
 * @property {number} blind the same with every outcome picked blindly
 * @property {Stop[]} stops what was found that ends everything but what it allows (model, rule 16)
 * @property {State} state
 *
 * @typedef {Map<string, {seen: string, wasSeen: boolean}>} Known step → what is known of it now, and whether that
 *   was seen (false: a later step set it)
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  function refuse(what) {
    throw new engine.EngineError(what);
  }

  /** @returns {Known} the findings as they stand now: what a later step set anew is no longer what was seen */
  function knownOf(problem, findings) {
    const known = new Map(), given = new Map(findings), { tests } = problem;
    const set = ([test, outcome]) => known.set(tests[test].id, { seen: tests[test].outcomes[outcome], wasSeen: false });
    for (const [id, seen] of given) {
      const repair = problem.repairIndex.get(id), test = problem.testIndex.get(id);
      if (repair === undefined && test === undefined) refuse(`there is no test or repair '${id}' in this problem`);
      if (repair !== undefined && seen !== engine.STILL_THERE) {
        refuse(`repair ${id}: expected '${engine.STILL_THERE}', found '${seen}'`);
      }
      const outcome = test === undefined ? -1 : tests[test].outcomes.indexOf(seen);
      if (repair === undefined && outcome < 0) {
        refuse(`test ${id} has no outcome '${seen}'; it has ${tests[test].outcomes.join(", ")}`);
      }
      known.delete(id); // what set it before is over: it counts from here on
      known.set(id, { seen, wasSeen: true });
      const after = repair === undefined ? tests[test].renews[outcome] : problem.repairs[repair].restore;
      const stands = ([other, now]) => repair === undefined || given.get(tests[other].id) === tests[other].outcomes[now];
      after.filter(stands).forEach(set);
    }
    return known;
  }

  /** @returns {string[]} the names in their order, those between two repairs by id, so that floats are the same */
  function inStretches(problem, known) {
    const order = [];
    let stretch = [];
    for (const id of known.keys()) {
      if (!problem.repairIndex.has(id)) {
        stretch.push(id);
        continue;
      }
      order.push(...stretch.sort(engine.byId), id);
      stretch = [];
    }
    return [...order, ...stretch.sort(engine.byId)];
  }

  /** @returns {number} the row of the problem that a finding is */
  function rowOf(problem, id, seen) {
    const { start, outcomes } = problem.tests[problem.testIndex.get(id)];
    return start + outcomes.indexOf(seen);
  }

  /**
   * P(findings | row), with what failed repairs say (model, rule 7): one leaves 1 − fixes of what it fixes. For every
   * other row g either it was g all along, or there were two: L(g) becomes L(g) + q·L(f), q being the prior chance of
   * the repaired fault f.
   * @returns {Float64Array} (faults)
   */
  function likelihoodOf(problem, known) {
    const count = problem.faults.length, likelihood = new Float64Array(count).fill(1), { weights } = problem;
    for (const id of inStretches(problem, known)) {
      const { seen, wasSeen } = known.get(id);
      if (problem.repairIndex.has(id)) addFailed(problem, likelihood, problem.repairIndex.get(id), engine.sum(weights));
      else if (wasSeen) {
        const from = rowOf(problem, id, seen) * count;
        for (let row = 0; row < count; row += 1) likelihood[row] *= problem.chances[from + row];
      }
    }
    return likelihood;
  }

  function addFailed(problem, likelihood, repair, whole) {
    const rows = problem.causeRows.get(problem.repairs[repair].fault) || [];
    const twice = rows.reduce((sum, row) => sum + problem.weights[row] * likelihood[row], 0) / whole;
    const left = new Float64Array(likelihood.length).fill(-1);
    for (let at = problem.fixStart[repair]; at < problem.fixStart[repair + 1]; at += 1) {
      left[problem.fixPlace[at]] = 1 - problem.fixChance[at];
    }
    left.forEach((share, row) => { likelihood[row] = share < 0 ? likelihood[row] + twice : likelihood[row] * share; });
  }

  /** @returns {State} what is known, in the form that the search works on */
  function stateOf(problem, known) {
    const likelihood = likelihoodOf(problem, known), state = engine.startState(problem), { tried } = state;
    const path = [];
    for (const [id, { seen }] of known) {
      const repair = problem.repairIndex.get(id);
      if (repair === undefined) {
        const test = problem.testIndex.get(id);
        state.known[test] = problem.tests[test].outcomes.indexOf(seen);
        path.push(rowOf(problem, id, seen));
      } else {
        tried[repair] = 1;
        path.push(problem.rows + repair);
      }
    }
    return engine.makeState(problem.weights.map((weight, row) => weight * likelihood[row]), state.known, tried, path);
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
  function misfits(problem, known) {
    const seen = [...known].filter(([id, { wasSeen }]) => wasSeen && problem.testIndex.has(id));
    const faults = problem.faults.length;
    const likelihood = problem.weights.map((weight) => Number(weight > 0));
    if (listsUnnamed(problem)) likelihood[faults - 1] = 0;
    let independent = 1, blind = 1;
    for (const [id, { seen: outcome }] of seen.sort(([a], [b]) => engine.byId(a, b))) {
      const test = problem.tests[problem.testIndex.get(id)], column = test.outcomes.indexOf(outcome);
      const from = (test.start + column) * faults;
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
    const rounded = (value) => engine.round9(value, constants);
    return rounded(unlisted) <= constants.unlisted_limit
      && rounded(misfit) < constants.misfit_ratio && rounded(blind) < constants.blind_ratio;
  }

  /**
   * @param {Problem} problem
   * @param {[string, string][]} findings a test's id and the outcome seen, or a repair's and "still-there", in the
   *   order in which they came
   * @returns {Belief} throws EngineError for a name the problem does not have
   */
  function believe(problem, findings) {
    const known = knownOf(problem, findings), state = stateOf(problem, known), strange = misfits(problem, known);
    const impossible = !(state.total > 0), byCause = new Map(problem.causes.map((cause) => [cause, 0]));
    const probabilities = state.weights.map((weight) => (impossible ? 0 : weight / state.total));
    problem.causes.forEach((cause, row) => byCause.set(cause, (byCause.get(cause) ?? 0) + probabilities[row]));
    const found = ({ test, outcome }) => known.get(test)?.seen === outcome;
    return {
      findings: [...new Map(findings)].sort(([a], [b]) => engine.byId(a, b)), probabilities, byCause, impossible, ...strange,
      fits: !impossible && fitsSome(problem, probabilities, strange), stops: problem.stops.filter(found), state,
    };
  }

  /** @returns {[string, number][]} causes, likeliest first, those equal to 9 significant digits by id */
  function rankedCauses(problem, belief) {
    const keys = [...belief.byCause].map(([id, share]) => ({ id, share, rounded: engine.round9(share, problem.constants) }));
    keys.sort((a, b) => b.rounded - a.rounded || engine.byId(a.id, b.id));
    return keys.map(({ id, share }) => [id, share]);
  }

  /**
   * The findings to go on with when the repair was proved not to have cured: all that was found stays (what it then
   * says is rule 7), and what the repair restores is set.
   * @returns {[string, string][]} in the order in which they came
   */
  function notCured(problem, findings, id) {
    const { restore } = problem.repairs[problem.repairIndex.get(id)], kept = new Map(findings);
    for (const [test, outcome] of restore) kept.set(problem.tests[test].id, problem.tests[test].outcomes[outcome]);
    return [...kept.set(id, engine.STILL_THERE)];
  }

  Object.assign(engine, { believe, rankedCauses, notCured });
})();
