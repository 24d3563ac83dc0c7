/* How a worksheet is worked: every result with its ±, or the reason why there is none. worksheets/sheet.py does the
 * same. */

/**
 * @typedef {object} Worked
 * @property {number | null} value in SI
 * @property {number | null} give its ± in SI; null where it cannot be said
 * @property {string} reason why there is no value
 * @property {string} says what it means
 * @property {string} also what else it may mean within its ±
 */

(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;
  const MISSING = "missing:";
  /** Share by which a value may pass a bound: what changing units there and back costs. */
  const NEAR = 1e-9;

  function titleOf(sheet, id) {
    return [...sheet.inputs, ...sheet.results].find((each) => each.id === id).title;
  }

  /** @returns {Map<string, any>} result → its value, or the reason why it has none */
  function run(sheet, values) {
    const known = new Map(values), found = new Map();
    for (const { id, tree } of sheet.results) {
      try {
        const value = worksheets.evaluate(tree, known);
        known.set(id, value);
        found.set(id, value);
      } catch (error) {
        if (!(error instanceof worksheets.NoResult)) throw error;
        const missing = error.message.startsWith(MISSING);
        found.set(id, missing ? `'${titleOf(sheet, error.message.slice(MISSING.length))}' is missing` : error.message);
      }
    }
    return found;
  }

  function meaning(result, value) {
    const shown = worksheets.fromSi(value, result.unit);
    const met = result.says.find(([low, high]) => (low === null || shown >= low) && (high === null || shown < high));
    return met ? met[2] : "";
  }

  /** @param {any} sheet @param {Map<string, {value: number, give: number}>} given @returns {Map<string, Worked>} */
  function work(sheet, given) {
    const values = new Map([...given].map(([id, measured]) => [id, measured.value]));
    const best = run(sheet, values), squares = new Map(), unknown = new Set();
    for (const [id, { value, give }] of given) {
      if (give === 0) continue;
      const ends = [-1, 1].map((side) => run(sheet, new Map(values).set(id, value + side * give)));
      for (const [result, found] of best) {
        if (typeof found === "string") continue;
        const moved = ends.map((end) => end.get(result));
        if (moved.some((each) => typeof each === "string")) unknown.add(result);
        else squares.set(result, (squares.get(result) || 0) + Math.pow(Math.max(...moved.map((each) => Math.abs(each - found))), 2));
      }
    }
    return new Map(sheet.results.map((result) => {
      const found = best.get(result.id);
      if (typeof found === "string") return [result.id, { value: null, give: null, reason: found, says: "", also: "" }];
      const give = unknown.has(result.id) ? null : Math.sqrt(squares.get(result.id) || 0), says = meaning(result, found);
      const others = [found - (give || 0), found + (give || 0)].map((each) => meaning(result, each));
      return [result.id, { value: found, give, reason: "", says, also: others.find((each) => each !== says) || "" }];
    }));
  }

  /** @returns {string} the warning where a value lies outside the sensible range, "" where it does not */
  function outsideRange(input, measured) {
    const value = worksheets.fromSi(measured.value, input.unit), { label } = worksheets.unit(input.unit);
    const { least, most } = input, words = (limit) => `${worksheets.plainText(limit)} ${label}`.trim();
    if (least !== null && value < least - NEAR * Math.abs(least)) return `below what is sensible, ${words(least)}`;
    if (most !== null && value > most + NEAR * Math.abs(most)) return `above what is sensible, ${words(most)}`;
    return "";
  }

  Object.assign(worksheets, { work, outsideRange });
})();
