/* The best run of repairs without further tests: what a belief is worth when one stops looking (diagnosis/step/leaf.py).
 *
 * Repairs go by probability over minutes (those paid where it does not cure), brought up to date after every one
 * that did not cure, and the run stops at the best prefix. One look ahead asks for a thousand such runs, so a run is
 * not sorted anew:
 *
 *   order of the state   a b c d e f g        every belief after a test scales most chances alike, so most
 *   even                 a   c d   f g        repairs keep their order ("even"); only the others are sorted,
 *   rest, sorted           e     b            and the two lists are merged while the run is walked.
 *
 * A repair that shares a fault with another may have fallen when it comes to the head: its chance is then worked
 * out again and it goes back among the rest. Chances only fall on the way, so whatever is at the head and up to
 * date is the best.
 */

/**
 * @typedef {{repairs: Int32Array, ratios: Float64Array}} List repairs with their probability over minutes
 *
 * @typedef {object} Left what a belief still holds, weight or minutes × weight
 * @property {number} whole
 * @property {number} least of it, what no repair at all removes
 * @property {number} price of handing it on
 *
 * @typedef {object} Bench arrays that are used over and over, so that a look ahead makes no garbage
 * @property {Float64Array} after (faults) the belief whose run is asked for; a run uses it up
 * @property {Float64Array} logs (faults) log2 of it
 * @property {Float64Array} own (faults) log2 of the state's weights
 * @property {Int32Array} order repairs in the order of the state's weights
 * @property {number} count how many of them
 * @property {number} evens how many are in `even`
 * @property {number} last where `rest` ends
 * @property {List} even
 * @property {List} rest from the middle on, so that there is room to put one back
 * @property {List} spare
 * @property {Uint8Array} pays (repairs) 1 where doing it may pay, now or later on the way
 * @property {number} paying how many of them
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;
  const SMALL = 12; // stretches of the rest that are sorted by insertion before they are merged

  /** @returns {number} to 9 significant digits, halves and what is next below them away from zero (model, rule 13) */
  function round9(value, constants) {
    return Number((value * constants.halves).toPrecision(9));
  }

  /** @param {Problem} problem @returns {Bench} */
  function makeBench(problem) {
    const faults = problem.faults.length, count = problem.repairs.length;
    const list = () => ({ repairs: new Int32Array(2 * count), ratios: new Float64Array(2 * count) });
    return {
      after: new Float64Array(faults), logs: new Float64Array(faults), own: new Float64Array(faults),
      order: new Int32Array(count), count: 0, evens: 0, last: 0, even: list(), rest: list(), spare: list(),
      pays: new Uint8Array(count), paying: 0,
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

  /** Puts the repairs that can cure something into the bench's order, by this belief. */
  function orderBy(problem, bench, weights, tried) {
    const { even, spare, order } = bench;
    let count = 0;
    for (let repair = 0; repair < tried.length; repair += 1) {
      const ratio = tried[repair] ? 0 : curedBy(problem, weights, repair) / problem.failedMinutes[repair];
      even.repairs[count] = repair;
      even.ratios[count] = ratio;
      if (ratio > 0) count += 1;
    }
    sort(even, spare, 0, count, problem.constants.equal);
    for (let place = 0; place < count; place += 1) order[place] = even.repairs[place];
    bench.count = count;
  }

  function insertionSort({ repairs, ratios }, from, to, equal) {
    for (let place = from + 1; place < to; place += 1) {
      const repair = repairs[place], ratio = ratios[place];
      let hole = place;
      while (hole > from && before(ratio, repair, ratios[hole - 1], repairs[hole - 1], equal)) {
        repairs[hole] = repairs[hole - 1];
        ratios[hole] = ratios[hole - 1];
        hole -= 1;
      }
      repairs[hole] = repair;
      ratios[hole] = ratio;
    }
  }

  /** Merges two sorted stretches that stand side by side; nothing to do where they already follow each other. */
  function merge({ repairs, ratios }, spare, from, middle, to, equal) {
    if (!before(ratios[middle], repairs[middle], ratios[middle - 1], repairs[middle - 1], equal)) return;
    for (let place = from; place < middle; place += 1) {
      spare.repairs[place] = repairs[place];
      spare.ratios[place] = ratios[place];
    }
    let left = from, right = middle;
    for (let place = from; left < middle; place += 1) {
      const late = right < to && before(ratios[right], repairs[right], spare.ratios[left], spare.repairs[left], equal);
      repairs[place] = late ? repairs[right] : spare.repairs[left];
      ratios[place] = late ? ratios[right++] : spare.ratios[left++];
    }
  }

  function sort(list, spare, from, to, equal) {
    for (let start = from; start < to; start += SMALL) {
      insertionSort(list, start, Math.min(start + SMALL, to), equal);
    }
    for (let width = SMALL; width < to - from; width *= 2) {
      for (let start = from; start + width < to; start += 2 * width) {
        merge(list, spare, start, start + width, Math.min(start + 2 * width, to), equal);
      }
    }
  }

  /**
   * Splits the order into even repairs and the rest, and marks those that may pay. Those that come after the last
   * one that may pay are left out; a chance that others share may fall, so then none is.
   * How many are even, where the rest ends and how many pay stands in the bench afterwards.
   */
  function split(problem, bench, { whole, least }, allowed, same, from) {
    const { after, order, even, rest, pays } = bench, { failedMinutes, byOther, shared } = problem;
    const { fixStart, fixPlace, fixChance, fixSaved } = problem, width = failedMinutes.length;
    const cannot = problem.handOn === null;
    let evens = 0, last = width, lowest = Infinity;
    bench.paying = 0;
    for (let place = 0; place < bench.count; place += 1) {
      const repair = order[place];
      if (allowed[repair] === 0) continue;
      let cured = 0, saved = 0;
      for (let at = fixStart[repair]; at < fixStart[repair + 1]; at += 1) {
        const weight = after[fixPlace[at]];
        cured += weight * fixChance[at];
        saved += weight * fixSaved[at];
      }
      if (!(cured > 0) || (byOther[repair] === 1 && !mayBeNamed(problem, cured, whole, repair))) continue;
      const ratio = cured / failedMinutes[repair];
      pays[repair] = cannot || saved > failedMinutes[repair] * least ? 1 : 0;
      bench.paying += pays[repair];
      if (pays[repair] === 1) lowest = shared[repair] === 1 ? 0 : Math.min(lowest, ratio);
      if (same[from + repair] === 1) {
        even.repairs[evens] = repair;
        even.ratios[evens++] = ratio;
      } else {
        rest.repairs[last] = repair;
        rest.ratios[last++] = ratio;
      }
    }
    bench.evens = evens;
    bench.last = keepAbove(rest, width, last, lowest * problem.constants.equal);
  }

  /** @returns {number} where the stretch ends without the ratios below the lowest that is wanted */
  function keepAbove({ repairs, ratios }, from, to, lowest) {
    let last = from;
    for (let place = from; place < to; place += 1) {
      if (ratios[place] < lowest) continue;
      repairs[last] = repairs[place];
      ratios[last++] = ratios[place];
    }
    return last;
  }

  /**
   * Minutes × weight of the best run from the belief in `bench.after`.
   * @param {Problem} problem
   * @param {Bench} bench with the order of the state it follows from
   * @param {Left} belief
   * @param {Uint8Array} allowed (repairs)
   * @param {Uint8Array} same 1 for each repair whose place in the order is as before, from `from` on
   * @param {number} from
   * @returns {number}
   */
  function bestMinutes(problem, bench, belief, allowed, same, from) {
    const { minutes, failedMinutes, shared } = problem, { equal, nothing_left: nothing } = problem.constants;
    const { even, rest, after, pays } = bench, none = nothing * belief.whole, cannot = problem.handOn === null;
    split(problem, bench, belief, allowed, same, from);
    const { evens, last } = bench;
    if (bench.paying > 0 && last - minutes.length > 1) sort(rest, bench.spare, minutes.length, last, equal);
    let left = belief.whole, owing = cannot ? Infinity : belief.price, spent = 0, best = left > none ? owing : 0;
    let head = 0, next = minutes.length;
    while (bench.paying > 0 && (head < evens || next < last)) {
      const rested = head >= evens || (next < last
        && before(rest.ratios[next], rest.repairs[next], even.ratios[head], even.repairs[head], equal));
      const repair = rested ? rest.repairs[next] : even.repairs[head];
      const ratio = rested ? rest.ratios[next++] : even.ratios[head++];
      const failed = failedMinutes[repair];
      let cured = ratio * failed;
      if (shared[repair] === 1) {
        cured = curedBy(problem, after, repair);
        if (pays[repair] === 1 && !mayPay(problem, after, cured, belief.least, repair)) {
          pays[repair] = 0;
          bench.paying -= 1;
        }
        if (cured < ratio * equal * failed) {
          if (cured > 0) next = putBack(rest, next, last, repair, cured / failed, equal);
          continue;
        }
      }
      bench.paying -= pays[repair];
      spent += failed * left + (minutes[repair] - failed) * cured;
      left = Math.max(left - cured, 0);
      if (!cannot) owing = Math.max(owing - overFixed(problem, after, repair, problem.fixSpared), 0);
      if (shared[repair] === 1) engine.leaveUncured(problem, after, repair);
      best = Math.min(best, left > none ? spent + owing : spent);
    }
    return best;
  }

  /** @returns {number} where the rest begins, one place earlier, once the repair is back in its order */
  function putBack({ repairs, ratios }, next, last, repair, ratio, equal) {
    let hole = next - 1;
    while (hole + 1 < last && before(ratios[hole + 1], repairs[hole + 1], ratio, repair, equal)) {
      repairs[hole] = repairs[hole + 1];
      ratios[hole] = ratios[hole + 1];
      hole += 1;
    }
    repairs[hole] = repair;
    ratios[hole] = ratio;
    return next - 1;
  }

  /** @returns {number} the place with the highest ratio; those equal to 9 significant digits go by id */
  function bestOf(problem, places, ratios) {
    const near = places.reduce((most, place) => Math.max(most, ratios[place]), 0) * (1 - problem.constants.near);
    const rivals = places.filter((place) => ratios[place] >= near);
    const rounded = (place) => round9(ratios[place], problem.constants), id = (place) => problem.repairs[place].id;
    return rivals.sort((a, b) => rounded(b) - rounded(a) || engine.byId(id(a), id(b)))[0];
  }

  /**
   * The same for a state, where what a repair restores may allow or forbid later ones; slower.
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
      places = problem.restoring ? engine.openRepairs(problem, here).filter(sure) : places.filter((each) => each !== repair);
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
    round9, makeBench, orderBy, bestMinutes, runMinutes, curedBy, repairSpent, handingOn, mayBeNamed,
  });
})();
