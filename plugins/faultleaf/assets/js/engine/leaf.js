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

  /** @param {number} value @returns {number} to 9 significant digits, halves away from zero (model, rule 13) */
  function round9(value) {
    return Number(value.toPrecision(9));
  }

  /**
   * @typedef {object} Bench arrays that are used over and over, so that a look ahead makes no garbage
   * @property {Float64Array} after (faults) the belief whose run is asked for; a run uses it up
   * @property {Float64Array} logs (faults)
   * @property {Int32Array} order repairs in the order of the state's weights
   * @property {number} count how many of them
   * @property {Float64Array} ratio (repairs) probability over minutes
   * @property {Int32Array} even
   * @property {Int32Array} rest from the middle on, so that there is room to put one back
   * @property {Int32Array} spare
   */

  /** @param {Problem} problem @returns {Bench} */
  function makeBench(problem) {
    const faults = problem.faults.length, repairs = problem.repairs.length;
    return {
      after: new Float64Array(faults), logs: new Float64Array(faults),
      order: new Int32Array(repairs), count: 0, ratio: new Float64Array(repairs),
      even: new Int32Array(repairs), rest: new Int32Array(2 * repairs), spare: new Int32Array(2 * repairs),
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

  /** @returns {boolean} a comes before b: the higher ratio, of equal ones the first by place */
  function before(ratio, equal, a, b) {
    const one = ratio[a], other = ratio[b];
    if (one > other) return other < one * equal || a < b;
    return one >= other * equal && a < b;
  }

  /** Puts the repairs that can cure something into the bench's order, by this belief. */
  function orderBy(problem, bench, weights, tried) {
    const { ratio } = bench, equal = problem.constants.equal, found = [];
    for (let repair = 0; repair < tried.length; repair += 1) {
      const cured = tried[repair] ? 0 : curedBy(problem, weights, repair);
      ratio[repair] = cured / problem.minutes[repair];
      if (cured > 0) found.push(repair);
    }
    found.sort((a, b) => (before(ratio, equal, a, b) ? -1 : 1));
    bench.order.set(found);
    bench.count = found.length;
  }

  function insertionSort(list, ratio, equal, from, to) {
    for (let place = from + 1; place < to; place += 1) {
      const repair = list[place];
      let hole = place;
      while (hole > from && before(ratio, equal, repair, list[hole - 1])) {
        list[hole] = list[hole - 1];
        hole -= 1;
      }
      list[hole] = repair;
    }
  }

  /** Merges two sorted stretches that stand side by side; nothing to do where they already follow each other. */
  function merge(list, spare, ratio, equal, from, middle, to) {
    if (!before(ratio, equal, list[middle], list[middle - 1])) return;
    for (let place = from; place < middle; place += 1) spare[place] = list[place];
    let left = from, right = middle, place = from;
    while (left < middle && right < to) {
      list[place++] = before(ratio, equal, list[right], spare[left]) ? list[right++] : spare[left++];
    }
    while (left < middle) list[place++] = spare[left++];
  }

  function sortRest(bench, equal, from, to) {
    const { rest, spare, ratio } = bench;
    for (let start = from; start < to; start += SMALL) {
      insertionSort(rest, ratio, equal, start, Math.min(start + SMALL, to));
    }
    for (let width = SMALL; width < to - from; width *= 2) {
      for (let start = from; start + width < to; start += 2 * width) {
        merge(rest, spare, ratio, equal, start, start + width, Math.min(start + 2 * width, to));
      }
    }
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
    const { after, order, ratio, even, rest } = bench, { minutes, shared, handOn } = problem;
    const { equal } = problem.constants, repairs = minutes.length;
    let evens = 0, last = repairs;
    for (let place = 0; place < bench.count; place += 1) {
      const repair = order[place];
      if (allowed[repair] === 0) continue;
      const cured = curedBy(problem, after, repair);
      if (!(cured > 0)) continue;
      ratio[repair] = cured / minutes[repair];
      if (same[from + repair] === 1) even[evens++] = repair;
      else rest[last++] = repair;
    }
    if (last - repairs > 1) sortRest(bench, equal, repairs, last);
    let left = whole, spent = 0, best = ending(problem, whole, whole), head = 0, next = repairs;
    while (head < evens || next < last) {
      const rested = head >= evens || (next < last && before(ratio, equal, rest[next], even[head]));
      const repair = rested ? rest[next++] : even[head++];
      const cured = curedBy(problem, after, repair);
      if (shared[repair] === 1 && cured < ratio[repair] * minutes[repair] * equal) {
        ratio[repair] = cured / minutes[repair];
        if (cured > 0) next = putBack(rest, ratio, equal, next, last, repair);
        continue;
      }
      if (handOn === null ? !(cured > 0) : !(handOn * cured > minutes[repair] * least)) break;
      spent += minutes[repair] * left;
      left = Math.max(left - cured, 0);
      if (shared[repair] === 1) engine.leaveUncured(problem, after, repair);
      const total = spent + ending(problem, left, whole);
      if (total < best) best = total;
    }
    return best;
  }

  /** @returns {number} where the rest begins, one place earlier, once the repair is back in its order */
  function putBack(rest, ratio, equal, next, last, repair) {
    let hole = next - 1;
    while (hole + 1 < last && before(ratio, equal, rest[hole + 1], repair)) {
      rest[hole] = rest[hole + 1];
      hole += 1;
    }
    rest[hole] = repair;
    return next - 1;
  }

  /** @returns {number} the place with the highest ratio; those equal to 9 significant digits go by id */
  function bestOf(problem, places, ratios) {
    const near = places.reduce((most, place) => Math.max(most, ratios[place]), 0) * (1 - problem.constants.near);
    const rivals = places.filter((place) => ratios[place] >= near);
    const rank = (a, b) => round9(ratios[b]) - round9(ratios[a]) || engine.byId(problem.repairs[a].id, problem.repairs[b].id);
    return rivals.sort(rank)[0];
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
