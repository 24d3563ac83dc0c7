/* The address after "#": which job, which screen, which step it asks for, and how a call begins with what it says.
 *
 * The back button leads back a screen; what was written down stays written down. `#say=SYMPTOM&has=FEATURE:VALUE,…`
 * begins a call, `&found=TEST:OUTCOME,…` with what the caller was heard to say; `&on=VARIANT` stands on printed sheets.
 * `#found=TEST:OUTCOME` alone is a danger that was seen before anybody said what the boiler does.
 */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;

  /** Screens that an address may ask for at any time, and those that are for a call which is being worked. */
  const ALWAYS = Object.freeze({
    symptoms: "symptomsScreen", report: "reportScreen", customer: "customerScreen", about: "aboutScreen", danger: "dangerScreen",
  });
  const AT_WORK = Object.freeze({ cannot: "cannotScreen", work: "workScreen", noticed: "noticedScreen", others: "othersScreen", "hand-on": "handOnScreen" });
  const PHASES = Object.freeze({
    symptoms: "startScreen", who: "symptomsScreen", stop: "stopScreen", equipment: "fittedScreen", "make-safe": "safeScreen",
    emergency: "emergencyScreen", step: "stepScreen", proof: "proofScreen", name: "stepScreen", "hand-on": "stepScreen",
    named: "endedScreen", "handed-on": "endedScreen", cured: "curedScreen", closed: "closedScreen", "nothing-left": "nothingLeftScreen",
  });
  const WORKED = Object.freeze(["stop", "equipment", "step", "name", "hand-on", "nothing-left"]);

  /** @param {Context} context @returns {string} the screen before anybody has said what the boiler does: a danger may be seen there too */
  function screenAtStart({ job, view, ask }) {
    if (ask.at === "danger") return ALWAYS.danger;
    return !job || ask.at === "symptoms" ? PHASES.symptoms : PHASES[view.phase];
  }

  /** @param {Context} context @returns {string} the screen that the address asks for, as far as there is such a one now; else what is due */
  function screenFor(context) {
    const { job, view, state, ask } = context;
    if (ask.at === "jobs") return "jobsScreen";
    if (!job || state.symptoms.length === 0) return screenAtStart(context);
    if (Object.hasOwn(ALWAYS, String(ask.at))) return ALWAYS[ask.at];
    const asked = callView.askedStep(context), worked = WORKED.includes(view.phase);
    const ofStep = ask.at === "cannot" || ask.at === "work";
    if (worked && ofStep && asked && (ask.at === "cannot" || callView.askedWork(context))) return AT_WORK[ask.at];
    // Under a stop nothing is entered or offered but what it allows.
    if (worked && view.stops.length === 0 && !ofStep && Object.hasOwn(AT_WORK, String(ask.at))) return AT_WORK[ask.at];
    return worked && asked && !ask.at ? "stepScreen" : PHASES[view.phase];
  }

  /** @returns {Record<string, string>} what stands after "#" */
  function readAddress() {
    return Object.fromEntries(new URLSearchParams(location.hash.slice(1)));
  }

  /**
   * @param {Record<string, string>} ask from a symptom's page or a sheet's code
   * @param {Library} names
   * @param {any} shared words
   * @param {any[]} findings that callers may be heard to tell
   * @returns {{symptom: string, known: string[][], found: string[][]} | null} what the call begins with; null where the site has no such symptom
   */
  function arrival(ask, { formerly }, { symptoms, equipment }, findings) {
    const symptom = Object.hasOwn(formerly.symptoms, ask.say) ? formerly.symptoms[ask.say] : ask.say;
    if (!Object.hasOwn(symptoms, symptom)) return null;
    const { variants } = symptoms[symptom];
    const printed = ask.on && Object.hasOwn(variants, ask.on) ? Object.entries(variants[ask.on]) : [];
    const pairs = [...printed, ...pairsIn(ask.has)];
    const told = findings.filter((each) => !each.danger && each.at.includes(symptom));
    const found = pairsIn(ask.found).filter(([test, outcome]) => told.some((each) => each.test === test && each.outcome === outcome));
    const known = pairs.filter(([feature, value]) => Object.hasOwn(equipment, feature) && Object.hasOwn(equipment[feature].values, value));
    return { symptom, known, found };
  }

  /** @param {string | undefined} text @returns {string[][]} */
  function pairsIn(text) {
    return (text || "").split(",").map((pair) => pair.split(":"));
  }

  /** @param {Record<string, string>} ask @param {any} shared words @returns {any} the danger that the address says was seen, or nothing */
  function dangerSeen(ask, { dangers }) {
    const [[test, outcome]] = pairsIn(ask.found);
    return dangers.find((each) => each.test === test && each.outcome === outcome);
  }

  Object.assign(callView, { screenFor, readAddress, arrival, dangerSeen });
})();
