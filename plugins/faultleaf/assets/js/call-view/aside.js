/* Beside the step: it cannot be done, something else was noticed, another step is done instead. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, REASONS } = callView;

  const SHOWN = 8;

  /** @param {Context} context @returns {CallScreen} */
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

  /** @param {Context} context */
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

  /** @param {Context} context @returns {CallScreen} */
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

  /** @type {readonly [string, (step: {kind: string, way: string}) => boolean][]} */
  const GROUPS = Object.freeze([
    ["Ask", ({ kind, way }) => kind === "test" && way === "ask"],
    ["Look, listen, feel", ({ kind, way }) => kind === "test" && ["look", "listen", "feel"].includes(way)],
    ["Measure, open, run", ({ kind, way }) => kind === "test" && ["measure", "open", "run"].includes(way)],
    ["Repair", ({ kind }) => kind === "repair"],
    ["Name the cause, leave the repair to others", ({ kind }) => kind === "named"],
    ["Hand the call on", ({ kind }) => kind === "hand-on"],
  ]);

  /** @param {Context} context @param {ScoredStep} step @returns {HTMLElement} */
  function stepButton(context, { kind, id }) {
    const { words } = context, asks = id.startsWith("equipment.") && words.feature(id.slice("equipment.".length)).asks;
    return button([element("strong", {}, asks || words.stepTitle(id)),
      kind !== "hand-on" && element("span", { class: "fl-do__note" }, callView.stepNote(context, kind, id))],
    () => context.app.go("", { step: id }), { "data-step": id });
  }

  /** @param {Context} context @param {ScoredStep[]} steps @returns {HTMLElement[]} the steps by what is done in them, each group folded; within it the best first */
  function grouped(context, steps) {
    const { words } = context, one = (step) => stepButton(context, step);
    const given = steps.map((step) => ({ ...step, way: step.id.startsWith("equipment.") ? "ask" : (words.test(step.id) || { way: "look" }).way }));
    return GROUPS.map(([title, within]) => ({ title, found: given.filter(within) })).filter(({ found }) => found.length > 0)
      .map(({ title, found }) => callView.fold(`${title}: ${found.length}`, false, callView.choices(found.map(one), SHOWN)));
  }

  const BEST = 3;

  /** @returns {HTMLElement[]} the next best in sight; where there are many more, all of them by group */
  function bestAndGrouped(context, steps) {
    const best = steps.slice(0, BEST), more = steps.length > BEST;
    return [
      element("p", {}, more ? "The next best:" : "What may be done now:"), callView.choices(best.map((step) => stepButton(context, step))),
      ...(more ? [element("h2", {}, "All that may be done now"), ...grouped(context, steps)] : []),
    ];
  }

  /** @param {Context} context @returns {CallScreen} */
  function othersScreen(context) {
    const { app, view, words } = context, advised = view.step ? view.step.id : "";
    return {
      title: "Do another step instead", kicker: advised && `Advised: ${words.stepTitle(advised)}`,
      body: [
        ...bestAndGrouped(context, view.steps.filter(({ id }) => id !== advised)),
        button("Back", () => app.back(), { class: "fl-do--quiet" }),
      ],
    };
  }

  Object.assign(callView, { cannotScreen, noticedScreen, othersScreen, grouped });
})();
