/* The best run of repairs without further tests: what a belief is worth when one stops looking (diagnosis/step/leaf.py).
 *
 * Repairs go by probability over minutes (those paid where it does not cure), and the run stops at the best prefix.
 * The best is looked for anew each time: runs are short, since they end once none that is left may pay. A repair that
 * shares a fault with another may have fallen when it comes up: its chance is then worked out again and it waits for
 * its turn. Chances only fall on the way, so whatever comes up and has not fallen is the best.
 */

/**
 * @typedef {object} Left what a belief still holds, weight or minutes × weight
 * @property {number} whole
 * @property {number} least of it, what no repair at all removes
 * @property {number} price of handing it on
 *
 * @typedef {object} Bench arrays that are used over and over, so that a look ahead makes no garbage
 * @property {Float64Array} after (faults) the belief whose run is asked for; a run uses it up
 * @property {Float64Array} logs (faults) log2 of it
 * @property {Float64Array} own (faults) log2 of the state's weights
 * @property {Int32Array} repairs that are still to come, in no order
 * @property {Float64Array} ratios of each its probability over minutes
 * @property {Uint8Array} pays (repairs) 1 where doing it may pay, now or later on the way
 * @property {number} paying how many of them
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /** @returns {number} to 9 significant digits, halves and what is next below them away from zero (model, rule 13) */
  function round9(value, constants) {
    return Number((value * constants.halves).toPrecision(9));
  }

  /** @param {Problem} problem @returns {Bench} */
  function makeBench(problem) {
    const faults = problem.faults.length, count = problem.repairs.length;
    return {
      after: new Float64Array(faults), logs: new Float64Array(faults), own: new Float64Array(faults),
      repairs: new Int32Array(count), ratios: new Float64Array(count), pays: new Uint8Array(count), paying: 0,
    };
  }

  /** @returns {number} minutes × weight of handing on what is left; infinite where that cannot be */
  function ending(problem, state, whole) {
    if (!(state.total > problem.constants.nothing_left * whole)) return 0;
    return problem.handOn === null ? Infinity : handingOn(problem, state.weights);
  }

  /** @returns {number} minutes × weight of handing on, what is owed then included (model, rule 6) */
  function handingOn(problem, weights) {
    let price = 0;
    for (let fault = 0; fault < weights.length; fault += 1) price += weights[fault] * problem.ending[fault];
    return price;
  }

  /** @returns {number} Σ of the weights that the repair cures times `values`, which go with `fixPlace` */
  function overFixed(problem, weights, repair, values) {
    let sum = 0;
    for (let at = problem.fixStart[repair]; at < problem.fixStart[repair + 1]; at += 1) {
      sum += weights[problem.fixPlace[at]] * values[at];
    }
    return sum;
  }

  /** @returns {number} the weight that the repair cures */
  function curedBy(problem, weights, repair) {
    return overFixed(problem, weights, repair, problem.fixChance);
  }

  /** @returns {number} minutes × weight of the repair itself, where it cures and where not */
  function repairSpent(problem, state, repair) {
    const failed = problem.failedMinutes[repair], cured = curedBy(problem, state.weights, repair);
    return failed * state.total + (problem.minutes[repair] - failed) * cured;
  }

  /** @returns {boolean} false where the repair cannot pay now nor later: what it saves only shrinks */
  function mayPay(problem, weights, cured, least, repair) {
    if (problem.handOn === null) return cured > 0;
    return overFixed(problem, weights, repair, problem.fixSaved) > problem.failedMinutes[repair] * least;
  }

  /** @returns {boolean} false for a repair by others whose fault is not likely enough yet to be named (model, rule 8) */
  function mayBeNamed(problem, cured, whole, repair) {
    return problem.byOther[repair] === 0 || cured >= problem.constants.named_at_least * problem.constants.equal * whole;
  }

  /** @returns {boolean} repair a with ratio x comes before b with y: the higher ratio, of equal ones the first by place */
  function before(x, a, y, b, equal) {
    if (x > y) return y < x * equal || a < b;
    return x >= y * equal && a < b;
  }

  /**
   * Puts into the bench the repairs that may be done and can cure something, and how many of them may pay.
   * @param {Problem} problem @param {Bench} bench @param {Left} belief @param {Uint8Array} allowed (repairs)
   * @returns {number} how many they are
   */
  function gather(problem, bench, { whole, least }, allowed) {
    const { after, repairs, ratios, pays } = bench, { failedMinutes, byOther } = problem;
    const { fixStart, fixPlace, fixChance, fixSaved } = problem, cannot = problem.handOn === null;
    let count = 0;
    bench.paying = 0;
    for (let repair = 0; repair < failedMinutes.length; repair += 1) {
      if (allowed[repair] === 0) continue;
      let cured = 0, saved = 0;
      for (let at = fixStart[repair]; at < fixStart[repair + 1]; at += 1) {
        const weight = after[fixPlace[at]];
        cured += weight * fixChance[at];
        saved += weight * fixSaved[at];
      }
      if (!(cured > 0) || (byOther[repair] === 1 && !mayBeNamed(problem, cured, whole, repair))) continue;
      pays[repair] = cannot || saved > failedMinutes[repair] * least ? 1 : 0;
      bench.paying += pays[repair];
      repairs[count] = repair;
      ratios[count++] = cured / failedMinutes[repair];
    }
    return count;
  }

  /** @returns {number} where the best of the first `count` repairs of the bench stands */
  function bestPlace({ repairs, ratios }, count, equal) {
    let top = 0;
    for (let place = 1; place < count; place += 1) {
      if (before(ratios[place], repairs[place], ratios[top], repairs[top], equal)) top = place;
    }
    return top;
  }

  /** @returns {number} how many of the first `count` repairs of the bench stay when these may no longer be done */
  function withoutForbidden(bench, forbidden, count) {
    const { repairs, ratios, pays } = bench;
    let kept = 0;
    for (let place = 0; place < count; place += 1) {
      if (forbidden[repairs[place]] === 1) {
        bench.paying -= pays[repairs[place]];
      } else {
        repairs[kept] = repairs[place];
        ratios[kept++] = ratios[place];
      }
    }
    return kept;
  }

  /**
   * Minutes × weight of the best run from the belief in `bench.after`.
   * @param {Problem} problem
   * @param {Bench} bench
   * @param {Left} belief
   * @param {Uint8Array} allowed (repairs)
   * @returns {number}
   */
  function bestMinutes(problem, bench, belief, allowed) {
    const { minutes, failedMinutes, shared } = problem, { equal, nothing_left: nothing } = problem.constants;
    const { after, repairs, ratios, pays } = bench, none = nothing * belief.whole, cannot = problem.handOn === null;
    let left = belief.whole, owing = cannot ? Infinity : belief.price, spent = 0, best = left > none ? owing : 0;
    let count = gather(problem, bench, belief, allowed);
    while (bench.paying > 0 && count > 0) {
      const top = bestPlace(bench, count, equal), repair = repairs[top], ratio = ratios[top], failed = failedMinutes[repair];
      let cured = ratio * failed;
      if (shared[repair] === 1) {
        cured = curedBy(problem, after, repair);
        if (pays[repair] === 1 && !mayPay(problem, after, cured, belief.least, repair)) {
          pays[repair] = 0;
          bench.paying -= 1;
        }
        ratios[top] = cured / failed;
        if (cured > 0 && cured < ratio * equal * failed) continue;
      }
      count -= 1;
      repairs[top] = repairs[count];
      ratios[top] = ratios[count];
      if (!(cured > 0)) continue;
      bench.paying -= pays[repair];
      spent += failed * left + (minutes[repair] - failed) * cured;
      left = Math.max(left - cured, 0);
      if (!cannot) owing = Math.max(owing - overFixed(problem, after, repair, problem.fixSpared), 0);
      if (shared[repair] === 1) engine.leaveUncured(problem, after, repair);
      best = Math.min(best, left > none ? spent + owing : spent);
      if (problem.forbids[repair]) count = withoutForbidden(bench, problem.forbids[repair], count);
    }
    return best;
  }

  /** @returns {number} the place with the highest ratio; those equal to 9 significant digits go by id */
  function bestOf(problem, places, ratios) {
    const near = places.reduce((most, place) => Math.max(most, ratios[place]), 0) * (1 - problem.constants.near);
    const rivals = places.filter((place) => ratios[place] >= near);
    const rounded = (place) => round9(ratios[place], problem.constants), id = (place) => problem.repairs[place].id;
    return rivals.sort((a, b) => rounded(b) - rounded(a) || engine.byId(id(a), id(b)))[0];
  }

  /**
   * The same for a state; slower.
   * @param {Problem} problem @param {State} state
   * @returns {number} minutes × weight of the best run
   */
  function bestRun(problem, state) {
    let least = 0, here = state, spent = 0, best = ending(problem, state, state.total);
    problem.stubborn.forEach((share, place) => { least += share * state.weights[place]; });
    const sure = (repair) => mayBeNamed(problem, curedBy(problem, state.weights, repair), state.total, repair);
    let places = engine.openRepairs(problem, state).filter(sure);
    while (places.length > 0) {
      const { weights } = here, cured = problem.repairs.map((_, repair) => curedBy(problem, weights, repair));
      if (!places.some((repair) => cured[repair] > 0 && mayPay(problem, weights, cured[repair], least, repair))) break;
      const repair = bestOf(problem, places, cured.map((weight, place) => weight / problem.failedMinutes[place]));
      spent += repairSpent(problem, here, repair);
      here = engine.afterFailed(problem, here, repair);
      best = Math.min(best, spent + ending(problem, here, state.total));
      const forbidden = problem.forbids[repair];
      places = places.filter((each) => each !== repair && !(forbidden && forbidden[each] === 1));
    }
    return best;
  }

  /** @returns {number} minutes × weight of the best run of repairs; what comes `first` is done first */
  function runMinutes(problem, state) {
    if (!(state.total > 0)) return 0;
    const due = engine.dueFirst(problem, state);
    if (due < 0) return bestRun(problem, state);
    return problem.tests[due].outcomes.reduce(
      (sum, _, column) => sum + runMinutes(problem, engine.afterTest(problem, state, due, column)),
      engine.minutesOfTest(problem, state, due) * state.total
    );
  }

  Object.assign(engine, {
    round9, makeBench, bestMinutes, runMinutes, curedBy, repairSpent, handingOn, mayBeNamed,
  });
})();
