/* What a survey says: how much radiation was counted, and which results of the worksheets it fills do not fit. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;
  const data = () => globalThis.faultleafData.worksheets;

  const RATED_TO = 0.05; // share by which a printed rating may be off (judgement)
  const NEAR_HEIGHT = 1.5; // in by which a measured height may differ from a printed one

  /** @returns {{value: number, give: number}} EDR of one radiator; raises NotRead */
  function radiatorRating(kind, height, sections) {
    const rating = data().radiators.find(([id]) => id === kind);
    if (!rating) throw new worksheets.NotRead("choose its kind");
    const inches = worksheets.fromSi(height, "in");
    const [near, each] = rating[2].reduce((best, row) => (Math.abs(row[0] - inches) < Math.abs(best[0] - inches) ? row : best));
    if (Math.abs(near - inches) > NEAR_HEIGHT) {
      throw new worksheets.NotRead(`${rating[1].toLowerCase()}: the printed heights are ${rating[2].map(([at]) => at).join(", ")} in`);
    }
    if (!(Number.isInteger(sections) && sections > 0 && sections < 200)) throw new worksheets.NotRead("count whole sections");
    return { value: each * sections, give: each * sections * RATED_TO };
  }

  /** Ratings are off together, so their errors add up. */
  function radiation(counted) {
    return counted.reduce((sum, each) => ({ value: sum.value + each.value, give: sum.give + each.give }), { value: 0, give: 0 });
  }

  /** @param {any[]} tree @returns {string[]} */
  function namesIn([kind, one, ...rest]) {
    if (kind === "name") return [one];
    return (kind === "call" ? rest : [one, ...rest]).flatMap((each) => (Array.isArray(each) ? namesIn(each) : []));
  }

  /** @returns {Set<string>} the inputs and results that a result rests on */
  function restsOn(sheet, id) {
    const found = new Set(), open = [id];
    while (open.length > 0) {
      const result = sheet.results.find((each) => each.id === open[open.length - 1]);
      open.pop();
      for (const name of result ? namesIn(result.tree) : []) {
        if (!found.has(name)) { found.add(name); open.push(name); }
      }
    }
    return found;
  }

  /**
   * What a survey puts into a worksheet for one result, and what stands there from its first values.
   * @param {Map<string, {value: number, give: number}>} known what is filled in
   */
  function filled(survey, id, wanted, known) {
    const given = new Map(), assumed = [], missing = [], sheet = data().sheets[id], needed = restsOn(sheet, wanted);
    for (const input of sheet.inputs.filter((each) => needed.has(each.id))) {
      const asked = survey.asks.find(({ fills }) => fills.includes(`${id}.${input.id}`));
      if (asked && known.has(asked.id)) given.set(input.id, known.get(asked.id));
      else if (asked) missing.push(asked.title);
      else if (input.choices.length > 0) {
        const [, number] = input.choices.find(([words]) => words === input.usual) || input.choices[0];
        given.set(input.id, { value: worksheets.toSi(number, input.unit), give: 0 });
      } else if (input.usual !== null) {
        given.set(input.id, worksheets.readTyped(input.usual, input.unit, input.units, input.least, input.most));
        assumed.push(`${input.title} ${input.usual} ${data().units[input.unit].label}`.trim());
      }
    }
    return { given, assumed, missing };
  }

  /**
   * @typedef {{id: string, title: string, verdict: "fits" | "off" | "perhaps" | "unknown", value: number | null,
   *   give: number | null, unit: string, digits: number, missing: string[], assumed: string[], reason: string, check: any}} Match
   * @returns {Match[]}
   */
  function matches(survey, known) {
    return survey.checks.map((check) => {
      const sheet = data().sheets[check.worksheet], result = sheet.results.find(({ id }) => id === check.result);
      const { given, assumed, missing } = filled(survey, check.worksheet, check.result, known);
      const worked = worksheets.work(sheet, given).get(check.result);
      const found = { id: check.id, title: check.title, unit: result.unit, digits: result.digits, missing, assumed, check };
      if (worked.value === null) return { ...found, verdict: "unknown", value: null, give: null, reason: worked.reason };
      const { factor } = worksheets.unit(result.unit), value = worksheets.fromSi(worked.value, result.unit);
      const give = worked.give === null ? null : worked.give / factor, [low, high] = check.fits;
      const inside = (at) => (low === null || at >= low) && (high === null || at < high);
      const ends = [value - (give || 0), value + (give || 0)].map(inside), sure = give !== null && ends[0] === ends[1] && ends[0] === inside(value);
      return { ...found, verdict: !sure ? "perhaps" : inside(value) ? "fits" : "off", value, give, reason: "" };
    });
  }

  Object.assign(worksheets, { radiatorRating, radiation, matches });
})();
