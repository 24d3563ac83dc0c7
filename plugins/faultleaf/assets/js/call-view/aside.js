/* Beside the step: it cannot be done, something else was noticed, another step is done instead. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, minutesText, REASONS } = callView;

  const SHOWN = 8;

  /** @param {any} context @returns {any} */
  function cannotScreen(context) {
    const { app, ask, words } = context;
    const { input, label } = callView.field("fl-note", "A word on it, if you like", "", { maxlength: "200" });
    const say = (reason) => () => app.add({ what: "cannot", step: ask.step, reason, ...(input.value.trim() ? { note: input.value.trim() } : {}) });
    return {
      title: "Why can’t it be done here?",
      kicker: words.stepTitle(ask.step),
      body: [
        element("p", {}, "The step is left out of this job and the next best one is worked out. You can take it back."),
        callView.answers(Object.entries(REASONS).map(([reason, title]) => ({ label: title, act: say(reason), key: `reason-${reason}` }))),
        element("div", {}, label, input),
        button("Back", () => app.back(), { class: "fl-do--quiet" }),
      ],
    };
  }

  /** @returns {[string, any][]} tests that this call knows, those that match first */
  function matching(words, text) {
    const wanted = text.toLowerCase().split(/\s+/).filter(Boolean);
    const tests = Object.entries(words.tests).sort(([, a], [, b]) => (a.title < b.title ? -1 : 1));
    const says = ([, test]) => [test.title, test.asks, test.measures ? test.measures.quantity : "", ...Object.values(test.outcomes)].join(" ").toLowerCase();
    return tests.filter((each) => wanted.every((word) => says(each).includes(word)));
  }

  function noticedList(context) {
    const { app, state, words } = context, found = state.findings;
    const { input, label } = callView.field("fl-noticed", "Find the test or what it shows", "", { type: "search", autocapitalize: "none" });
    const results = element("div", {});
    const status = element("p", { class: "fl-status", role: "status" });
    const show = () => {
      const tests = matching(words, input.value);
      status.textContent = tests.length === 0 ? "Nothing of this call’s tests has these words." : "";
      results.replaceChildren(callView.choices(tests.map(([id, test]) => button([element("strong", {}, test.title),
        element("span", { class: "fl-do__note" }, found.has(id) ? `Found: ${words.outcome(id, found.get(id))}` : test.asks)],
      () => app.go("noticed", { step: id }))), SHOWN));
    };
    input.addEventListener("input", show);
    show();
    return [label, input, status, results];
  }

  /** @param {any} context @returns {any} */
  function noticedScreen(context) {
    const { app, ask, words } = context, test = words.test(ask.step);
    const back = button("Back", () => app.back(), { class: "fl-do--quiet" });
    if (!test) return { title: "What did you notice?", kicker: "Beside the steps", body: [...noticedList(context), back] };
    return {
      title: test.title, kicker: "You noticed",
      body: [
        ...callView.cautionsBefore(context, test.cautions),
        element("p", { class: "fl-asks" }, test.asks),
        ...callView.testAnswers(context, ask.step, { noticed: true }),
        back,
      ],
    };
  }

  /** @param {any} context @returns {any} */
  function othersScreen(context) {
    const { app, view, words } = context, best = view.step ? view.step.expected_minutes : 0;
    const more = (step) => Math.max(0, step.expected_minutes - best);
    return {
      title: "Do another step instead", kicker: "Advised: " + (view.step ? words.stepTitle(view.step.id) : ""),
      body: [
        element("p", {}, "Each with how much longer the whole call then takes on average."),
        callView.choices(view.others.map((step) => button([element("strong", {}, words.stepTitle(step.id)),
          element("span", { class: "fl-do__note" }, `${step.kind === "repair" ? "Repair · " : ""}${more(step) < 1 ? "no longer" : `about ${minutesText(more(step))} longer`}`)],
        () => app.go("", { step: step.id }))), SHOWN),
        button("Back", () => app.back(), { class: "fl-do--quiet" }),
      ],
    };
  }

  Object.assign(callView, { cannotScreen, noticedScreen, othersScreen });
})();
