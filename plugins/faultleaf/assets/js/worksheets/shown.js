/* Numbers as results show them: as many digits as they deserve. worksheets/shown.py does the same, held to tests/cases/words.json. */
(function () {
  "use strict";

  const MOST_PLACES = 6;

  /** @returns {number} decimal places (negative: before the point) that give so many digits */
  function placesFor(value, digits) {
    if (value === 0) return 0;
    return Math.min(MOST_PLACES, digits - 1 - Math.floor(Math.log10(Math.abs(value)) + 1e-12));
  }

  function atPlaces(value, places) {
    const size = Math.abs(value), coarse = Math.pow(10, -places);
    const fixed = places >= 0 ? size.toFixed(places) : String(Math.floor(size / coarse + 0.5) * coarse);
    const [whole, rest] = fixed.split(".");
    const grouped = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ",");
    const text = rest === undefined ? grouped : `${grouped}.${rest}`;
    return value < 0 && Number(fixed) !== 0 ? `-${text}` : text;
  }

  /** @param {number} value @param {number} [digits] @returns {string} a number that a card gives: its digits that count */
  function plainText(value, digits = 6) {
    return value.toLocaleString("en", { maximumSignificantDigits: digits });
  }

  /** @param {number} value @param {number} [digits] @returns {string} */
  function numberText(value, digits = 3) {
    return atPlaces(value, placesFor(value, digits));
  }

  /** @returns {string} the value and its ±, both to the place that the ± deserves */
  function measuredText(value, give, digits = 3) {
    if (give === 0) return numberText(value, digits);
    const places = placesFor(give, give.toExponential(1).startsWith("1") ? 2 : 1);
    return `${atPlaces(value, places)} ± ${atPlaces(give, places)}`;
  }

  globalThis.faultleaf = globalThis.faultleaf || {};
  globalThis.faultleaf.worksheets = { plainText, numberText, measuredText };
})();
