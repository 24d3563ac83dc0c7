/* What a call needs to be shown: its phase, the step to take, the causes still in play.
 *
 * Everything is worked out anew from the state; the engine is asked once for what may be done now.
 */
(function () {
  "use strict";
  const { call, engine } = globalThis.faultleaf;

  /** More questions before the first step than these would tire; the engine may still ask the others. */
  const MOST_QUESTIONS = 6;
  /** A question that tells less (bits) and opens nothing is left to the engine. */
  const LEAST_BITS = 0.02;
  /** A cause below that share is cleared. */
  const CLEARED = 0.001;

  /**
   * @typedef {{id: string, share: number, before: number | null, times: number | null}} Cause `before`: its share
   *   before the last thing that was found out; `times`: share over before
   *
   * @typedef {object} View
   * @property {"symptoms" | "make-safe" | "emergency" | "equipment" | "step" | "proof" | "cured" | "hand-on" |
   *   "handed-on" | "nothing-left" | "closed"} phase
   * @property {string[]} cautions of the symptoms, not acknowledged yet
   * @property {string[]} questions features to ask about, the most telling first
   * @property {ScoredStep | null} step
   * @property {ScoredStep[]} others what may be done instead, best first
   * @property {Cause[]} causes likeliest first
   * @property {string[]} cleared
   * @property {boolean} fits
   * @property {boolean} impossible
   * @property {string[]} refused first checks that cannot be done here
   * @property {number | null} expectedMinutes to a proved repair or to handing on
   * @property {Problem | null} problem
   * @property {Belief | null} belief
   */

  /** @param {State} state @param {Library} library @returns {{problem: Problem, belief: Belief}} */
  function beliefOf(state, library) {
    const failed = state.repairs.filter(({ result }) => result === engine.STILL_THERE).map(({ repair }) => repair);
    const unknown = [...state.unknown].map((feature) => `equipment.${feature}`);
    const problem = engine.compileProblem(library, {
      symptoms: state.symptoms, absent: state.absent, equipment: Object.fromEntries(state.equipment), who: state.who,
      cannot: [...state.cannot.keys(), ...unknown], done: failed,
    });
    const counted = [...state.findings].filter(([id]) => problem.testIndex.has(id) || problem.repairIndex.has(id));
    return { problem, belief: engine.believe(problem, counted) };
  }

  /** @returns {Map<string, number>} cause → share */
  function sharesOf({ problem, belief }) {
    return new Map(problem.faults.map((fault, place) => [fault, belief.probabilities[place]]));
  }

  /** @returns {Map<string, number> | null} the shares before the last thing that was found out */
  function sharesBefore(job, state, library) {
    const last = call.lastTelling(state);
    // What came after it goes too: a finding that it rules out would count again.
    const since = new Set([...job.log.keys()].filter((place) => place >= last));
    const earlier = last < 0 ? null : call.stateOf(job, library, since);
    return earlier && earlier.symptoms.length > 0 ? sharesOf(beliefOf(earlier, library)) : null;
  }

  /** @returns {Cause[]} those still in play, likeliest first */
  function causesOf(now, before) {
    return engine.rankedCauses(now.problem, now.belief).filter(([, share]) => share >= CLEARED).map(([id, share]) => {
      const earlier = before && before.has(id) ? before.get(id) : null;
      return { id, share, before: earlier, times: earlier > 0 ? share / earlier : null };
    });
  }

  /** @returns {string[]} causes of such calls that are not in play: ruled out by what is fitted or found, by id */
  function clearedOf(state, library, causes) {
    const inPlay = new Set(causes.map(({ id }) => id));
    const named = [...library.faults.values()].filter((fault) => state.symptoms.some((id) => Object.hasOwn(fault.symptoms, id)));
    return named.map((fault) => fault.id).filter((id) => !inPlay.has(id));
  }

  /** Bits that the answer is expected to tell of the causes (mutual information; Shannon 1948). */
  function bits({ problem, belief }, test) {
    const { probabilities } = belief, count = probabilities.length;
    let told = 0;
    test.outcomes.forEach((_, column) => {
      const from = (test.start + column) * count;
      let chance = 0;
      for (let fault = 0; fault < count; fault += 1) chance += probabilities[fault] * problem.chances[from + fault];
      for (let fault = 0; fault < count; fault += 1) {
        const both = probabilities[fault] * problem.chances[from + fault];
        if (both > 0) told += both * Math.log2(problem.chances[from + fault] / chance);
      }
    });
    return told;
  }

  /** @returns {number} steps that wait for the answer */
  function opened(problem, id) {
    const waits = (step) => step.needs.some((need) => need.id === id);
    return problem.tests.filter((test) => test.offered && waits(test)).length + problem.repairs.filter(waits).length;
  }

  /** @returns {string[]} features worth asking about before the first step, the most telling first */
  function questionsOf(state, now) {
    const left = MOST_QUESTIONS - state.equipment.size - state.unknown.size;
    const asked = now.problem.tests.filter((test) => test.equipment && test.offered);
    const scored = asked.map((test) => ({ id: test.id, bits: bits(now, test), opens: opened(now.problem, test.id) }));
    return scored.filter((each) => each.bits >= LEAST_BITS || each.opens > 0)
      .sort((a, b) => engine.round9(b.bits, now.problem.constants) - engine.round9(a.bits, now.problem.constants)
        || b.opens - a.opens || engine.byId(a.id, b.id))
      .slice(0, Math.max(left, 0)).map(({ id }) => id.slice("equipment.".length));
  }

  /** @returns {string[]} what makes safe, in the order of the symptoms, not acknowledged yet */
  function cautionsOf(state, library) {
    const wanted = state.symptoms.flatMap((id) => library.symptoms.get(id).make_safe);
    return [...new Set(wanted)].filter((caution) => !state.safe.has(caution));
  }

  /** @returns {boolean} whether the call has begun to be worked: nobody is asked what is fitted after the first step */
  function begun(state) {
    return state.findings.size > 0 || state.repairs.length > 0 || state.cannot.size > 0;
  }

  function phaseOf(state, { cautions, questions, step }, emergency) {
    const last = state.repairs[state.repairs.length - 1];
    if (state.closed) return "closed";
    if (cautions.length > 0) return "make-safe";
    if (state.handedOn) return "handed-on";
    if (emergency) return "emergency";
    if (state.waiting) return "proof";
    if (last && last.result === "cured") return "cured";
    if (questions.length > 0) return "equipment";
    if (!step) return "nothing-left";
    return step.kind === "hand-on" ? "hand-on" : "step";
  }

  const NOTHING = Object.freeze({
    cautions: [], questions: [], step: null, others: [], causes: [], cleared: [], fits: true, impossible: false,
    refused: [], expectedMinutes: null, problem: null, belief: null,
  });

  /**
   * @param {Job} job @param {Library} library
   * @param {State} [state] of the job, where it is at hand
   * @returns {View} throws EngineError where the library lacks the data of a symptom
   */
  function viewOf(job, library, state = call.stateOf(job, library)) {
    if (state.symptoms.length === 0) return { ...NOTHING, phase: state.closed ? "closed" : "symptoms" };
    const now = beliefOf(state, library), { problem, belief } = now;
    const [step = null, ...others] = engine.rankSteps(problem, belief);
    const causes = causesOf(now, sharesBefore(job, state, library));
    const shown = {
      cautions: cautionsOf(state, library), questions: begun(state) ? [] : questionsOf(state, now),
      step, others, causes, cleared: clearedOf(state, library, causes), fits: belief.fits, impossible: belief.impossible,
      refused: problem.refused, expectedMinutes: step && step.expected_minutes, problem, belief,
    };
    return { ...shown, phase: phaseOf(state, shown, problem.emergency) };
  }

  /**
   * @param {Record<string, [number | null, number | null]>} limits outcome → [low, high), null where there is none
   * @param {number} reading
   * @returns {string | null} the outcome that the reading means
   */
  function outcomeOf(limits, reading) {
    const within = ([low, high]) => (low === null || reading >= low) && (high === null || reading < high);
    const found = Number.isNaN(reading) ? undefined : Object.entries(limits).find(([, range]) => within(range));
    return found ? found[0] : null;
  }

  Object.assign(call, { viewOf, beliefOf, outcomeOf });
})();
