/* The survey that this browser keeps, for every page that wants it. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;
  const KEPT = "faultleaf-survey";

  /** @returns {{survey: string, asks: Record<string, string>, radiators: string[][]} | null} trusted no further than its shape */
  function readSurvey(text) {
    try {
      const found = JSON.parse(text);
      const texts = (each) => typeof each === "string" && each.length <= 200;
      const sound = found && found.faultleaf === "survey" && found.asks && typeof found.asks === "object" &&
        Object.values(found.asks).every(texts) && Array.isArray(found.radiators) &&
        found.radiators.every((row) => Array.isArray(row) && row.length === 3 && row.every(texts));
      return sound ? found : null;
    } catch {
      return null;
    }
  }

  function keptSurvey() {
    try {
      return readSurvey(localStorage.getItem(KEPT) || "");
    } catch {
      return null;
    }
  }

  function keepSurvey(record) {
    try {
      localStorage.setItem(KEPT, JSON.stringify(record));
    } catch { /* nothing is kept where the browser keeps nothing */ }
  }

  /** @returns {{value: number, give: number} | null} what stands in one field; raises NotRead */
  function fieldValue(asked, asks) {
    const text = asks[asked.id] || "";
    if (!asked.unit || text.trim() === "") return null;
    if (asked.choices.length > 0) {
      const found = asked.choices.find(([words]) => words === text);
      return found ? { value: worksheets.toSi(found[1], asked.unit), give: 0 } : null;
    }
    return worksheets.readTyped(text, asked.unit, asked.units, asked.least, asked.most, asks[`${asked.id}-give`] || "");
  }

  /** @returns {{value: number, give: number}} EDR of all counted radiators; raises NotRead */
  function rowValue([kind, height, sections]) {
    const whole = worksheets.readTyped(sections, "count", ["count"]).value;
    return worksheets.radiatorRating(kind, worksheets.readTyped(height, "in", ["in", "mm", "cm", "ft", "m"]).value, whole);
  }

  /** @returns {Map<string, {value: number, give: number}>} what a kept survey knows; what cannot be read is left out */
  function knownOf(survey, record) {
    const known = new Map(), counted = [];
    const attempt = (work) => { try { return work(); } catch (error) { if (error instanceof worksheets.NotRead) return null; throw error; } };
    for (const row of record.radiators) {
      const found = row.some((cell) => cell.trim() !== "") && attempt(() => rowValue(row));
      if (found) counted.push(found);
    }
    if (counted.length > 0) known.set(survey.radiation, worksheets.radiation(counted));
    for (const asked of survey.asks) {
      const found = attempt(() => fieldValue(asked, record.asks));
      if (found) known.set(asked.id, found);
    }
    return known;
  }

  /** @returns {Map<string, {value: number, give: number}>} inputs of this worksheet that the kept survey fills */
  function surveyFor(worksheet) {
    const record = keptSurvey(), survey = record && globalThis.faultleafData.worksheets.surveys[record.survey];
    if (!survey) return new Map();
    const known = knownOf(survey, record);
    const pairs = survey.asks.filter(({ id }) => known.has(id)).flatMap(({ id, fills }) => fills.map((fill) => [...fill.split("."), known.get(id)]));
    return new Map(pairs.filter(([sheet]) => sheet === worksheet).map(([, input, measured]) => [input, measured]));
  }

  Object.assign(worksheets, { readSurvey, keptSurvey, keepSurvey, fieldValue, rowValue, knownOf, surveyFor });
})();
