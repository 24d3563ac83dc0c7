/* The causes still in play, as a strip under the step: share, a thin bar, and what the last finding did. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, fold, bar, shareText, timesText } = callView;
  const SHOWN = 6;

  /** @param {any} words @param {Cause} cause @param {number} largest share @param {boolean} moved the last finding changed some cause */
  function causeItem(words, { id, share, times }, largest, moved) {
    return element("li", { class: "fl-cause", "data-cause": id },
      element("span", { class: "fl-cause__title" }, words.faultTitle(id)),
      element("span", { class: "fl-cause__says" }, element("span", { class: "fl-cause__share" }, shareText(share)),
        moved && times !== null && element("span", { class: "fl-cause__times" }, timesText(times))),
      bar(largest > 0 ? share / largest : 0));
  }

  /** @param {Context} context @returns {HTMLElement | null} */
  function strip({ view, words }) {
    if (view.causes.length === 0 || view.stops.length > 0) return null;
    const largest = view.causes[0].share;
    const moved = view.causes.some(({ times }) => timesText(times) !== timesText(1));
    const items = view.causes.map((cause) => causeItem(words, cause, largest, moved));
    const rest = items.slice(SHOWN);
    return element("section", { class: "fl-strip", "aria-labelledby": "fl-strip-title" },
      element("h2", { id: "fl-strip-title" }, "Causes still in play"),
      element("ul", { class: "fl-causes" }, ...items.slice(0, SHOWN)),
      rest.length > 0 && fold(`${rest.length} more, the likeliest ${shareText(view.causes[SHOWN].share)}`, false,
        element("ul", { class: "fl-causes" }, ...rest)),
      view.cleared.length > 0 && fold(`${view.cleared.length} cleared`, false,
        callView.list(view.cleared.map((id) => words.faultTitle(id)))));
  }

  /** What to do when the findings fit no card. @param {Context} context */
  function misfit({ app, state, view, words }) {
    if (view.fits || view.stops.length > 0) return null;
    const lead = view.impossible
      ? "No cause at all can show what was found: at least one finding must be wrong."
      : "What was found fits no card well. A finding may be wrong, or this is something that no card describes.";
    const first = [...new Set(state.symptoms.flatMap((id) => Object.keys(words.symptom(id).first)))].filter((id) => state.findings.has(id));
    return element("section", { class: "fl-misfit", role: "note" },
      element("h2", {}, "These findings fit no card"),
      element("p", {}, lead),
      element("ul", {},
        first.length > 0 && element("li", {}, "Look once more at what every later reading leans on:"),
        element("li", {}, "Take back what you doubt, in the list of what was done below, and look once more."),
        element("li", {}, `Still so? Give it to ${words.whom(state.who)}, with what was found.`)),
      element("div", { class: "fl-choices" }, ...first.map((id) => callView.button(`Again: ${words.stepTitle(id)}`, () => app.go("noticed", { step: id })))),
      element("div", { class: "fl-row" }, callView.button("Hand on", () => app.go("hand-on"), { "data-key": "to-hand-on" })));
  }

  Object.assign(callView, { strip, misfit });
})();
