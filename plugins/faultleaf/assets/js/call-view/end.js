/* How a call ends: cured, handed on, or with nothing left to do. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold, timeText, shareText } = callView;

  /** A line of the technician's own into the record. */
  function noteField({ app }, title = "Write a note into the record") {
    const { input, label } = callView.field("fl-note-text", title, "", { maxlength: "2000", rows: "2" }, "textarea");
    const keep = () => { if (input.value.trim()) app.add({ what: "note", text: input.value.trim() }); };
    return fold(title, false, label, input, button("Keep the note", keep, { "data-key": "note" }));
  }

  /** Causes of the cause, so that it stays away. */
  function staysAway({ words, base }, id) {
    const fault = words.faults[id];
    if (!fault || (fault.comes_from.length === 0 && fault.stays_away.length === 0)) return null;
    return element("section", { class: "fl-stays" }, element("h2", {}, "So that it stays away"),
      fault.comes_from.length > 0 && element("p", {}, "Look at what it comes from:"),
      fault.comes_from.length > 0 && element("ul", {}, ...fault.comes_from.map(([title, url]) => element("li", {}, callView.away(url, base, title)))),
      ...callView.fromTree(fault.stays_away, base));
  }

  /** @returns {HTMLElement} what to tell whom the call is handed to: the record in plain words */
  function whatToTell({ job, state, view, words }) {
    const said = callView.inEffect(state).filter(({ entry, idle }) => !idle && !["safe", "who", "equipment"].includes(entry.what));
    const fitted = [...state.equipment].map(([feature, value]) => words.value(feature, value));
    const likely = (view.causes || []).filter(({ share }) => share >= 0.05).slice(0, 3);
    return element("section", { class: "fl-tell" }, element("h2", {}, "Tell them"),
      element("ul", {}, job.about.address && element("li", {}, `Where: ${job.about.address}`),
        fitted.length > 0 && element("li", {}, `Fitted: ${fitted.join("; ")}`),
        ...said.map(({ entry }) => element("li", {}, words.entry(entry))),
        likely.length > 0 && element("li", {}, "Still in play: ", likely.map(({ id, share }) => `${words.faultTitle(id)} (${shareText(share)})`).join("; "))));
  }

  /** @returns {(Node | false | null)[]} */
  function handOnParts(context) {
    const { app, state, words } = context;
    const { input, label } = callView.field("fl-to", "Handed on to", words.shared.site.call, { maxlength: "200" });
    if (state.handedOn) {
      return [
        element("p", { class: "fl-done" }, `✓ Handed on to ${state.handedOn.to}, ${timeText(state.handedOn.at)}.`),
        whatToTell(context),
        ...closing(context),
      ];
    }
    return [
      whatToTell(context),
      element("div", {}, label, input),
      element("div", { class: "fl-row" },
        button("Handed on: they know", () => app.add({ what: "handed-on", to: input.value.trim() || words.shared.site.call }), { class: "fl-do--main", "data-key": "handed-on" })),
    ];
  }

  const WHY_HAND_ON = {
    "nothing-else": "What was found cannot all be true, so no further step can be worked out.",
    cheapest: "Whoever comes next reaches a proved repair sooner than any step that is left here.",
    emergency: "This is an emergency: no plan is worked out.",
  };

  /** @param {any} context @param {any} [step] @returns {any} */
  function handOnScreen(context, step = context.view.step) {
    const why = step && step.kind === "hand-on" ? WHY_HAND_ON[step.reason] : "";
    return {
      title: context.state.handedOn ? "This call is handed on" : "Hand this call on",
      kicker: context.state.handedOn ? "" : "Next step", aside: true,
      body: [
        !context.state.handedOn && callView.misfit(context),
        !context.state.handedOn && why && element("p", {}, why),
        callView.whomToCall(context),
        ...handOnParts(context),
        step && !context.state.handedOn && callView.otherWays(context, step),
      ],
    };
  }

  /** @returns {any} when no step is allowed any more */
  function nothingLeftScreen(context) {
    return {
      title: "No step is left on this call", kicker: "Hand on", aside: true,
      body: [
        element("p", {}, "Everything that could be done was done, or cannot be done here. Hand the call on, or take a refusal back."),
        callView.whomToCall(context),
        ...handOnParts(context),
        button("I noticed something else", () => context.app.go("noticed")),
      ],
    };
  }

  /** @returns {Node[]} papers, and closing the job */
  function closing({ app, state }) {
    return [
      element("div", { class: "fl-row" },
        button("Report to print", () => app.go("report")), button("Page for the customer", () => app.go("customer")),
        button("Names and address", () => app.go("about"))),
      element("div", { class: "fl-row" }, state.closed
        ? button("Another call", () => app.home())
        : button("Close the job", () => app.add({ what: "closed" }), { class: "fl-do--main", "data-key": "close" })),
    ];
  }

  /** @returns {any} */
  function curedScreen(context) {
    const { app, state, words } = context;
    const last = state.repairs.filter(({ result }) => result === "cured").pop();
    const repair = last && words.repair(last.repair);
    return {
      title: "Cured", kicker: repair ? words.faultTitle(repair.fault) : "Proved",
      body: [
        repair && element("p", {}, `${repair.title}: done and proved.`),
        repair && staysAway(context, repair.fault),
        ...closing(context),
        last && button("It is there again", () => app.add({ what: "proved", repair: last.repair, result: "still-there" }), { class: "fl-do--quiet", "data-key": "again" }),
      ],
      trail: true,
    };
  }

  /** @returns {any} */
  function closedScreen(context) {
    return { title: "This job is closed", kicker: context.words.symptom(context.state.symptoms[0]).title, trail: true,
      body: [element("p", {}, "It is kept on this device until it is deleted. To open it again, take the closing back below."), ...closing(context)] };
  }

  Object.assign(callView, {
    noteField, staysAway, handOnParts, handOnScreen, nothingLeftScreen, curedScreen, closedScreen,
  });
})();
