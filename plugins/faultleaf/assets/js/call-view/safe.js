/* Make safe: every caution of the symptoms is read and done before anything else. And the emergency. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button } = callView;

  /**
   * A tick with the caution's own words, so that each is read and none is pressed in another's place: what it is about
   * first, since most of it is to be done only where it is so.
   * @param {Context} context @param {string} id @param {boolean} panel whether the whole caution stands above
   */
  function tick(context, id, panel) {
    const { signal, brief, title, avoid } = context.words.caution(id);
    const box = element("input", { type: "checkbox", id: `fl-safe-${id}`, "data-key": `safe-${id}`, "data-safe": id });
    return element("label", { class: "fl-tick", for: `fl-safe-${id}`, "data-caution": id, "data-faultleaf": "caution" }, box,
      element("span", {}, callView.signalWord(signal), " ", element("strong", {}, brief || title),
        !panel && element("span", { class: "fl-tick__do" }, avoid)));
  }

  /** @param {Context} context @returns {CallScreen} */
  function safeScreen(context) {
    const { app, state, view, words } = context, ids = callView.inOrder(words, view.cautions), [gravest] = ids;
    const ticks = ids.map((id) => tick(context, id, id === gravest)), boxes = ticks.map((each) => /** @type {HTMLInputElement} */ (each.querySelector("input")));
    const says = element("p", { class: "fl-status", role: "status" });
    const goOn = () => {
      const left = boxes.filter((box) => !box.checked);
      if (left.length === 0) return app.addAll(ids.map((caution) => ({ what: "safe", caution })));
      says.textContent = `${left.length} of ${ids.length} left: read it, do it where it applies, tick it.`;
      return left[0].focus();
    };
    const starts = state.symptoms.map((id) => words.symptom(id).at_start).filter(Boolean);
    return {
      title: "Make safe", kicker: "Before anything else",
      body: [
        callView.cautionPanel(context, gravest),
        element("p", {}, "Read each line. Where it applies, do it before anything else. Then tick it."),
        element("div", { class: "fl-ticks" }, ...ticks),
        starts.length > 0 && element("p", {}, element("strong", {}, "So the work begins: "), `${starts.join(". ")}.`),
        says,
        element("div", { class: "fl-row" }, button("Read and done: go on", goOn, { class: "fl-do--main", "data-key": "safe" })),
      ],
    };
  }

  /** No plan is computed: make safe, then hand on, whoever is there. @param {Context} context @returns {CallScreen} */
  function emergencyScreen(context) {
    const { state, words } = context, { call, firm } = words.shared.site;
    return {
      title: "Emergency: hand this call on now", trail: true,
      body: [
        ...callView.cautionsBefore(context, state.symptoms.flatMap((id) => words.symptom(id).make_safe)),
        element("p", { class: "fl-asks" }, `Call ${call}.`),
        callView.phoneLink(context, firm || call),
        callView.whatToTell(context),
        ...callView.ending(context, call, "Handed on: they know", { what: "handed-on" }),
      ],
    };
  }

  Object.assign(callView, { safeScreen, emergencyScreen });
})();
