/* Which outcome of a test the results of its worksheet mean. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;
  /** Digits of a result that count beside a limit: beyond them stands what changing units there and back costs. */
  const DIGITS = 12;

  /**
   * @typedef {[string, number | null, number | null]} Interval outcome, and its [low, high); null where there is no end
   * @typedef {{outcome: string | null, by: string | null, also: string | null, reason: string}} Decided
   *   `by`: the result that decided; `also`: another outcome that lies within its ±; `reason`: why there is none
   */

  function outcomeIn(intervals, value) {
    const found = intervals.find(([, low, high]) => (low === null || value >= low) && (high === null || value < high));
    return found ? found[0] : null;
  }

  /** @returns {[string, string] | null} the first result that decides, and the outcome; `shift` moves one of them */
  function first(decides, valueOf, shift) {
    for (const [result, intervals] of decides) {
      const outcome = outcomeIn(intervals, valueOf(result, shift.result === result ? shift.side : 0));
      if (outcome !== null) return [result, outcome];
    }
    return null;
  }

  /** @returns {string} why a result has no value; where another result is missing, why that one has none */
  function reasonOf(sheet, worked, id) {
    const { reason } = worked.get(id), before = sheet.results.find(({ title }) => reason === `'${title}' is missing`);
    return before && before.id !== id ? reasonOf(sheet, worked, before.id) : reason;
  }

  /**
   * @param {[string, Interval[]][]} decides results in the order in which they are asked
   * @param {any} sheet @param {Map<string, any>} worked @returns {Decided}
   */
  function decide(decides, sheet, worked) {
    const missing = decides.map(([result]) => result).find((result) => worked.get(result).value === null);
    if (missing) return { outcome: null, by: null, also: null, reason: reasonOf(sheet, worked, missing) };
    const unitOf = (id) => sheet.results.find((result) => result.id === id).unit;
    const valueOf = (id, side) => {
      const { value, give } = worked.get(id);
      return Number(worksheets.fromSi(value + side * (give || 0), unitOf(id)).toPrecision(DIGITS));
    };
    const found = first(decides, valueOf, { result: "", side: 0 });
    if (!found) return { outcome: null, by: null, also: null, reason: "no outcome has this result" };
    const shifts = decides.flatMap(([result]) => [-1, 1].map((side) => first(decides, valueOf, { result, side })));
    const other = shifts.find((each) => each && each[1] !== found[1]);
    return { outcome: found[1], by: found[0], also: other ? other[1] : null, reason: "" };
  }

  Object.assign(worksheets, { decide });
})();
