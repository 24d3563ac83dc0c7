/* Where on the printed sheet's chart this call stands, as long as it still is on it. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, fold, away } = callView;

  function boxWords(words, box) {
    return box.steps.length > 0 ? box.steps.map((step) => words.stepTitle(step)).join("; then ") : words.stepTitle(globalThis.faultleaf.engine.HAND_ON);
  }

  /** @param {Context} context @returns {HTMLElement | null} nothing where no chart was made for such equipment */
  function chartMap({ state, view, words, base }) {
    const { call } = globalThis.faultleaf, charts = globalThis.faultleafData[`charts/${state.symptoms[0]}`];
    const chart = charts && view.stops.length === 0 && state.symptoms.length === 1 && call.chartFor(charts, state);
    if (!chart) return null;
    const { box, path, left } = call.placeOnChart(chart, state);
    const link = element("p", {}, away(chart.url, base, `The sheet: ${chart.name}`));
    if (left) return fold("Not on the printed sheet any more", false, element("p", {}, "This call did something that the sheet’s chart does not draw. Go on from here."), link);
    const boxes = new Map(chart.boxes.map((each) => [each.number, each])), passed = [...new Set([...path, ...(box === null ? [] : [box])])];
    return fold(box === null ? "On the printed sheet: at its end" : `On the printed sheet: box ${box} of ${chart.boxes.length}`, false,
      element("ol", { class: "fl-map" }, ...passed.map((number) => element("li", { value: String(number), "aria-current": number === box ? "step" : "" },
        boxWords(words, boxes.get(number)), number === box && element("strong", {}, " ← this call")))), link);
  }

  Object.assign(callView, { chartMap });
})();
