/* What is fitted: one question a screen. "Don't know" is an answer; the question may come up again as a step. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button } = callView;

  /** @param {Context} context @returns {HTMLElement} the ways a feature can be, as numbered buttons */
  function featureAnswers({ app, words }, feature, done = () => {}) {
    const answer = (value) => () => { app.add({ what: "equipment", feature, value }); done(); };
    const values = Object.entries(words.feature(feature).values);
    return callView.answers([...values, [null, "Don’t know"]].map(([value, title]) => ({
      label: title, act: answer(value), quiet: value === null, key: `value-${value}`,
    })));
  }

  /** @param {Context} context @returns {CallScreen} */
  function fittedScreen(context) {
    const { app, view, words } = context, [feature] = view.questions, left = view.questions.length - 1;
    const { asks, how } = words.feature(feature);
    const skip = () => app.addAll(view.questions.map((each) => ({ what: "equipment", feature: each, value: null })));
    return {
      title: asks,
      kicker: "What is fitted",
      body: [
        how && element("p", { class: "fl-how" }, how),
        featureAnswers(context, feature),
        element("p", { class: "fl-note" }, left === 0 ? "The last of these questions." : `${left} more ${left === 1 ? "question" : "questions"} like this one.`),
        left > 0 && button("Skip the rest", skip, { class: "fl-do--quiet" }),
      ],
      trail: true,
    };
  }

  Object.assign(callView, { fittedScreen, featureAnswers });
})();
