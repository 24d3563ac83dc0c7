/* Where on the printed chart a call stands, as long as it has done what the chart says.
 *
 * The boxes come from the plan (export/charts.py): number, kind, steps, and where each answer leads. A box of
 * repairs is left by "still-there" once all of its repairs have failed.
 */

/**
 * @typedef {{number: number, kind: string, steps: string[], exits: Record<string, number | null>}} ChartBox
 * @typedef {{name: string, equipment: Record<string, string>, url: string, boxes: ChartBox[]}} ChartMap
 * @typedef {{box: number | null, path: (number | null)[], left: boolean}} Place `box`: where the call stands, null where it
 *   is cured or has left the chart; `path`: the boxes that it came through; `left`: it did what the chart does not
 */

(function () {
  "use strict";
  const { call, engine } = globalThis.faultleaf;

  /** @returns {{id: string, outcome: string | null}[]} what was done, in order; a repair that is not proved has no outcome */
  function doneOf(state) {
    return state.trail.filter(({ takenBack, idle }) => !takenBack && !idle).flatMap(({ entry }) => {
      if (entry.what === "finding" && !entry.noticed) return [{ id: entry.test, outcome: entry.outcome }];
      if (entry.what === "repair") return [{ id: entry.repair, outcome: null }];
      return entry.what === "proved" ? [{ id: entry.repair, outcome: entry.result }] : [];
    });
  }

  /** @returns {ChartMap | null} the chart made for exactly the equipment that is known; else the nearest that agrees */
  function chartFor(charts, state) {
    const agrees = ({ equipment }) => Object.entries(equipment)
      .every(([feature, value]) => (state.equipment.get(feature) ?? value) === value);
    const known = ({ equipment }) => Object.keys(equipment).filter((feature) => state.equipment.has(feature)).length;
    const fitting = charts.filter(agrees).sort((a, b) => known(b) - known(a));
    return fitting.length > 0 && known(fitting[0]) > 0 ? fitting[0] : null;
  }

  const QUESTION = "equipment.";

  /**
   * @param {Map<number | null, ChartBox>} boxes @param {number | null} from @param {JobState} state @param {(number | null)[]} path
   * @returns {number | null} the first box from here that what is fitted does not answer already; adds those passed to `path`
   */
  function pastQuestions(boxes, from, state, path) {
    let here = from;
    for (;;) {
      const box = boxes.get(here), asks = box && box.steps.find((step) => step.startsWith(QUESTION));
      const value = asks && state.equipment.get(asks.slice(QUESTION.length));
      if (!value || !Object.hasOwn(box.exits, value)) return here;
      path.push(here);
      here = box.exits[value];
    }
  }

  /** @param {ChartMap} chart @param {JobState} state @returns {Place} */
  function placeOnChart(chart, state) {
    /** @type {Map<number | null, ChartBox>} */
    const boxes = new Map(chart.boxes.map((box) => [box.number, box]));
    const path = [], failed = new Set();
    let here = pastQuestions(boxes, chart.boxes[0].number, state, path);
    for (const { id, outcome } of doneOf(state)) {
      const box = boxes.get(here);
      if (!box || !box.steps.includes(id)) return { box: null, path, left: true };
      if (outcome === null) continue;
      if (outcome === engine.STILL_THERE) failed.add(id);
      if (outcome === engine.STILL_THERE && !box.steps.every((step) => failed.has(step))) continue;
      path.push(here);
      if (outcome === engine.CURED) return { box: null, path, left: false };
      if (!Object.hasOwn(box.exits, outcome)) return { box: null, path, left: true };
      here = pastQuestions(boxes, box.exits[outcome], state, path);
    }
    return { box: here, path, left: false };
  }

  Object.assign(call, { chartFor, placeOnChart });
})();
