/* Hears a caller's sentence: which symptom it tells, what else it tells of equipment and findings, and any danger.
 *
 * A symptom, a way a thing is fitted and an outcome of a test each have sayings. A sentence fits a saying as far as it
 * holds its words, in any order and in whatever words mean the same; words that few cards say weigh more (Robertson's
 * inverse document frequency, the cards' sayings being the documents). A word that is denied in one and said in the
 * other speaks against. A sentence that fits no saying may lean to a symptom all the same: by how much oftener that
 * symptom's sayings have its words than all the others do (naive Bayes, as a sum of log ratios). Nothing here touches
 * `document`.
 */

/**
 * @typedef {{words: Told[], weight: number}} Saying
 * @typedef {{test: string, outcome: string, title: string, said: string[], at: string[], danger: any}} Finding
 * @typedef {{feature: string, value: string, title: string, said: string[]}} Fitted
 * @typedef {{of: any, sayings: Saying[]}} Sayer a symptom's entry, a Fitted or a Finding, and what is said of it
 * @typedef {{of: any, rates: Map<string, number>, others: Map<string, number>}} Leaning how often each word stands in the symptom's sayings, and in all others
 * @typedef {{tongue: Tongue, weights: Map<string, number>, symptoms: Sayer[], chips: Sayer[], dangers: Sayer[], leanings: Leaning[], named: Map<string, SearchEntry[]>}} Ear
 * @typedef {object} Heard
 * @property {Finding[]} dangers come before everything
 * @property {SearchEntry[]} asked cards that the sentence names, and nothing else
 * @property {SearchEntry[]} symptoms likeliest first
 * @property {(Fitted | Finding)[]} chips what may be entered into a call, once confirmed
 * @property {boolean} elsewhere whether it is about another trade
 * @property {boolean} nothing whether neither danger, card nor symptom is there
 * @property {SearchEntry[]} nearest where nothing fits, the symptoms that anything speaks for, most first
 */

(function () {
  "use strict";

  const { learn, hearWords } = globalThis.faultleaf.words;

  /** A symptom is proposed where at least this share of one of its sayings is heard. */
  const LEAST_SHARE = 0.8;
  /** A symptom that scores less than this share of the best one is not proposed beside it. */
  const BESIDE_BEST = 0.4;
  /** What a second saying that fits adds to the best one's score. */
  const SECOND = 0.2;
  /** What is entered into a call must have been said in full, and in one breath: so many other words may stand between. */
  const BETWEEN = 3;
  /** A danger may be told in more words. */
  const BETWEEN_OF_DANGER = 5;
  /** A sentence leans to a symptom from this sum of log ratios on (beside one that fits, from less on), if so many words
   * speak for it ... */
  const LEAST_LEANING = 4;
  const LEAST_BESIDE = 1.5;
  const LEAST_FOR = 2;
  const SPEAKS_FOR = 0.3;
  /** ... and one of them is the symptom's own talk: it stands in this share of its sayings. */
  const OWN_TALK = 0.08;
  /** One word is never all the evidence; a word of other sayings alone speaks against, and so does one of none. */
  const MOST_OF_ONE = 2.5;
  const AGAINST = -0.7;
  const STRANGE = -0.5;
  const LONGEST_TEXT = 500;
  /** Least weight of a word: one that every card says still has to be said. */
  const LEAST_WEIGHT = 1;

  /** @param {Told} told @returns {string} */
  const keyOf = ({ word, no }) => (no ? `-${word}` : word);
  const contrary = (/** @type {Told} */ told) => keyOf({ word: told.word, no: !told.no });

  /** @param {Told[]} told @returns {Told[]} each once */
  function once(told) {
    return [...new Map(told.map((each) => [keyOf(each), each])).values()];
  }

  /** @param {{words: Told[]}[][]} sayers @returns {Map<string, number>} how telling each word is */
  function weightsOf(sayers) {
    const count = new Map();
    for (const sayings of sayers) for (const word of new Set(sayings.flatMap((each) => each.words.map((told) => told.word)))) count.set(word, (count.get(word) || 0) + 1);
    const weigh = (/** @type {number} */ n) => LEAST_WEIGHT + Math.log(1 + (sayers.length - n + 0.5) / (n + 0.5));
    return new Map([...count].map(([word, n]) => [word, weigh(n)]));
  }

  /** @param {Ear["weights"]} weights @param {Told[]} words @returns {number} */
  function weigh(weights, words) {
    return words.reduce((sum, { word }) => sum + (weights.get(word) || 0), 0);
  }

  /** @param {any} data of search-data.js @returns {Ear} */
  function tune({ entries, hearing }) {
    const { notions, equipment, findings } = hearing, ids = Object.keys(notions);
    const things = entries.filter(({ kind }) => kind === "component" || kind === "term");
    const tongue = learn(
      [...ids.map((id) => [id, notions[id].said]), ...things.map(({ id, title, also }) => [id, [title, ...also]])],
      ids.filter((id) => notions[id].elsewhere),
      [...entries, ...equipment, ...findings].flatMap(({ title, said, also, shows, text }) => [title, said, also, shows, text].flat().filter(Boolean)),
    );
    const sayer = (of) => ({ of, sayings: [of.title, ...of.said].map((text) => ({ words: once(hearWords(tongue, text).flat()), weight: 0 })).filter(({ words }) => words.length > 0) });
    const symptoms = entries.filter(({ kind }) => kind === "symptom").map(sayer);
    const chips = [...equipment, ...findings.filter(({ danger }) => !danger)].map(sayer);
    const dangers = findings.filter(({ danger }) => danger).map(sayer);
    const weights = weightsOf([...symptoms, ...chips, ...dangers].map(({ sayings }) => sayings));
    for (const { sayings } of [...symptoms, ...chips, ...dangers]) for (const saying of sayings) saying.weight = weigh(weights, saying.words);
    const leanings = symptoms.map((own) => leaningOf(own, [...symptoms, ...chips, ...dangers].filter((other) => other !== own)));
    return { tongue, weights, symptoms, chips, dangers, leanings, named: namesOf(tongue, entries) };
  }

  /** @param {Saying[]} sayings @returns {Map<string, number>} the share of them that has each word */
  function ratesOf(sayings) {
    const count = new Map();
    for (const { words } of sayings) for (const key of words.map(keyOf)) count.set(key, (count.get(key) || 0) + 1);
    return new Map([...count].map(([key, n]) => [key, n / sayings.length]));
  }

  /** @param {Sayer} own @param {Sayer[]} others @returns {Leaning} */
  function leaningOf(own, others) {
    return { of: own.of, rates: ratesOf(own.sayings), others: ratesOf(others.flatMap(({ sayings }) => sayings)) };
  }

  /** @param {Leaning} leaning @param {Set<string>} heard @param {number} least rate that is told from none @returns {number} 0 where it does not lean there */
  function lean({ rates, others }, heard, least) {
    const ratio = (key) => Math.log((rates.get(key) || 0) / ((others.get(key) || 0) + least));
    const each = [...heard].map((key) => (rates.has(key) ? Math.max(-MOST_OF_ONE, Math.min(MOST_OF_ONE, ratio(key))) : others.has(key) ? AGAINST : STRANGE));
    const sum = each.reduce((all, one) => all + one, 0), speak = each.filter((one) => one > SPEAKS_FOR).length;
    const ownTalk = [...heard].some((key) => (rates.get(key) || 0) >= OWN_TALK);
    return speak >= LEAST_FOR && ownTalk ? sum : 0;
  }

  /** @param {Ear} ear @param {Set<string>} heard @returns {{of: SearchEntry, sum: number}[]} the symptoms that the sentence leans to at all, most first */
  function leaned({ leanings, weights }, heard) {
    const least = 0.5 / weights.size;
    const found = leanings.map((leaning) => ({ of: leaning.of, sum: lean(leaning, heard, least) })).filter(({ sum }) => sum > 0);
    return found.sort((a, b) => b.sum - a.sum);
  }

  /** @param {Ear} ear @param {Told[]} told @returns {boolean} whether it denies what some symptom tells: then no leaning counts */
  function denies({ leanings }, told) {
    return told.some((each) => each.no && leanings.some(({ rates }) => rates.has(each.word)));
  }

  /** @param {Told[]} told @returns {string} the same for the same words in any order */
  function gist(told) {
    return [...new Set(told.map(keyOf))].sort().join(" ");
  }

  /** @param {Tongue} tongue @param {SearchEntry[]} entries @returns {Map<string, SearchEntry[]>} by the gist of a name, the cards that have it, in the entries' order */
  function namesOf(tongue, entries) {
    const named = new Map();
    for (const entry of entries.filter(({ kind }) => kind !== "symptom" && kind !== "chart"))
      for (const name of new Set([entry.title, ...entry.also].map((text) => gist(hearWords(tongue, text).flat()))))
        if (name) named.set(name, [...(named.get(name) || []), entry]);
    return named;
  }

  /** @param {Ear} ear @param {Saying} saying @param {Set<string>} heard @returns {number} 0 to 1: the share of the saying that was said, less what was denied */
  function share({ weights }, saying, heard) {
    const said = saying.words.filter((told) => heard.has(keyOf(told)));
    const denied = saying.words.filter((told) => !heard.has(keyOf(told)) && heard.has(contrary(told)));
    return Math.max(0, weigh(weights, said) - weigh(weights, denied)) / saying.weight;
  }

  /** @param {Ear} ear @param {Sayer} sayer @param {Set<string>} heard @returns {number} */
  function score(ear, { sayings }, heard) {
    const shares = sayings.map((saying) => ({ saying, part: share(ear, saying, heard) })).filter(({ part }) => part >= LEAST_SHARE);
    const [best = 0, second = 0] = shares.map(({ saying, part }) => saying.weight * part ** 3).sort((a, b) => b - a);
    return best + SECOND * second;
  }

  /** @param {Saying} saying @param {string[]} keys of the sentence in its order @returns {boolean} whether it was said in full within one breath */
  function inOneBreath(saying, keys, between = BETWEEN) {
    const wanted = saying.words.map(keyOf), span = wanted.length + between;
    return keys.some((_, from) => wanted.every((key) => keys.slice(from, from + span).includes(key)));
  }

  /** @param {Ear} ear @param {Saying} saying @param {string[]} keys @returns {boolean} whether it was said with the thing left out: "it's dry!" */
  function thingLeftOut({ weights }, { words }, keys) {
    if (keys.length !== 1 || words.length !== 2) return false;
    const [one, other] = words.map(({ word }) => weights.get(word) || 0);
    return keyOf(words[0]) === keys[0] ? one > other : keyOf(words[1]) === keys[0] && other > one;
  }

  /** @param {Ear} ear @param {string[]} keys @param {boolean} alone no symptom fits @returns {Finding[]} the dangers of which something was said */
  function dangersIn(ear, keys, alone) {
    const told = (saying) => inOneBreath(saying, keys, BETWEEN_OF_DANGER) || (alone && thingLeftOut(ear, saying, keys));
    return ear.dangers.filter(({ sayings }) => sayings.some(told)).map(({ of }) => of);
  }

  /** @param {Ear} ear @param {Set<string>} heard @returns {SearchEntry[]} the symptoms with a saying that fits, best first */
  function fitting(ear, heard) {
    const scored = ear.symptoms.map((sayer) => ({ of: sayer.of, score: score(ear, sayer, heard) })).filter((each) => each.score > 0);
    const best = Math.max(0, ...scored.map((each) => each.score));
    return scored.filter((each) => each.score >= BESIDE_BEST * best).sort((a, b) => b.score - a.score).map(({ of }) => of);
  }

  /** @param {Ear} ear @param {string[]} keys @param {SearchEntry | undefined} first symptom @returns {(Fitted | Finding)[]} of ways of one feature, or of one test, the one that more was said of */
  function chipsIn({ chips, symptoms: { length: symptoms } }, keys, first) {
    const here = ({ of }) => !of.at || (first ? of.at.includes(first.id) : of.at.length === symptoms);
    const found = chips.filter(here).map(({ of, sayings }) => ({ of, weight: Math.max(0, ...sayings.filter((saying) => inOneBreath(saying, keys)).map(({ weight }) => weight)) }))
      .filter(({ weight }) => weight > 0).sort((a, b) => b.weight - a.weight);
    return [...new Map([...found].reverse().map(({ of }) => [of.feature || of.test, of])).values()].reverse();
  }

  /** @param {Ear} ear @param {string[]} keys @returns {boolean} whether a word of another trade was said, and not within a saying of ours ("like a pan on the stove") */
  function isElsewhere({ symptoms, tongue }, keys) {
    const foreign = (key) => tongue.elsewhere.has(key);
    const ours = (saying) => saying.words.map(keyOf).some(foreign) && inOneBreath(saying, keys);
    return keys.some(foreign) && !symptoms.some(({ sayings }) => sayings.some(ours));
  }

  /** @param {Ear} ear @param {string} text what somebody typed or said @returns {Heard} */
  function listen(ear, text) {
    const told = hearWords(ear.tongue, text.slice(0, LONGEST_TEXT), true).flat();
    const keys = told.map(keyOf), heard = new Set(keys);
    const elsewhere = isElsewhere(ear, keys);
    const fit = elsewhere ? [] : fitting(ear, heard), dangers = dangersIn(ear, keys, fit.length === 0);
    const leanings = elsewhere ? [] : leaned(ear, heard), from = fit.length + dangers.length > 0 ? LEAST_BESIDE : LEAST_LEANING;
    const leant = denies(ear, told) ? [] : leanings.filter(({ sum }) => sum >= from).map(({ of }) => of);
    const symptoms = [...new Set([...fit, ...leant])];
    const chips = elsewhere ? [] : chipsIn(ear, keys, symptoms[0]);
    // A symptom comes before whatever has the same words, but for the part that is asked for.
    const asked = (ear.named.get(gist(told)) || []).filter(({ kind }) => symptoms.length === 0 || kind === "component" || kind === "term");
    const nothing = dangers.length + asked.length + symptoms.length === 0;
    return { dangers, asked, symptoms, chips, elsewhere, nothing, nearest: nothing ? leanings.map(({ of }) => of) : [] };
  }

  globalThis.faultleaf.hearing = Object.freeze({ tune, listen });
})();
