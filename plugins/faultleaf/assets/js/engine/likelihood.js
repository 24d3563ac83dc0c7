/* P(outcome | row): what a card's numbers mean on the equipment at hand (cards/likelihood.py). */

/**
 * @typedef {Record<string, Record<string, number>>} Systems feature → value → share among the systems in question
 * @typedef {Record<string, Record<string, number>>} Shows test → outcome → P(outcome), those that are named alone
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /** @returns {number[]} what the test shows when the fault lies elsewhere, mixed by share over the systems */
  function otherwiseRates(card, systems, symptom) {
    if (Object.hasOwn(card.otherwise_at, symptom)) return card.otherwise_at[symptom];
    const features = [...new Set(card.otherwise_on.map(([feature]) => feature))];
    const mixed = card.outcomes.map(() => 0);
    for (const { values, share } of products(features, systems)) {
      const said = card.otherwise_on.find(([feature, value]) => values.get(feature) === value);
      const rates = said ? said[2] : card.otherwise;
      rates.forEach((chance, column) => { mixed[column] += share * chance; });
    }
    return mixed;
  }

  /** @returns {{values: Map<string, string>, share: number}[]} every system, the last feature running fastest */
  function products(features, systems) {
    return features.reduce(
      (before, feature) => before.flatMap(({ values, share }) => Object.entries(systems[feature]).map(
        ([value, part]) => ({ values: new Map([...values, [feature, value]]), share: share * part })
      )),
      [{ values: new Map(), share: 1 }]
    );
  }

  /** @returns {number[]} the named outcomes as named, the remainder shared in proportion to `otherwise` */
  function filled(outcomes, named, otherwise) {
    const unnamed = outcomes.map((outcome, column) => (Object.hasOwn(named, outcome) ? null : otherwise[column]));
    const add = (values) => values.reduce((sum, value) => sum + value, 0);
    const rest = Math.max(0, 1 - add(Object.values(named))), free = unnamed.filter((weight) => weight !== null);
    const total = add(free);
    return outcomes.map((outcome, column) => {
      if (unnamed[column] === null) return named[outcome];
      return rest * (total ? unnamed[column] / total : 1 / free.length);
    });
  }

  /** @returns {Systems} every feature's values with their shares where this equipment is: known ones alone */
  function systemsOf(library, call, place) {
    return Object.fromEntries([...library.equipment.values()].map(({ id, values, shares }) => {
      const known = call.equipment.get(id), allowed = known === undefined ? place[id] || values : [known];
      const held = values.map((value, index) => [value, shares[index]]).filter(([value]) => allowed.includes(value));
      // One alone is known for certain, though nobody may have counted such systems.
      if (held.length === 1) held[0][1] = 1;
      const total = held.reduce((sum, [, share]) => sum + share, 0);
      return [id, Object.fromEntries(held.map(([value, share]) => [value, total > 0 ? share / total : share]))];
    }));
  }

  Object.assign(engine, { otherwiseRates, filled, systemsOf });
})();
