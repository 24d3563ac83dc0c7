/* An expression's value, in SI base units, from the tree that export/worksheets.py wrote. worksheets/evaluate.py does
 * the same. */
(function () {
  "use strict";
  const { physics, worksheets } = globalThis.faultleaf;

  /** Why an expression has no value here; the message is the end of a sentence. */
  class NoResult extends Error {}
  const NO_ROOT = "a root or logarithm of a number that has none";

  function lookUp(name, size) {
    const { tables, units } = globalThis.faultleafData.worksheets, table = tables[name];
    const inches = size / units.in.factor;
    const row = table.rows.find(([known]) => Math.abs(known - inches) <= 1e-9 * Math.max(known, inches));
    if (row) return row[1];
    throw new NoResult(`the table '${table.title}' has the sizes ${table.rows.map(([known]) => known).join(", ")} in only`);
  }

  /** @type {Record<string, (...given: number[]) => number>} */
  const FUNCTIONS = Object.freeze({
    min: Math.min, max: Math.max, abs: Math.abs, exp: Math.exp, "round-up": Math.ceil,
    sqrt(value) { if (value >= 0) return Math.sqrt(value); throw new NoResult(NO_ROOT); },
    ln(value) { if (value > 0) return Math.log(value); throw new NoResult(NO_ROOT); },
    "air-pressure": physics.airPressure, "boiling-point": physics.boilingPoint,
    "saturation-pressure": physics.saturationPressure, "latent-heat": physics.latentHeat,
    "boiling-water-heat": physics.boilingWaterHeat, "steam-volume": physics.steamVolume,
    "water-density": physics.waterDensity, "water-heat": physics.waterHeat,
  });

  function divide(left, right) {
    if (right === 0) throw new NoResult("something would be divided by nothing");
    return left / right;
  }

  function raise(base, exponent) {
    if (exponent < 0) return divide(1, raise(base, -exponent));
    let found = 1;
    for (let times = 0; times < exponent; times += 1) found *= base;
    return found;
  }

  function valueOf(tree, values) {
    const [kind, one, other] = tree;
    switch (kind) {
      case "number": return one;
      case "name":
        if (!values.has(one)) throw new NoResult(`missing:${one}`);
        return values.get(one);
      case "negative": return -valueOf(one, values);
      case "power": return raise(valueOf(one, values), other);
      case "call": {
        const given = tree.slice(2).map((each) => valueOf(each, values));
        return Object.hasOwn(FUNCTIONS, one) ? FUNCTIONS[one](...given) : lookUp(one, given[0]);
      }
      case "+": return valueOf(one, values) + valueOf(other, values);
      case "-": return valueOf(one, values) - valueOf(other, values);
      case "*": return valueOf(one, values) * valueOf(other, values);
      default: return divide(valueOf(one, values), valueOf(other, values));
    }
  }

  /** @param {any[]} tree @param {Map<string, number>} values in SI @returns {number} never NaN or infinite */
  function evaluate(tree, values) {
    try {
      const found = valueOf(tree, values);
      if (Number.isFinite(found)) return found;
    } catch (error) {
      if (error instanceof physics.OutOfRange) throw new NoResult(error.message);
      throw error;
    }
    throw new NoResult("the result is too large");
  }

  Object.assign(worksheets, { NoResult, evaluate });
})();
