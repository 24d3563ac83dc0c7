/* Where on the printed sheet's chart this call stands, as long as it still is on it. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, fold, away } = callView;

  /** @returns {any | null} the chart made for this equipment: every feature of the variant is known to be so */
  function variantOf(charts, equipment) {
    return charts.find((chart) => Object.entries(chart.equipment).every(([feature, value]) => equipment.get(feature) === value)) || null;
  }

  function boxWords(words, box) {
    return box.steps.map((step) => words.stepTitle(step)).join("; then ");
  }

  /** @param {any} context @returns {HTMLElement | null} */
  function chartMap({ state, words, base }) {
    const [symptom] = state.symptoms, drawn = (globalThis.faultleafData || {})[`charts/${symptom}`];
    const chart = drawn && variantOf(drawn.charts, state.equipment);
    if (!chart) return null;
    const place = globalThis.faultleaf.call.placeOnChart(chart, state);
    const words_ = words.symptom(symptom).charts.find(({ title }) => title.toLowerCase() === chart.variant.toLowerCase());
    const link = words_ && away(words_.url, base, `The chart: ${words_.title}`);
    if (place.left || place.box === null) {
      return fold("Not on the printed sheet any more", false, element("p", {}, "This call did something that the sheet’s chart does not draw. Go on from here."), link);
    }
    const numbers = [...place.path, place.box], byNumber = new Map(chart.boxes.map((box) => [box.number, box]));
    return fold(`On the printed sheet: box ${place.box} of ${chart.boxes.length}`, false,
      element("ol", { class: "fl-map" }, ...[...new Set(numbers)].map((number) => element("li", { value: String(number), "aria-current": number === place.box ? "step" : "" },
        boxWords(words, byNumber.get(number)), number === place.box && element("strong", {}, " ← here")))), link);
  }

  Object.assign(callView, { chartMap });
})();
