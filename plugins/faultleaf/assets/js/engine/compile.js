/* From the cards' numbers to the problem of one call: the model's rules 2 to 10 (diagnosis/compile.py).
 *
 * Minutes, rows of probabilities and shares come worked out from Python (export/engine.py); what depends on the
 * call is worked out here. The cards were checked when the site was built: needs go in no circle.
 */
(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

  /**
   * @typedef {object} Library the shared data with the faults of the symptoms that were loaded
   * @property {any} constants
   * @property {string[]} ranks lowest first
   * @property {number} handOn minutes
   * @property {Map<string, any>} equipment
   * @property {any[]} tests by id
   * @property {Map<string, any>} testById
   * @property {Map<string, any>} symptoms
   * @property {Map<string, any>} faults by id, in order
   * @property {Set<string>} loaded the symptoms whose faults are at hand
   * @property {{symptoms: Record<string, string>, tests: Record<string, string>, faults: Record<string, string>}} formerly
   * @property {string} title of the site
   * @property {string} fingerprint of the data
   *
   * @typedef {object} Call
   * @property {string[]} symptoms the first is the one it came in for
   * @property {Record<string, string>} [equipment] feature → value, as far as known
   * @property {string[]} [absent] symptoms looked for and not there
   * @property {string[]} [cannot] tests or repairs that cannot be done on this job
   * @property {string[]} [done] repairs that did not cure: they tell of the causes, whoever is at the call now
   * @property {string} [who] the highest rank at hand
   *
   * @typedef {Record<string, string[]>} Choices
   */

  /**
   * @param {any} shared the data of shared.js
   * @param {any[]} parts the data of the symptoms that are asked for
   * @returns {Library} throws EngineError where they come from different builds
   */
  function joinLibrary(shared, parts) {
    for (const part of parts) {
      if (part.version !== shared.version || part.fingerprint !== shared.fingerprint) {
        throw new engine.EngineError("the data of this symptom comes from another build of the site");
      }
    }
    const faults = [shared, ...parts].flatMap((part) => part.faults).sort((a, b) => engine.byId(a.id, b.id));
    const map = (list) => new Map(list.map((each) => [each.id, each]));
    return {
      constants: shared.constants, ranks: shared.ranks, handOn: shared.hand_on, equipment: map(shared.equipment),
      tests: shared.tests, testById: map(shared.tests), symptoms: map(shared.symptoms), faults: map(faults),
      loaded: new Set(parts.map((part) => part.symptom)), formerly: shared.formerly,
      title: shared.title, fingerprint: shared.fingerprint,
    };
  }

  function check(library, call) {
    const refuse = (what) => { throw new engine.EngineError(what); };
    if (!library.ranks.includes(call.who)) refuse(`there is no rank '${call.who}'`);
    if (call.symptoms.length === 0) refuse("a call has at least one symptom");
    for (const id of [...call.symptoms, ...call.absent]) if (!library.symptoms.has(id)) refuse(`there is no symptom '${id}'`);
    for (const id of call.symptoms) if (!library.loaded.has(id)) refuse(`the data of symptom '${id}' are not loaded`);
    const both = call.symptoms.filter((id) => call.absent.includes(id)).sort()[0];
    if (both !== undefined) refuse(`symptom '${both}' is said to be there and not to be there`);
    for (const [feature, value] of call.equipment) {
      if (!library.equipment.has(feature)) refuse(`there is no equipment feature '${feature}'`);
      if (!library.equipment.get(feature).values.includes(value)) refuse(`equipment '${feature}' has no value '${value}'`);
    }
    const steps = new Set(library.tests.map((test) => test.id));
    for (const id of library.equipment.keys()) steps.add(`equipment.${id}`);
    for (const fault of library.faults.values()) for (const repair of fault.repairs) steps.add(repair.id);
    for (const id of call.cannot) if (!steps.has(id)) refuse(`there is no test or repair '${id}'`);
  }

  /** @returns {number} how often the fault shows as the symptom */
  function shows(fault, symptom) {
    return Object.hasOwn(fault.symptoms, symptom.id) ? fault.symptoms[symptom.id] : symptom.otherwise;
  }

  /** @returns {Choices} the equipment on which it exists and shows as the call's first symptom */
  function placeOf(fault, call) {
    const [entry] = call.symptoms;
    return Object.hasOwn(fault.place_as, entry) ? fault.place_as[entry] : fault.found_on;
  }

  /** @returns {number} P(the equipment is such that the card applies) */
  function equipmentShare(library, call, place) {
    return Object.entries(place).reduce((share, [feature, allowed]) => {
      if (call.equipment.has(feature)) return share * Number(allowed.includes(call.equipment.get(feature)));
      const { values, shares } = library.equipment.get(feature);
      const sorted = values.filter((value) => allowed.includes(value)).sort();
      return share * sorted.reduce((sum, value) => sum + shares[values.indexOf(value)], 0);
    }, 1);
  }

  /** The candidates that can exist here and their weights, the unlisted cause's last (rules 3, 4, 9). */
  function prior(library, call) {
    const [entry, ...further] = call.symptoms.map((id) => library.symptoms.get(id));
    const named = [...library.faults.values()].filter((fault) => call.symptoms.some((id) => Object.hasOwn(fault.symptoms, id)));
    const weighed = named.map((fault) => {
      const share = equipmentShare(library, call, placeOf(fault, call));
      return { fault, share, weight: fault.how_common * shows(fault, entry) * share };
    }).filter(({ share }) => share > 0);
    if (entry.unlisted >= 1) throw new engine.EngineError(`symptom '${entry.id}': the unlisted share must be below 1`);
    const faults = weighed.map(({ fault }) => fault);
    let weights = weighed.map(({ weight }) => weight);
    // Where no card can exist on this equipment, whatever it is has no card.
    weights.push((entry.unlisted / (1 - entry.unlisted)) * (weights.reduce((sum, weight) => sum + weight, 0) || 1));
    const times = (chance, symptom) => {
      weights = weights.map((weight, place) => weight * chance(place < faults.length ? shows(faults[place], symptom) : symptom.otherwise));
    };
    for (const symptom of further) times((share) => share, symptom);
    for (const id of call.absent) times((share) => 1 - share, library.symptoms.get(id));
    return { faults, weights };
  }

  /** @returns {boolean} false where the known equipment rules the card out */
  function fitted(call, place) {
    return Object.entries(place).every(
      ([feature, allowed]) => !call.equipment.has(feature) || allowed.includes(call.equipment.get(feature))
    );
  }

  /** @returns {boolean} whether somebody at the call may do it */
  function allows(library, call, rank) {
    return library.ranks.indexOf(rank) <= library.ranks.indexOf(call.who);
  }

  /** @returns {Conditions} the findings a step needs, those about equipment not known yet included */
  function needsOf(call, needs, ...places) {
    const conditions = new Map(Object.entries(needs));
    for (const [feature, allowed] of places.flatMap((place) => Object.entries(place))) {
      const question = `equipment.${feature}`;
      if (call.equipment.has(feature)) continue;
      conditions.set(question, (conditions.get(question) || allowed).filter((value) => allowed.includes(value)));
    }
    return [...conditions];
  }

  /** @returns {string[]} the unknown features that decide whether a candidate can exist or a step can be taken */
  function askedFor(library, call, faults) {
    const places = [
      ...faults.flatMap((fault) => fault.repairs.map((repair) => repair.found_on)),
      ...library.tests.filter((test) => fitted(call, test.found_on)).map((test) => test.found_on),
      ...faults.map((fault) => placeOf(fault, call)),
    ];
    const features = new Set(places.flatMap((place) => Object.keys(place)));
    return [...features].filter((feature) => !call.equipment.has(feature)).sort();
  }

  /** The noiseless question about a feature; its answer is as likely as the systems that remain (rule 4). */
  function question(library, call, faults, feature) {
    const { values, shares } = library.equipment.get(feature), id = `equipment.${feature}`;
    const rows = faults.map((fault, place) => {
      const held = placeOf(fault, call), allowed = Object.hasOwn(held, feature) ? held[feature] : values;
      const row = shares.map((share, value) => (allowed.includes(values[value]) ? share : 0));
      const total = row.reduce((sum, share) => sum + share, 0);
      return [place, row.map((share) => share / total)];
    });
    return {
      id, minutes: library.constants.asking, outcomes: values, otherwise: shares, rows,
      offered: !call.cannot.includes(id), equipment: true,
    };
  }

  function testOf(library, call, faults, card) {
    const rows = faults.map((fault, place) => [place, fault.shows[card.id]]);
    return {
      id: card.id, minutes: card.minutes, outcomes: card.outcomes, otherwise: card.otherwise, who: card.who,
      rows: rows.filter(([place]) => Object.hasOwn(faults[place].shows, card.id)),
      needs: needsOf(call, card.needs, card.found_on), never_when: Object.entries(card.never_when),
      offered: !call.cannot.includes(card.id) && allows(library, call, card.who) && fitted(call, card.found_on),
    };
  }

  /** The repairs that may be done on this job. One is done only where its fault can exist. */
  function repairsOf(library, call, faults) {
    const places = new Map(faults.map((fault, place) => [fault.id, place]));
    // A repair that was done tells of the causes, even where nobody here may do it again.
    const open = (card) => call.done.includes(card.id)
      || (!call.cannot.includes(card.id) && allows(library, call, card.who) && fitted(call, card.found_on));
    return faults.flatMap((fault) => fault.repairs.filter(open).map((card) => ({
      id: card.id, fault: fault.id, minutes: card.minutes, who: card.who,
      fixes: Object.entries(card.fixes).filter(([id]) => places.has(id)).map(([id, chance]) => [places.get(id), chance]),
      needs: needsOf(call, card.needs, placeOf(fault, call), card.found_on),
      never_when: Object.entries(card.never_when), restore: Object.entries(card.restore),
      retake: Object.keys(fault.shows).sort(),
    })));
  }

  function tellsApart(test, same) {
    const rows = [test.otherwise, ...test.rows.map(([, row]) => row)];
    return test.outcomes.some((_, column) => {
      const chances = rows.map((row) => row[column]);
      return Math.max(...chances) - Math.min(...chances) > same;
    });
  }

  /** The tests, those not offered that tell no causes apart and that nothing waits for. */
  function offerUseful(tests, repairs, first, same) {
    const byId = new Map(tests.map((test) => [test.id, test]));
    const wanted = [...first, ...repairs.flatMap((repair) => repair.needs.map(([id]) => id))];
    wanted.push(...tests.filter((test) => test.offered && tellsApart(test, same)).map((test) => test.id));
    const kept = new Set();
    while (wanted.length > 0) {
      const id = wanted.pop();
      if (kept.has(id) || !byId.get(id).offered) continue;
      kept.add(id);
      wanted.push(...(byId.get(id).needs || []).map(([need]) => need));
    }
    return tests.map((test) => ({ ...test, offered: kept.has(test.id) }));
  }

  /**
   * @param {Library} library
   * @param {Call} asked
   * @returns {Problem} of a call with these symptoms; throws EngineError for a name that the library does not have
   */
  function compileProblem(library, asked) {
    const call = { absent: [], cannot: [], done: [], who: "licensed", ...asked, equipment: new Map(Object.entries(asked.equipment || {})) };
    check(library, call);
    const { faults, weights } = prior(library, call);
    const repairs = repairsOf(library, call, faults);
    const present = call.symptoms.map((id) => library.symptoms.get(id));
    const first = [...new Set(present.flatMap((symptom) => symptom.first))];
    const tests = offerUseful([
      ...askedFor(library, call, faults).map((feature) => question(library, call, faults, feature)),
      ...library.tests.map((card) => testOf(library, call, faults, card)),
    ], repairs, first, library.constants.same);
    const offered = new Set(tests.filter((test) => test.offered).map((test) => test.id));
    const found = new Map(library.tests.map((card) => [card.id, card.found_on]));
    return engine.makeProblem({
      faults: [...faults.map((fault) => fault.id), engine.UNLISTED], weights, tests, repairs,
      first: first.filter((id) => offered.has(id)), hand_on: present[0].hand_on ?? library.handOn,
      emergency: present.some((symptom) => symptom.emergency),
      refused: first.filter((id) => !offered.has(id) && fitted(call, found.get(id))),
    }, library.constants);
  }

  Object.assign(engine, { joinLibrary, compileProblem });
})();
