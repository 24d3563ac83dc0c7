/* What a call needs to be shown: its phase, the step to take, the causes still in play.
 *
 * Everything is worked out anew from the state; the engine is asked once for what may be done now.
 */

/**
 * @typedef {{id: string, share: number, before: number | null, times: number | null}} Cause `before`: its share
 *   before the last thing that was found out; `times`: share over before
 *
 * @typedef {object} View
 * @property {"symptoms" | "who" | "stop" | "make-safe" | "emergency" | "equipment" | "step" | "proof" | "cured" |
 *   "name" | "hand-on" | "nothing-left" | "named" | "handed-on" | "closed"} phase "name" and "hand-on" advise an
 *   end, "named" and "handed-on" are one
 * @property {Stop[]} stops dangers that were found: nothing but what they allow may be done (model, rule 16)
 * @property {boolean} mending an instrument must be put right before anything else (rule 17)
 * @property {string[]} cautions of the symptoms, not read yet
 * @property {string[]} questions features to ask about, the most telling first
 * @property {ScoredStep | null} step
 * @property {ScoredStep[]} others what may be done instead, best first
 * @property {ScoredStep[]} steps both
 * @property {Cause[]} causes likeliest first
 * @property {string[]} cleared
 * @property {boolean} fits
 * @property {boolean} impossible
 * @property {string[]} refused first checks that cannot be done here
 * @property {Problem | null} problem
 * @property {Belief | null} belief
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

  /** @param {JobState} state @param {Library} library @returns {{problem: Problem, belief: Belief}} */
  function beliefOf(state, library) {
    const unknown = [...state.unknown].map((feature) => `equipment.${feature}`);
    // A repair that was done and did not cure tells of the causes, whatever was said of it later.
    const cannot = [...state.cannot.keys()].filter((id) => state.findings.get(id) !== engine.STILL_THERE);
    const problem = engine.compileProblem(library, {
      symptoms: state.symptoms, absent: state.absent, equipment: Object.fromEntries(state.equipment),
      // As long as nobody said who is there, only what anybody may do.
      who: state.who || library.ranks[0], cannot: [...cannot, ...unknown],
    });
    const counted = [...state.findings].filter(([id]) => problem.testIndex.has(id) || problem.repairIndex.has(id));
    return { problem, belief: engine.believe(problem, counted) };
  }

  /** @returns {Map<string, number>} cause → share */
  function sharesOf({ problem, belief }) {
    return new Map(engine.rankedCauses(problem, belief));
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

  /** @returns {string[]} what makes safe, in the order of the symptoms, not read yet */
  function cautionsOf(state, library) {
    const wanted = state.symptoms.flatMap((id) => library.symptoms.get(id).make_safe);
    return [...new Set(wanted)].filter((caution) => !state.safe.has(caution));
  }

  /** @returns {boolean} whether the call has begun to be worked: nobody is asked what is fitted after the first step */
  function begun(state) {
    return state.findings.size > 0 || state.repairs.length > 0 || state.cannot.size > 0;
  }

  /** @returns {boolean} whether something holds that this step may not be done under */
  function stopped(stops, step) {
    return stops.some(({ allows }) => !allows.includes(step));
  }

  const ADVISED = Object.freeze({ "hand-on": "hand-on", named: "name", test: "step", repair: "step" });

  function phaseOf(state, { stops, cautions, questions, step }, emergency) {
    const last = state.repairs[state.repairs.length - 1];
    if (state.closed) return "closed";
    if (state.handedOn) return "handed-on";
    if (stopped(stops, state.waiting)) return "stop";
    if (state.named) return "named";
    if (state.who === null) return "who";
    if (cautions.length > 0) return "make-safe";
    if (emergency) return "emergency";
    if (state.waiting) return "proof";
    if (last && last.result === engine.CURED) return "cured";
    if (questions.length > 0) return "equipment";
    return step ? ADVISED[step.kind] : "nothing-left";
  }

  /** @type {Omit<View, "phase">} */
  const NOTHING = Object.freeze({
    stops: [], mending: false, cautions: [], questions: [], step: null, others: [], steps: [], causes: [], cleared: [],
    fits: true, impossible: false, refused: [], problem: null, belief: null,
  });

  /** @returns {View} before anybody said what the boiler does: no plan, but a danger that was found stops all the same */
  function viewBefore(state, library) {
    const stops = [...state.findings].flatMap(([test, outcome]) => {
      const card = library.testById.get(test), stop = card && Object.hasOwn(card.stops, outcome) ? card.stops[outcome] : null;
      return stop ? [{ ...stop, test, outcome }] : [];
    });
    const ended = (state.closed && "closed") || (state.handedOn && "handed-on");
    return { ...NOTHING, stops, phase: ended || (stops.length > 0 ? "stop" : "symptoms") };
  }

  /**
   * @param {Job} job @param {Library} library
   * @param {JobState} [state] of the job, where it is at hand
   * @returns {View} throws EngineError where the library lacks the data of a symptom
   */
  function viewOf(job, library, state = call.stateOf(job, library)) {
    if (state.symptoms.length === 0) return viewBefore(state, library);
    const now = beliefOf(state, library), { problem, belief } = now;
    const steps = engine.rankSteps(problem, belief), [step = null, ...others] = steps;
    const causes = causesOf(now, sharesBefore(job, state, library));
    const shown = {
      stops: belief.stops.filter(({ caution }) => caution), mending: belief.stops.some(({ caution }) => !caution),
      cautions: cautionsOf(state, library), questions: begun(state) ? [] : questionsOf(state, now),
      step, others, steps, causes, cleared: clearedOf(state, library, causes), fits: belief.fits,
      impossible: belief.impossible, refused: problem.refused, problem, belief,
    };
    return { ...shown, phase: phaseOf(state, shown, problem.emergency) };
  }

  /** So many times likelier with a cause than with the others: an outcome speaks for it, or confirms it (rule 15). */
  const SPEAKS = 2;
  const CONFIRMS = 5;
  const MOST_MISSING = 2;

  /** @returns {{withIt: number, times: number}[]} each outcome's chance with a cause, and over that with the others */
  function ratiosOf(problem, test, cause) {
    const count = problem.causes.length, own = problem.causes.map((id) => id === cause);
    const mean = (column, wanted) => {
      let sum = 0, total = 0;
      for (let row = 0; row < count; row += 1) {
        if (own[row] !== wanted) continue;
        sum += problem.weights[row] * problem.chances[(test.start + column) * count + row];
        total += problem.weights[row];
      }
      return total > 0 ? sum / total : 0;
    };
    return test.outcomes.map((_, column) => {
      const withIt = mean(column, true), without = mean(column, false);
      return { withIt, times: without > 0 ? withIt / without : Infinity };
    });
  }

  /**
   * What was found that speaks for a cause or against it, and the tests that may be done now and could confirm it.
   * @param {View} view @param {JobState} state @param {string} cause
   * @returns {{speaks: string[], against: string[], missing: string[]}} ids of tests
   */
  function evidenceFor({ problem, steps }, state, cause) {
    const asked = problem ? problem.tests.filter((test) => !test.equipment) : [];
    const seen = asked.filter((test) => state.findings.has(test.id)).map((test) => {
      const { times } = ratiosOf(problem, test, cause)[test.outcomes.indexOf(state.findings.get(test.id) ?? "")];
      return { id: test.id, times };
    });
    const offered = new Set(steps.filter(({ kind }) => kind === "test").map(({ id }) => id));
    const confirming = asked.filter((test) => offered.has(test.id) && ratiosOf(problem, test, cause)
      .some(({ withIt, times }) => withIt >= 0.5 && times >= CONFIRMS));
    return {
      speaks: seen.filter(({ times }) => times >= SPEAKS).map(({ id }) => id),
      against: seen.filter(({ times }) => times <= 1 / SPEAKS).map(({ id }) => id),
      missing: steps.map(({ id }) => id).filter((id) => confirming.some((test) => test.id === id)).slice(0, MOST_MISSING),
    };
  }

  /** @returns {boolean} whether the repair removes no cause of this call, and puts an instrument right (rule 17) */
  function mendsOnly({ problem }, id) {
    return problem.mending[problem.repairIndex.get(id)] === 1;
  }

  /**
   * How the call has ended, or stands: told apart on the screen, in the job and in the report.
   * @param {JobState} state @param {(repair: string) => number} proofMinutes until the last look of a repair's proof
   * @returns {{kind: "cured" | "holds-so-far" | "proving" | "named" | "handed-on" | "open", entry: any, due: Date | null}}
   *   "holds-so-far": said to be cured before the last look was due
   */
  function endingOf(state, proofMinutes) {
    if (state.handedOn) return { kind: "handed-on", entry: state.handedOn, due: null };
    if (state.named) return { kind: "named", entry: state.named, due: null };
    const last = state.repairs[state.repairs.length - 1];
    if (!last || (last.result !== null && last.result !== engine.CURED)) return { kind: "open", entry: null, due: null };
    const due = new Date(Date.parse(last.entry.at) + proofMinutes(last.repair) * 60000);
    if (last.result === null) return { kind: "proving", entry: last.entry, due };
    const proved = Date.parse(last.proved.at) >= due.getTime();
    return { kind: proved ? "cured" : "holds-so-far", entry: last.entry, due };
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

  Object.assign(call, { viewOf, outcomeOf, mendsOnly, evidenceFor, endingOf });
})();
