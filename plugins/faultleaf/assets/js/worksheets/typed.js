/* What a tradesman types → a value with its ± in SI, or the reason why it cannot be read. worksheets/typed.py does the
 * same, and says more. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;

  const LONGEST = 60, LARGEST = 1e12;
  const NUMBER = "(?:\\d+[- ]+\\d+/\\d+|\\d+/\\d+|\\d*[.,]?\\d+(?:,\\d{3})*(?:\\.\\d+)?|\\d+[.,])";
  const WHOLE = new RegExp(`^([-−]?)\\s*(${NUMBER})\\s*((?:[^\\d\\s.,±][^±]*)?)$`);
  const GROUPS = /^[1-9]\d{0,2}(,\d{3})+(\.\d+)?$/;
  const FRACTION = /^(?:(\d+)[- ]+)?(\d+)\/(\d+)$/;

  /** Why what was typed cannot be read; the message is a sentence without its full stop. */
  class NotRead extends Error {}

  /** @returns {never} */
  function refuse(reason) {
    throw new NotRead(reason);
  }

  const data = () => globalThis.faultleafData.worksheets;
  const unit = (name) => data().units[name];
  const toSi = (value, name) => value * data().units[name].factor + data().units[name].offset;
  const fromSi = (value, name) => (value - data().units[name].offset) / data().units[name].factor;

  function clean(text) {
    const spelt = Array.from(text, (mark) => (data().fractions[mark] ? ` ${data().fractions[mark]}` : mark)).join("");
    return spelt.split(/\s+/).filter(Boolean).join(" ");
  }

  /** @returns {string} the unit that is meant: the field's own, or another that measures the same */
  function unitOf(said, unit, known) {
    if (!said) return unit;
    const lower = said.toLowerCase(), { units, spoken } = data();
    const found = [said, spoken[said], spoken[lower], lower].find((name) => known.includes(name));
    if (found) return found;
    const labelled = known.filter((name) => units[name].label.toLowerCase() === lower);
    if (labelled.length > 0) return labelled[labelled.length - 1];
    if (["oz", "ozs", "ounces"].includes(lower) && known.includes("oz")) return "oz";
    if (["lb", "lbs", "pounds", "#"].includes(lower) && known.includes("psi")) return "psi";
    return refuse(`'${said}' is not a unit for this; ${known.map((name) => units[name].label).join(", ")} can be read`);
  }

  function grouped(text, least, most) {
    const thousands = Number(text.replace(/,/g, ""));
    if ((text.match(/,/g) || []).length > 1 || text.includes(".")) return thousands;
    const decimal = Number(text.replace(",", "."));
    const fits = [thousands, decimal].filter((each) => (least === null || each >= least) && (most === null || each <= most));
    if (fits.length === 1 && (least !== null || most !== null)) return fits[0];
    return refuse(`'${text}' may mean ${thousands} or ${decimal}; write it without the comma, or with a point`);
  }

  function number(text, least, most) {
    const fraction = FRACTION.exec(text);
    if (fraction) {
      if (Number(fraction[3]) === 0) refuse("a fraction cannot have 0 below its line");
      return Number(fraction[1] || 0) + Number(fraction[2]) / Number(fraction[3]);
    }
    if (!text.includes(",")) return Number(text);
    if (GROUPS.test(text)) return grouped(text, least, most);
    if (text.indexOf(",") === text.lastIndexOf(",") && !text.includes(".")) return Number(text.replace(",", "."));
    return refuse(`'${text}' cannot be read as a number`);
  }

  function read(text, unit, known, least, most) {
    const match = WHOLE.exec(text);
    if (!match) return refuse(`'${text}' cannot be read as a number`);
    const used = unitOf(match[3].trim(), unit, known), own = used === unit;
    const value = number(match[2], own ? least : null, own ? most : null);
    if (!Number.isFinite(value) || value > LARGEST) refuse("the number is too large");
    return { value: match[1] ? -value : value, used, named: match[3].trim() !== "" };
  }

  /**
   * @param {string} text @param {string} unit what it is meant in unless it says another @param {string[]} known the
   *   units that it may say @param {number | null} [least] in `unit` @param {number | null} [most]
   * @param {string} [give] the ± where it stands apart
   * @returns {{value: number, give: number}} in SI
   */
  function readTyped(text, unit, known, least = null, most = null, give = "") {
    const whole = clean(text);
    if (!whole) refuse("nothing is filled in");
    if (whole.length > LONGEST) refuse("this is too long for a number");
    const parts = whole.replace(/\+\/?-/g, "±"), cut = parts.indexOf("±");
    const inside = cut < 0 ? "" : parts.slice(cut + 1).trim();
    if (cut >= 0 && !inside) refuse("how far it may be off is missing after the ±");
    const first = read((cut < 0 ? parts : parts.slice(0, cut)).trim(), unit, known, least, most);
    const given = inside || clean(give);
    if (!given) return { value: toSi(first.value, first.used), give: 0 };
    const off = read(given.replace(/^±+/, "").trim(), first.used, known, null, null);
    if (off.value < 0) refuse("the ± cannot be negative");
    const used = off.named && !first.named && cut >= 0 ? off.used : first.used;
    return { value: toSi(first.value, used), give: off.value * data().units[off.used].factor };
  }

  Object.assign(worksheets, { NotRead, readTyped, toSi, fromSi, unit });
})();
