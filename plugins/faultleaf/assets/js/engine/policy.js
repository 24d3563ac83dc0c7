/* The next step for any belief, quick enough for every click: walks that open beliefs (diagnosis/step/policy.py).
 *
 * Every step first counts what the best run of repairs after it costs. Then some beliefs that it leads to are
 * opened: there the best step counts. The work is bounded by counted beliefs, never by the clock.
 */

/**
 * @typedef {object} Opened a belief that was looked at
 * @property {Look} seen
 * @property {Float64Array} after minutes × weight of the best plan at hand after every outcome; it only falls
 * @property {Map<number, Opened>} kids by the place of the outcome
 *
 * @typedef {{problem: Problem, bench: any, beliefs: Map<string, Opened>}} Outlook
 * @typedef {{opened: Opened, place: number, row: number, before: Way | null}} Way the places that were gone through
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /** @returns {Opened} the belief of this state, looked at once however it was reached */
  function open(outlook, state) {
    const key = state.path.slice().sort((a, b) => a - b).join();
    const known = outlook.beliefs.get(key);
    if (known) return known;
    const seen = engine.look(outlook.problem, outlook.bench, state);
    const opened = { seen, after: seen.runs.slice(), kids: new Map() };
    outlook.beliefs.set(key, opened);
    return opened;
  }

  /** @returns {number} minutes × weight of the plan at hand; infinite where nothing can be done */
  function minutesOf({ seen, after }) {
    let best = Infinity;
    for (let row = 0; row < seen.steps; row += 1) {
      let score = seen.spent[row];
      for (let place = seen.starts[row]; place < seen.starts[row + 1]; place += 1) score += after[place];
      if (score < best) best = score;
    }
    return best;
  }

  /** What the belief after this outcome found below it, where that is better. */
  function takeOver(opened, place) {
    opened.after[place] = Math.min(opened.after[place], minutesOf(opened.kids.get(place)));
  }

  /** @returns {Opened} the belief after this outcome of this row */
  function follow(outlook, { opened, place, row }) {
    const kid = opened.kids.get(place);
    if (kid) return kid;
    const { state, starts } = opened.seen, choice = engine.choiceOf(outlook.problem, opened.seen, row);
    const after = choice.kind === "repair"
      ? engine.afterFailed(outlook.problem, state, choice.place)
      : engine.afterTest(outlook.problem, state, choice.place, place - starts[row]);
    const made = open(outlook, after);
    opened.kids.set(place, made);
    return made;
  }

  /** A heap: the most at stake first, of equal ones the first that came. */
  function push(heap, item) {
    let place = heap.length;
    heap.push(item);
    while (place > 0 && sooner(item, heap[(place - 1) >> 1])) {
      heap[place] = heap[(place - 1) >> 1];
      place = (place - 1) >> 1;
    }
    heap[place] = item;
  }

  function pop(heap) {
    const first = heap[0], item = heap.pop();
    if (heap.length === 0) return first;
    let place = 0;
    for (let kid = 1; kid < heap.length; kid = 2 * place + 1) {
      if (kid + 1 < heap.length && sooner(heap[kid + 1], heap[kid])) kid += 1;
      if (!sooner(heap[kid], item)) break;
      heap[place] = heap[kid];
      place = kid;
    }
    heap[place] = item;
    return first;
  }

  function sooner(a, b) {
    return a.stake > b.stake || (a.stake === b.stake && a.number < b.number);
  }

  /** Puts what waits to be opened after each outcome of a row on the heap, where anything can be saved. */
  function addStakes(outlook, heap, here, row, way, numbers) {
    const { seen } = here;
    if (row < 0) return;
    const { constants } = outlook.problem, least = constants.least_stake * seen.state.total;
    for (let place = seen.starts[row]; place < seen.starts[row + 1]; place += 1) {
      const saved = seen.runs[place] - seen.floors[place];
      if (!(saved > least)) continue;
      const on = { opened: here, place, row, before: way };
      push(heap, { stake: engine.round9(saved, constants), number: numbers.next++, way: on });
    }
  }

  /** Opens so many more beliefs below a step at most, those with most at stake first. */
  function walk(outlook, root, step, trust, count) {
    const heap = [], numbers = { next: 0 }, most = count + outlook.beliefs.size;
    let here = root, way = null, row = step;
    while (here === root || outlook.beliefs.size < most) {
      addStakes(outlook, heap, here, row, way, numbers);
      if (heap.length === 0) return;
      ({ way } = pop(heap));
      here = follow(outlook, way);
      for (let back = way; back !== null; back = back.before) takeOver(back.opened, back.place);
      row = engine.bestRow(outlook.problem, here.seen, trust);
    }
  }

  /** Brings every belief up to date, the last ones first: a walk does so on its own way alone. */
  function refresh(outlook) {
    const all = [...outlook.beliefs.values()];
    all.sort((a, b) => b.seen.state.path.length - a.seen.state.path.length);
    for (const opened of all) for (const place of opened.kids.keys()) takeOver(opened, place);
  }

  /** @returns {number[]} rows, the best by any of the estimates first */
  function promising(problem, seen, trusts) {
    const ranks = trusts.map((trust) => engine.ranked(problem, seen, engine.estimates(seen, trust)));
    const least = new Map();
    for (const rank of ranks) rank.forEach((row, place) => least.set(row, Math.min(place, least.get(row) ?? place)));
    return ranks[0].slice().sort((a, b) => least.get(a) - least.get(b));
  }

  /** Walks from the root, opening about so many other beliefs, until its best steps are told apart. */
  function compare(outlook, root, count) {
    const { kept, trusts } = outlook.problem.constants;
    if (count === 0) return;
    let best = promising(outlook.problem, root.seen, trusts);
    for (const many of kept) {
      best = best.slice(0, many);
      const share = Math.max(1, Math.floor(count / (kept.length * best.length * trusts.length)));
      for (const row of best) for (const trust of trusts) walk(outlook, root, row, trust, share);
      const among = new Set(best);
      best = engine.ranked(outlook.problem, root.seen, engine.scoresWith(root.seen, root.after))
        .filter((row) => among.has(row));
    }
    refresh(outlook);
  }

  /** @returns {number} cells that one look reads at most */
  function cells(problem) {
    return Math.max(problem.faults.length * (problem.rows + problem.repairs.length), 1);
  }

  /**
   * @param {Problem} problem @param {State} state
   * @returns {{score: number, choice: Choice}[]} every step that may be taken now with its expected minutes, best
   *   first, ties by kind and id; the minutes are exact for a call that goes on by the plan at hand
   */
  function rolledSteps(problem, state) {
    const outlook = { problem, bench: engine.makeBench(problem), beliefs: new Map() };
    const root = open(outlook, state);
    compare(outlook, root, Math.floor(problem.constants.work / cells(problem)));
    const scores = engine.scoresWith(root.seen, root.after);
    return engine.ranked(problem, root.seen, scores)
      .map((row) => ({ score: scores[row] / state.total, choice: engine.choiceOf(problem, root.seen, row) }));
  }

  Object.assign(engine, { rolledSteps });
})();
