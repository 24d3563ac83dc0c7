/* Make safe: every caution of the symptoms is read and done before anything else. And the emergency. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button } = callView;

  /** @param {any} context @returns {any} */
  function safeScreen(context) {
    const { app, state, words } = context;
    const ids = callView.inOrder(words, state.symptoms.flatMap((id) => words.symptom(id).make_safe));
    const open = ids.filter((id) => !state.safe.has(id));
    const panels = ids.map((id) => callView.cautionPanel(context, id, state.safe.has(id)
      ? element("p", { class: "fl-done" }, "✓ Done")
      : button("Done, understood", () => app.add({ what: "safe", caution: id }), { class: "fl-do--main", "data-key": `safe-${id}`, "data-next": "safe" })));
    const starts = state.symptoms.map((id) => words.symptom(id).at_start).filter(Boolean);
    return {
      title: "Make safe",
      kicker: "Before anything else",
      body: [
        element("p", {}, `${open.length} of ${ids.length} left. Read each one, do it, then say so.`),
        element("div", { class: "fl-cautions" }, ...panels),
        starts.length > 0 && element("p", {}, element("strong", {}, "So the work begins: "), `${starts.join(". ")}.`),
      ],
    };
  }

  /** No plan is computed: make safe, then hand on. */
  function emergencyScreen(context) {
    const { state, words } = context;
    const ids = state.symptoms.flatMap((id) => words.symptom(id).make_safe);
    return {
      title: "Emergency: hand this call on now",
      body: [
        callView.whomToCall(context),
        ...callView.cautionsBefore(context, ids),
        ...callView.handOnParts(context),
      ],
    };
  }

  Object.assign(callView, { safeScreen, emergencyScreen });
})();
