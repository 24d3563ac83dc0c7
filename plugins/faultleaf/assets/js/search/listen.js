/* Hears a caller's sentence: which symptom it tells, what else it tells of equipment and findings, and any danger.
 *
 * A symptom, a way a thing is fitted and an outcome of a test each have sayings. A sentence fits a saying as far as it
 * holds its words, in any order and in whatever words mean the same; words that few cards say weigh more (Robertson's
 * inverse document frequency, the cards' sayings being the documents). A word that is denied in one and said in the
 * other speaks against. Nothing here touches `document`.
 */

/**
 * @typedef {{words: Told[], weight: number}} Saying
 * @typedef {{test: string, outcome: string, title: string, said: string[], at: string[], danger: any}} Finding
 * @typedef {{feature: string, value: string, title: string, said: string[]}} Fitted
 * @typedef {{of: any, sayings: Saying[]}} Sayer a symptom's entry, a Fitted or a Finding, and what is said of it
 * @typedef {{tongue: Tongue, weights: Map<string, number>, symptoms: Sayer[], chips: Sayer[], dangers: Sayer[], named: Map<string, SearchEntry[]>}} Ear
 * @typedef {object} Heard
 * @property {Finding[]} dangers come before everything
 * @property {SearchEntry[]} asked cards that the sentence names, and nothing else
 * @property {SearchEntry[]} symptoms likeliest first
 * @property {(Fitted | Finding)[]} chips what may be entered into a call, once confirmed
 * @property {boolean} elsewhere whether it is about another trade
 * @property {boolean} nothing whether neither danger, card nor symptom is there
 */

(function () {
  "use strict";

  const { learn, hearWords } = globalThis.faultleaf.words;

  /** A symptom is proposed where at least this share of one of its sayings is heard. */
  const LEAST_SHARE = 0.74;
  /** A symptom that scores less than this share of the best one is not proposed beside it. */
  const BESIDE_BEST = 0.4;
  /** What a second saying that fits adds to the best one's score. */
  const SECOND = 0.2;
  /** What is entered into a call must have been said in full, and in one breath: so many other words may stand between. */
  const BETWEEN = 3;
  /** A danger may be told in more words. */
  const BETWEEN_OF_DANGER = 5;
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
    return { tongue, weights, symptoms, chips, dangers, named: namesOf(tongue, entries) };
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

  /** @param {Ear} ear @param {string[]} keys @param {SearchEntry | undefined} first symptom @returns {(Fitted | Finding)[]} of ways of one feature, or of one test, the one that more was said of */
  function chipsIn({ chips, symptoms: { length: symptoms } }, keys, first) {
    const here = ({ of }) => !of.at || (first ? of.at.includes(first.id) : of.at.length === symptoms);
    const found = chips.filter(here).map(({ of, sayings }) => ({ of, weight: Math.max(0, ...sayings.filter((saying) => inOneBreath(saying, keys)).map(({ weight }) => weight)) }))
      .filter(({ weight }) => weight > 0).sort((a, b) => b.weight - a.weight);
    return [...new Map([...found].reverse().map(({ of }) => [of.feature || of.test, of])).values()].reverse();
  }

  /** @param {Ear} ear @param {string} text what somebody typed or said @returns {Heard} */
  function listen(ear, text) {
    const told = hearWords(ear.tongue, text.slice(0, LONGEST_TEXT), true).flat();
    const keys = told.map(keyOf), heard = new Set(keys);
    const dangers = ear.dangers.filter(({ sayings }) => sayings.some((saying) => inOneBreath(saying, keys, BETWEEN_OF_DANGER))).map(({ of }) => of);
    const asked = ear.named.get(gist(told)) || [];
    const elsewhere = told.some(({ word }) => ear.tongue.elsewhere.has(word));
    if (elsewhere) return { dangers, asked, symptoms: [], chips: [], elsewhere, nothing: dangers.length + asked.length === 0 };
    const scored = ear.symptoms.map((sayer) => ({ of: sayer.of, score: score(ear, sayer, heard) })).filter((each) => each.score > 0).sort((a, b) => b.score - a.score);
    const symptoms = scored.filter((each) => each.score >= BESIDE_BEST * scored[0].score).map(({ of }) => of);
    return { dangers, asked, symptoms, elsewhere, chips: chipsIn(ear, keys, symptoms[0]), nothing: dangers.length + asked.length + symptoms.length === 0 };
  }

  globalThis.faultleaf.hearing = Object.freeze({ tune, listen });
})();
