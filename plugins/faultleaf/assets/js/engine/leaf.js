/* The best run of repairs without further tests: what a belief is worth when one stops looking (diagnosis/leaf.py).
 *
 * Repairs go by probability over minutes, brought up to date after every one that did not cure, and the run stops
 * at the best prefix. One look ahead asks for a thousand such runs, so a run is not sorted anew:
 *
 *   order of the state   a b c d e f g        every belief after a test scales most chances alike, so most
 *   even                 a   c d   f g        repairs keep their order ("even"); only the others are sorted,
 *   rest, sorted           e     b            and the two lists are merged while the run is walked.
 *
 * A repair that shares a fault with another may have fallen when it comes to the head: its chance is then worked
 * out again and it goes back among the rest. Chances only fall on the way, so whatever is at the head and up to
 * date is the best.
 */
(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;
  const SMALL = 12; // stretches of the rest that are sorted by insertion before they are merged

  /** @returns {number} to 9 significant digits, halves and what is next below them away from zero (model, rule 13) */
  function round9(value, constants) {
    return Number((value * constants.halves).toPrecision(9));
  }

  /**
   * @typedef {{repairs: Int32Array, ratios: Float64Array}} List repairs with their probability over minutes
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
   */

  /** @param {Problem} problem @returns {Bench} */
  function makeBench(problem) {
    const faults = problem.faults.length, count = problem.repairs.length;
    const list = () => ({ repairs: new Int32Array(2 * count), ratios: new Float64Array(2 * count) });
    return {
      after: new Float64Array(faults), logs: new Float64Array(faults), own: new Float64Array(faults),
      order: new Int32Array(count), count: 0, evens: 0, last: 0, even: list(), rest: list(), spare: list(),
    };
  }

  /** @returns {number} minutes × weight of handing on what is left; infinite where that cannot be */
  function ending(problem, left, whole) {
    if (!(left > problem.constants.nothing_left * whole)) return 0;
    return problem.handOn === null ? Infinity : problem.handOn * left;
  }

  /** @returns {number} the weight that the repair cures */
  function curedBy(problem, weights, repair) {
    let cured = 0;
    for (let at = problem.fixStart[repair]; at < problem.fixStart[repair + 1]; at += 1) {
      cured += weights[problem.fixPlace[at]] * problem.fixChance[at];
    }
    return cured;
  }

  /** @returns {boolean} false where the repair cannot pay now nor later: what it saves only shrinks */
  function mayPay(problem, cured, least, repair) {
    if (problem.handOn === null) return cured > 0;
    return cured > 0 && problem.handOn * cured > problem.minutes[repair] * least;
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
      const ratio = tried[repair] ? 0 : curedBy(problem, weights, repair) / problem.minutes[repair];
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
   * Splits the order into even repairs and the rest, without those that cannot pay on any way: what a repair saves,
   * hand-on × weight cured, only shrinks; what it costs never falls below minutes × the weight that nothing removes.
   * How many are even, and where the rest ends, stands in the bench afterwards.
   */
  function split(problem, bench, price, least, allowed, same, from) {
    const { after, order, even, rest } = bench, { minutes, only, rate } = problem, width = minutes.length;
    let evens = 0, last = width;
    for (let place = 0; place < bench.count; place += 1) {
      const repair = order[place];
      if (allowed[repair] === 0) continue;
      const fault = only[repair];
      const ratio = fault >= 0 ? after[fault] * rate[repair] : curedBy(problem, after, repair) / minutes[repair];
      if (!(ratio * price > least)) continue;
      if (same[from + repair] === 1) {
        even.repairs[evens] = repair;
        even.ratios[evens++] = ratio;
      } else {
        rest.repairs[last] = repair;
        rest.ratios[last++] = ratio;
      }
    }
    bench.evens = evens;
    bench.last = last;
  }

  /**
   * Minutes × weight of the best run from the belief in `bench.after`.
   * @param {Problem} problem
   * @param {Bench} bench with the order of the state it follows from
   * @param {number} whole the weight of the belief
   * @param {number} least the weight that no repair at all removes
   * @param {Uint8Array} allowed (repairs)
   * @param {Uint8Array} same 1 for each repair whose place in the order is as before, from `from` on
   * @param {number} from
   * @returns {number}
   */
  function bestMinutes(problem, bench, whole, least, allowed, same, from) {
    const { minutes, shared } = problem, { equal, nothing_left: nothing } = problem.constants;
    const { even, rest, after } = bench, price = problem.handOn === null ? Infinity : problem.handOn;
    split(problem, bench, price, least, allowed, same, from);
    const { evens, last } = bench, none = nothing * whole;
    if (last - minutes.length > 1) sort(rest, bench.spare, minutes.length, last, equal);
    let left = whole, spent = 0, best = left > none ? price * left : 0, head = 0, next = minutes.length;
    while (head < evens || next < last) {
      const rested = head >= evens || (next < last
        && before(rest.ratios[next], rest.repairs[next], even.ratios[head], even.repairs[head], equal));
      const repair = rested ? rest.repairs[next] : even.repairs[head];
      let ratio = rested ? rest.ratios[next++] : even.ratios[head++];
      if (shared[repair] === 1) {
        const now = curedBy(problem, after, repair) / minutes[repair];
        if (!(now * price > least)) continue;
        if (now < ratio * equal) {
          next = putBack(rest, next, last, repair, now, equal);
          continue;
        }
        ratio = now;
        engine.leaveUncured(problem, after, repair);
      }
      spent += minutes[repair] * left;
      left = Math.max(left - ratio * minutes[repair], 0);
      best = Math.min(best, left > none ? spent + price * left : spent);
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
    let least = 0, here = state, spent = 0, best = ending(problem, state.total, state.total);
    problem.stubborn.forEach((share, place) => { least += share * state.weights[place]; });
    let places = engine.openRepairs(problem, state);
    while (places.length > 0) {
      const cured = problem.repairs.map((_, repair) => curedBy(problem, here.weights, repair));
      if (!places.some((repair) => mayPay(problem, cured[repair], least, repair))) break;
      const repair = bestOf(problem, places, cured.map((weight, place) => weight / problem.minutes[place]));
      spent += problem.minutes[repair] * here.total;
      here = engine.afterFailed(problem, here, repair);
      best = Math.min(best, spent + ending(problem, here.total, state.total));
      places = problem.restoring ? engine.openRepairs(problem, here) : places.filter((each) => each !== repair);
    }
    return best;
  }

  /** @returns {number} minutes × weight of the best run of repairs; what comes `first` is done first */
  function runMinutes(problem, state) {
    if (!(state.total > 0)) return 0;
    const due = engine.dueFirst(problem, state);
    if (due < 0) return bestRun(problem, state);
    const test = problem.tests[due];
    return test.outcomes.reduce(
      (sum, _, column) => sum + runMinutes(problem, engine.afterTest(problem, state, due, column)),
      test.minutes * state.total
    );
  }

  Object.assign(engine, { round9, makeBench, orderBy, bestMinutes, runMinutes });
})();
