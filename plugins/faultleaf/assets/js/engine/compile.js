/* From the cards' numbers to the problem of one call: what the card fields mean (diagnosis/model/compile.py).
 *
 * Minutes, words and shares come worked out from Python (export/engine.py); what depends on the
 * call is worked out here. The cards were checked when the site was built: needs go in no circle.
 */

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
 * @property {string[]} [done] repairs that did not cure: they tell of the causes, whatever can be done here now
 * @property {string} [who] the highest rank at hand
 *
 * @typedef {Record<string, string[]>} Choices
 *
 * @typedef {object} Row one way in which a fault shows
 * @property {any} fault
 * @property {string} id
 * @property {number} share of the fault's cases
 * @property {Shows} shows
 */

(function () {
  "use strict";
  const engine = globalThis.faultleaf.engine;

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
    const candidate = (fault) => call.symptoms.some((id) => Object.hasOwn(fault.symptoms, id));
    const named = [...library.faults.values()].filter(candidate);
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
      const rates = [...faults.map((fault) => shows(fault, symptom)), symptom.otherwise];
      weights = weights.map((weight, place) => weight * chance(rates[place]));
    };
    for (const symptom of further) times((share) => share, symptom);
    for (const id of call.absent) times((share) => 1 - share, library.symptoms.get(id));
    return { faults, weights };
  }

  /** @returns {Row[]} */
  function rowsOf(fault) {
    if (fault.modes.length === 0) return [{ fault, id: fault.id, share: 1, shows: fault.shows }];
    return fault.modes.map(({ id, share, shows: own }) => ({ fault, id, share, shows: { ...fault.shows, ...own } }));
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
  function askedFor(library, call, faults, repairs) {
    const places = [
      ...faults.flatMap((fault) => fault.repairs.map((repair) => repair.found_on)),
      ...library.tests.filter((test) => fitted(call, test.found_on)).map((test) => test.found_on),
      ...faults.map((fault) => placeOf(fault, call)),
    ];
    const features = new Set(places.flatMap((place) => Object.keys(place)));
    // A mender's fault need not be a candidate here.
    for (const [id] of repairs.flatMap((repair) => repair.needs)) if (id.includes(".")) features.add(id.split(".")[1]);
    return [...features].filter((feature) => !call.equipment.has(feature)).sort();
  }

  /** The noiseless question about a feature; its answer is as likely as the systems that remain (rule 4). */
  function question(library, call, rows, feature) {
    const { values, shares } = library.equipment.get(feature), id = `equipment.${feature}`;
    const told = rows.map(({ fault }, place) => {
      const held = placeOf(fault, call), allowed = Object.hasOwn(held, feature) ? held[feature] : values;
      const row = shares.map((share, value) => (allowed.includes(values[value]) ? share : 0));
      const total = row.reduce((sum, share) => sum + share, 0);
      return [place, row.map((share) => share / total)];
    });
    return {
      id, minutes: library.constants.asking, outcomes: values, otherwise: shares, rows: told, way: "ask",
      offered: !call.cannot.includes(id), equipment: true,
    };
  }

  function testOf(library, call, rows, card) {
    const [entry] = call.symptoms, otherwise = engine.otherwiseRates(card, engine.systemsOf(library, call, {}), entry);
    const depends = card.otherwise_on.length > 0;
    const told = rows.map(({ fault, shows: shown }, place) => {
      const named = Object.hasOwn(shown, card.id), systems = depends && engine.systemsOf(library, call, placeOf(fault, call));
      const plain = depends ? engine.otherwiseRates(card, systems, entry) : otherwise;
      return [place, named ? engine.filled(card.outcomes, shown[card.id], plain) : plain];
    });
    return {
      id: card.id, minutes: card.minutes, outcomes: card.outcomes, otherwise, who: card.who, way: card.way,
      rows: told.filter(([, row]) => row !== otherwise),
      needs: needsOf(call, card.needs, card.found_on), never_when: Object.entries(card.never_when),
      offered: offers(library, call, card),
      renews: renewing(card), perishes_after: perishing(library, card), together: card.together,
      minutes_together: card.minutes_together, hands_on: card.hands_on,
    };
  }

  /** @returns {boolean} whether the plan may ask for it: not refused, within the rank, fitted, and meant for such calls */
  function offers(library, call, card) {
    const asked = card.only_at.length === 0 || card.only_at.some((symptom) => call.symptoms.includes(symptom));
    return asked && !call.cannot.includes(card.id) && allows(library, call, card.who) && fitted(call, card.found_on);
  }

  /** @returns {[string, [string, string][]][]} own outcome → what it sets anew; cards name the other test first */
  function renewing(card) {
    return card.outcomes.map((own) => [own, Object.entries(card.renews)
      .filter(([, found]) => Object.hasOwn(found, own)).map(([test, found]) => [test, found[own]])])
      .filter(([, found]) => found.length > 0);
  }

  /** @returns {string[]} the steps that do something after which this test is worth nothing (rule 19) */
  function perishing(library, card) {
    const spoils = ({ id, does }) => id !== card.id && does.some((act) => card.perishes.includes(act));
    const repairs = [...library.faults.values()].flatMap((fault) => fault.repairs);
    return [...library.tests, ...repairs].filter(spoils).map(({ id }) => id);
  }

  function repairOf(library, call, rows, fault, card, needs) {
    const fixes = rows.map((row, place) => [place, card.fixes[row.fault.id]]);
    return {
      id: card.id, fault: fault.id, minutes: card.minutes, failed_minutes: card.failed_minutes, who: card.who,
      fixes: fixes.filter(([place]) => Object.hasOwn(card.fixes, rows[place].fault.id)), needs,
      never_when: Object.entries(card.never_when), restore: Object.entries(card.restore),
      by_other: card.quote || !allows(library, call, card.who), hands_on: card.hands_on,
    };
  }

  /** The repairs of this job. One is done only where its fault can exist; by others above the rank or as a job to quote. */
  function repairsOf(library, call, faults, rows) {
    const open = (card) => call.done.includes(card.id) || (!call.cannot.includes(card.id) && fitted(call, card.found_on));
    return faults.flatMap((fault) => fault.repairs.filter(open).map((card) => repairOf(
      library, call, rows, fault, card, needsOf(call, card.needs, placeOf(fault, call), card.found_on)
    )));
  }

  /** Repairs of faults that are no candidates here, which put the instrument of a `first` test right (rule 17). */
  function mendersOf(library, call, faults, rows, first) {
    const others = [...library.faults.values()].filter((fault) => !faults.includes(fault));
    return others.flatMap((fault) => fault.repairs.flatMap((card) => {
      const wrong = Object.entries(card.mends).filter(([test]) => first.includes(test)), done = call.done.includes(card.id);
      const open = wrong.length > 0 && !call.cannot.includes(card.id) && fitted(call, fault.found_on) && fitted(call, card.found_on);
      const needs = needsOf(call, { ...card.needs, ...Object.fromEntries(wrong) }, fault.found_on, card.found_on);
      return open || done ? [{ ...repairOf(library, call, rows, fault, card, needs), fixes: [] }] : [];
    }));
  }

  /** @returns {Stop[]} every outcome that stops a call, whichever symptom it is for (rule 16) */
  function stopsOf(library) {
    const repairs = (id) => (library.faults.has(id) ? library.faults.get(id).repairs.map((repair) => repair.id) : []);
    return library.tests.flatMap((card) => Object.entries(card.stops).map(([outcome, { caution, allows: allowed, call }]) => ({
      test: card.id, outcome, caution, call, allows: allowed.flatMap((id) => [id, ...repairs(id)]),
    })));
  }

  /**
   * An instrument that must be mended before anything else is done (rule 17).
   * @returns {Stop[]} without a caution; they allow the repairs that put it right, and the tests that tell what is wrong
   */
  function mendedFirst(library, repairs, first) {
    const wrong = new Map();
    for (const { mends } of [...library.faults.values()].flatMap((fault) => fault.repairs)) {
      for (const [test, outcomes] of Object.entries(mends).filter(([id]) => first.includes(id))) {
        wrong.set(test, [...new Set([...(wrong.get(test) || []), ...outcomes])].sort());
      }
    }
    return [...wrong].sort(([a], [b]) => engine.byId(a, b)).flatMap(([test, bad]) => {
      const mending = repairs.filter(({ restore }) => restore.some(([id]) => id === test)).map(({ id }) => id);
      const needed = (card) => (Object.hasOwn(card.needs, test) ? card.needs[test] : []);
      const telling = (outcome) => library.tests
        .filter((card) => needed(card).includes(outcome) && needed(card).every((seen) => bad.includes(seen)));
      return mending.length === 0 ? [] : bad.map((outcome) => (
        { test, outcome, allows: [...mending, ...telling(outcome).map(({ id }) => id)], caution: "", call: "" }
      ));
    });
  }

  /**
   * @returns {number[]} by row what each fault still costs somebody when the call is handed on (rule 6): the cheapest
   *   expected minutes of a repair that removes it; the weighted mean for a fault without one and the unlisted
   */
  function owedOf(faults, rows, weights) {
    const known = new Map(faults.map((fault) => [fault.id, Infinity]));
    for (const { minutes, failed_minutes: failed, fixes } of faults.flatMap((fault) => fault.repairs)) {
      for (const [id, chance] of Object.entries(fixes)) {
        if (!known.has(id) || !(chance > 0)) continue;
        known.set(id, Math.min(known.get(id), minutes + ((1 - chance) / chance) * failed));
      }
    }
    let total = 0, sum = 0;
    faults.forEach(({ id }, place) => {
      if (!Number.isFinite(known.get(id))) return;
      total += weights[place];
      sum += weights[place] * known.get(id);
    });
    const mean = total > 0 ? sum / total : 0, owed = (id) => (Number.isFinite(known.get(id)) ? known.get(id) : mean);
    return [...rows.map(({ fault }) => owed(fault.id)), mean];
  }

  function tellsApart(test, same) {
    const rows = [test.otherwise, ...test.rows.map(([, row]) => row)];
    return test.outcomes.some((_, column) => {
      const chances = rows.map((row) => row[column]);
      return Math.max(...chances) - Math.min(...chances) > same;
    });
  }

  /** The tests, those not offered that tell no causes apart, that nothing waits for and that lift no stop. */
  function offerUseful(tests, repairs, first, stops, same) {
    const byId = new Map(tests.map((test) => [test.id, test])), stopping = new Set(stops.map((stop) => stop.test));
    const lifts = (test) => (test.renews || []).some(([, found]) => found.some(([other]) => stopping.has(other)));
    const useful = (test) => lifts(test) || (test.offered && tellsApart(test, same));
    const wanted = [...first, ...repairs.flatMap((repair) => repair.needs.map(([id]) => id))];
    wanted.push(...tests.filter(useful).map((test) => test.id));
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
    const equipment = new Map(Object.entries(asked.equipment || {}));
    const call = { absent: [], cannot: [], done: [], who: "licensed", ...asked, equipment };
    check(library, call);
    const { faults, weights } = prior(library, call), rows = faults.flatMap(rowsOf);
    const present = call.symptoms.map((id) => library.symptoms.get(id));
    const first = [...new Set(present.flatMap((symptom) => symptom.first))];
    const repairs = [...repairsOf(library, call, faults, rows), ...mendersOf(library, call, faults, rows, first)];
    const stops = [...stopsOf(library), ...mendedFirst(library, repairs, first)];
    const tests = offerUseful([
      ...askedFor(library, call, faults, repairs).map((feature) => question(library, call, rows, feature)),
      ...library.tests.map((card) => testOf(library, call, rows, card)),
    ], repairs, first, stops, library.constants.same);
    const offered = new Set(tests.filter((test) => test.offered).map((test) => test.id));
    const found = new Map(library.tests.map((card) => [card.id, card.found_on]));
    const weight = new Map(faults.map((fault, place) => [fault, weights[place]]));
    return engine.makeProblem({
      faults: [...rows.map((row) => row.id), engine.UNLISTED], tests, repairs, stops,
      causes: [...rows.map((row) => row.fault.id), engine.UNLISTED], owed: owedOf(faults, rows, weights),
      weights: [...rows.map((row) => (weight.get(row.fault) ?? 0) * row.share), weights[weights.length - 1]],
      first: first.filter((id) => offered.has(id)), hand_on: present[0].hand_on ?? library.handOn,
      emergency: present.some((symptom) => symptom.emergency),
      refused: first.filter((id) => !offered.has(id) && fitted(call, found.get(id))),
    }, library.constants);
  }

  Object.assign(engine, { joinLibrary, compileProblem });
})();
