/* How a call ends: cured and proved, its cause named for others to repair, or handed on without a cause. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold, timeText, dayText, shareText } = callView;

  /** A line of the technician's own into the record. @param {Context} context */
  function noteField({ app }, title = "Write a note into the record") {
    const { input, label } = callView.field("fl-note-text", title, "", { maxlength: "2000", rows: "2" }, "textarea");
    const keep = () => { if (input.value.trim()) app.add({ what: "note", text: input.value.trim() }); };
    return fold(title, false, label, input, button("Keep the note", keep, { "data-key": "note" }));
  }

  /** Causes of the cause, so that it stays away. @param {Context} context */
  function staysAway({ words, base }, id) {
    const fault = words.faults[id];
    if (!fault || (fault.comes_from.length === 0 && fault.stays_away.length === 0)) return null;
    return element("section", { class: "fl-stays" }, element("h2", {}, "So that it stays away"),
      fault.comes_from.length > 0 && element("p", {}, "Look at what it comes from:"),
      fault.comes_from.length > 0 && element("ul", {}, ...fault.comes_from.map(([title, url]) => element("li", {}, callView.away(url, base, title)))),
      ...callView.fromTree(fault.stays_away, base));
  }

  const TELL = Object.freeze({ owner: "Show this to your technician", apprentice: "What to show" });

  /** @param {Context} context @returns {HTMLElement} what to tell whom the call is handed to: the record in plain words */
  function whatToTell({ job, state, view, words }) {
    const told = ["symptom", "finding", "cannot", "repair", "proved", "note"];
    const said = callView.inEffect(state).filter(({ entry, idle }) => !idle && told.includes(entry.what));
    const fitted = [...state.equipment].map(([feature, value]) => words.value(feature, value));
    const likely = view.stops.length > 0 ? [] : view.causes.filter(({ share }) => share >= 0.05).slice(0, 3);
    const title = state.handedOn || state.named ? "What goes with it" : TELL[state.who ?? ""] || "Tell them";
    return element("section", { class: "fl-tell" }, element("h2", {}, title),
      element("ul", {}, job.about.address && element("li", {}, `Where: ${job.about.address}`),
        fitted.length > 0 && element("li", {}, `Fitted: ${fitted.join("; ")}`),
        ...said.map(({ entry }) => element("li", {}, words.entry(entry))),
        likely.length > 0 && element("li", {}, "Still in play: ", likely.map(({ id, share }) => `${words.faultTitle(id)} (${shareText(share)})`).join("; "))));
  }

  /** The last words of a call that others go on with: to whom, and the press that ends it. @param {Context} context */
  function ending({ app }, to, label, entry) {
    const made = callView.field("fl-to", "To whom", to, { maxlength: "200" });
    return [
      element("div", {}, made.label, made.input),
      element("div", { class: "fl-row" },
        button(label, () => app.add({ ...entry, to: made.input.value.trim() || to }), { class: "fl-do--main", "data-key": entry.what })),
    ];
  }

  const WHY_HAND_ON = {
    "nothing-else": "What was found cannot all be true, so no further step can be worked out.",
    cheapest: "No step that is left is worth its time here: whoever comes next gets to a repair sooner.",
    allowed: "You may end the call here; the step advised is another one.",
  };

  /** Handed on without a cause. @param {Context} context @param {ScoredStep} [step] @returns {CallScreen} */
  function handOnScreen(context, step = context.view.steps.find(({ kind }) => kind === "hand-on")) {
    const { state, words } = context, why = step ? WHY_HAND_ON[step.reason] : "", toTechnician = state.who === "apprentice";
    return {
      title: toTechnician ? "Show this to your technician" : "Hand this call on", kicker: "No cause is named", aside: true,
      body: [
        callView.misfit(context),
        why && element("p", {}, why),
        !toTechnician && callView.whomToCall(context),
        whatToTell(context),
        ...ending(context, words.whom(state.who), "Handed on: they know", { what: "handed-on" }),
        step && callView.otherWays(context, step),
      ],
    };
  }

  /** @param {Context} context @returns {string} who does the repair that nobody does on this call */
  function workFor({ state, words }, repair) {
    if (words.may(state.who, repair.who)) return "It is a job to quote, not one for today.";
    return `It is work for: ${words.rank(repair.who)}.`;
  }

  /** The cause is named, its repair is above the rank here or a job to quote. @param {Context} context @param {ScoredStep} step @returns {CallScreen} */
  function nameScreen(context, step) {
    const { state, view, words } = context, repair = words.repair(step.id), quoted = words.may(state.who, repair.who);
    const to = quoted ? "our own quote" : words.whom(state.who === "owner" && repair.who !== words.ranks[words.ranks.length - 1] ? "apprentice" : state.who);
    const mends = globalThis.faultleaf.call.mendsOnly(view, step.id), causes = step.splits.map(([id]) => id);
    // The likeliest of those that this repair removes.
    const cause = mends ? repair.fault : causes[0];
    // An instrument that is not right is no cause: the call goes on once somebody has mended it.
    const [label, entry] = mends ? ["Handed on: they know", { what: "handed-on" }]
      : [quoted ? "Cause named: it is quoted" : "Cause named: they know", { what: "named", cause, repair: step.id }];
    return {
      title: words.faultTitle(cause), kicker: mends ? "To be mended before anything else" : "The cause can be named", aside: true,
      body: [
        ...callView.stopHolds(context),
        !mends && callView.misfit(context),
        element("p", { class: "fl-asks" }, `The repair: ${repair.title}.`),
        element("p", {}, `${workFor(context, repair)}${mends ? "" : ` As far as is known now, ${shareText(step.why.removes)} of such calls end with it.`}`),
        causes.length > 1 && element("p", {}, `The same repair removes: ${causes.slice(1).map((id) => words.faultTitle(id)).join("; ")}.`),
        !mends && callView.evidence(context, cause),
        // Nobody does it here; whoever does it reads them again before it.
        repair.cautions.length > 0 && fold("Cautions of this repair", false, ...callView.cautionsBefore(context, repair.cautions)),
        !quoted && to === words.shared.site.call && callView.whomToCall(context),
        whatToTell(context),
        ...ending(context, to, label, entry),
        callView.otherWays(context, step),
      ],
    };
  }

  /** @param {Context} context @returns {CallScreen} when no step is allowed any more */
  function nothingLeftScreen(context) {
    const { app, state, words } = context;
    return {
      title: "No step is left on this call", kicker: "Hand on", aside: true,
      body: [
        element("p", {}, "Everything that could be done was done, or cannot be done here. Hand the call on, or take a refusal back."),
        callView.whomToCall(context),
        whatToTell(context),
        ...ending(context, words.whom(state.who), "Handed on: they know", { what: "handed-on" }),
        button("I noticed something else", () => app.go("noticed"), { "data-key": "noticed" }),
      ],
    };
  }

  /** @param {Context} context @returns {Node[]} papers, and closing the job */
  function closing({ app, state }, done = true) {
    return [
      element("div", { class: "fl-row" },
        button("Report to print", () => app.go("report")), button("Page for the customer", () => app.go("customer")),
        button("Names and address", () => app.go("about"))),
      element("div", { class: "fl-row" }, state.closed
        ? button("Another call", () => app.home())
        : button("Close the job", () => app.add({ what: "closed" }), { class: done ? "fl-do--main" : "fl-do--quiet", "data-key": "close" })),
    ];
  }

  /** @param {Context} context @returns {{kind: string, entry: any, due: Date | null}} how the call stands, by the proofs of the cards */
  function endingOf({ state, words }) {
    const over = (id) => { const repair = words.repair(id), proof = repair && words.proof(repair.proof); return proof ? proof.over : 0; };
    return globalThis.faultleaf.call.endingOf(state, over);
  }

  /** @param {Context} context @returns {string} the same in a sentence */
  function endingText(context) {
    const { words } = context, { kind, entry, due } = endingOf(context);
    switch (kind) {
      case "cured": return `Cured and proved: ${words.stepTitle(entry.repair)}`;
      case "holds-so-far": return `Repaired ${dayText(entry.at)}: ${words.stepTitle(entry.repair)}. It holds so far; the proof runs to ${dayText(due)}`;
      case "proving": return `Repaired ${dayText(entry.at)}: ${words.stepTitle(entry.repair)}. The proof runs to ${dayText(due)}`;
      case "named": return `Cause named: ${words.faultTitle(entry.cause)}. Repair left to ${entry.to}: ${words.stepTitle(entry.repair)}`;
      case "handed-on": return `Handed on to ${entry.to}. No cause was named`;
      default: return "Open";
    }
  }

  /** Cured and proved; or it holds so far, until the last look is due. @param {Context} context @returns {CallScreen} */
  function curedScreen(context) {
    const { app, words } = context, { kind, entry, due } = endingOf(context), repair = words.repair(entry.repair);
    const say = (result) => () => app.add({ what: "proved", repair: entry.repair, result }), proved = kind === "cured";
    return {
      title: proved ? "Cured and proved" : "It holds so far", kicker: repair ? words.faultTitle(repair.fault) : "", trail: true,
      body: [
        repair && element("p", {}, `${repair.title}: done ${proved ? "and proved" : timeText(entry.at)}.`),
        !proved && element("p", { class: "fl-due" }, "The proof runs to ", element("strong", {}, dayText(due)), ". Until then nobody can say that it is cured."),
        !proved && element("div", { class: "fl-row" }, button("The last look is done: it holds", say("cured"), { "data-key": "holds" })),
        repair && staysAway(context, repair.fault),
        ...closing(context, proved),
        button("It is there again", say("still-there"), { class: "fl-do--quiet", "data-key": "again" }),
      ],
    };
  }

  /** The call is with others now, with its cause or without. @param {Context} context @returns {CallScreen} */
  function endedScreen(context) {
    const { app } = context, { kind, entry } = endingOf(context), named = kind === "named";
    return {
      title: named ? "Ended: cause named" : "Ended: handed on", trail: true,
      body: [
        ...callView.stopHolds(context),
        element("p", { class: "fl-done" }, `✓ ${endingText(context)}, ${timeText(entry.at)}.`),
        whatToTell(context),
        ...closing(context),
        named && button("It has been repaired: on to its proof", () => app.add({ what: "repair", repair: entry.repair }), { class: "fl-do--quiet", "data-key": "repaired" }),
      ],
    };
  }

  /** @param {Context} context @returns {CallScreen} */
  function closedScreen(context) {
    return { title: "This job is closed", kicker: context.state.symptoms.map((id) => context.words.symptom(id).title).join("; "), trail: true,
      body: [element("p", {}, `${endingText(context)}.`),
        element("p", {}, "It is kept on this device until it is deleted. To open it again, take the closing back below."), ...closing(context)] };
  }

  Object.assign(callView, {
    noteField, staysAway, whatToTell, ending, handOnScreen, nameScreen, nothingLeftScreen, curedScreen, endedScreen, closedScreen, endingOf, endingText,
  });
})();
