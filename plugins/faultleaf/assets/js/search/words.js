/* A sentence as somebody hears it: words without their endings, words that mean the same made one, and what is denied.
 *
 * Nothing here was learnt from anywhere: which words mean the same stands in the cards (other names of components and
 * terms) and in callers.yml. Nothing here touches `document`; needs vendor/stemmer.js.
 */

/**
 * @typedef {{word: string, no: boolean}} Told one word or notion ("=rise"), and whether it was denied
 * @typedef {{stem: string, no: boolean, idle: boolean}} Stemmed a word without its ending; idle where it says nothing by itself
 * @typedef {{stems: Stemmed[], notion: string}} Way a way of saying a notion
 * @typedef {object} Tongue what words mean here
 * @property {Set<string>} known every word of the cards as it is written
 * @property {Map<string, string>} slips words that no card has, and the word each is taken for
 * @property {Map<string, Way[]>} ways by their first stem, longest first
 * @property {Set<string>} elsewhere notions of other trades
 */

(function () {
  "use strict";

  /** Words that deny what follows; written without apostrophes, as `words` leaves them. */
  const NOT = setOf(
    "no not never none nobody noone neither nor without isnt wasnt arent werent doesnt dont didnt wont " +
    "wouldnt cant cannot couldnt hasnt havent hadnt aint shouldnt");
  /** What ends a denial: the next thought begins. */
  const TURNS = setOf(
    "but and so because cause then though although tho when whenever while since until till if whether yet just only " +
    "however where what which who whose how why even except instead nothing");
  /** What ends a denial that has met its word: "no water | in the glass". */
  const PLACES = setOf("in on at from by with for after before over under above below of to into out through inside off during");
  /** "No, it gains": the denial is an answer, not about what follows. */
  const ANSWERED = setOf("it its we i he she they this that you");
  /** Further than this from its "not" nothing is denied. */
  const DENIED = 4;

  // "off", "out", "over", "up" and "down" are not here: in talk about faults they carry the sense.
  const STOP_WORDS = setOf(
    "a about also always am an and any anymore are as at away be been being but by can cause could did do does doing done else " +
    "ever every for from get gets getting goes going gone got gotten had has have having he hello help her here hers hi him his " +
    "how however i id if ill im in into is it its ive just keep keeps kept kind let lets like me mine my of ok okay on " +
    "only or our ours please pretty quite real really say says said seem seems she should so some somebody someone " +
    "something sort than thank thanks that thats the their them then there theres these they thing things think this those tho " +
    "though through to too us very was we well were what whats when where wheres which while who whole why will with would yes yet " +
    "you your yours yourself even maybe actually now again call called try tried way much lot lots kinda sir mam guy guys man " +
    "because know one whenever such but yet whether however although tho");
  /** What comes before a name and changes nothing. */
  const ARTICLES = setOf("a an the my your our his her its their this that these those");

  /** @param {string} text @returns {Set<string>} */
  function setOf(text) {
    return new Set(text.split(" "));
  }

  /** @param {string} text @returns {string} small letters, without accents, apostrophes or invisible signs */
  function plain(text) {
    return text.normalize("NFKD").replace(/[\p{M}\p{Cf}'’`]/gu, "").toLowerCase();
  }

  /** @param {string} text @returns {string[]} its words */
  function words(text) {
    return plain(text).match(/[\p{L}\p{N}]+/gu) || [];
  }

  /** @param {string} text @returns {string[][]} its words, cut where a thought ends */
  function thoughts(text) {
    return plain(text).split(/[,.;:!?()\n]+|\s[-–—]+\s/u).map(words).filter((each) => each.length > 0);
  }

  /** @param {string} word @returns {boolean} whether the word says nothing by itself */
  function isIdle(word) {
    return STOP_WORDS.has(word) || NOT.has(word);
  }

  /**
   * @param {string[]} thought
   * @returns {{word: string, no: boolean, idle: boolean}[]} its words but articles and "not", each with whether it is denied
   */
  function withDenials(thought) {
    const told = [];
    let left = 0, met = 0;
    thought.forEach((word, i) => {
      if (ARTICLES.has(word)) return;
      if (NOT.has(word)) [left, met] = ANSWERED.has(thought[i + 1] || "") && word === "no" ? [0, 0] : [DENIED, left > 0 ? met : 0];
      else if (TURNS.has(word)) left = 0;
      if (PLACES.has(word) && met > 0) left = 0;
      if (NOT.has(word)) return;
      told.push({ word, no: left > 0, idle: isIdle(word) });
      if (left > 0 && !isIdle(word)) [left, met] = [left - 1, met + 1];
    });
    return told;
  }

  /** @param {string} a @param {string} b @returns {number} slips of the finger between two words: 0, 1, or 2 for more */
  function slipsBetween(a, b) {
    if (a === b) return 0;
    let from = 0, endA = a.length, endB = b.length;
    while (from < endA && from < endB && a[from] === b[from]) from += 1;
    while (endA > from && endB > from && a[endA - 1] === b[endB - 1]) [endA, endB] = [endA - 1, endB - 1];
    const [left, right] = [a.slice(from, endA), b.slice(from, endB)];
    const swapped = left.length === 2 && right === left[1] + left[0];
    return swapped || Math.max(left.length, right.length) === 1 ? 1 : 2;
  }

  /** @param {Set<string>} known @param {string} word @returns {string} the word of the cards that is one slip away; itself where none is */
  function unslipped(known, word) {
    if (word.length < 4 || /\d/.test(word)) return word;
    // In a short word one wrong letter makes another word: there only a letter left out, or two swapped, is a slip.
    const near = [...known].filter((each) => each[0] === word[0] && Math.abs(each.length - word.length) <= 1
      && (word.length > 4 || each.length === 5 || [...each].sort().join() === [...word].sort().join())
      && each.length >= 4 && slipsBetween(word, each) === 1);
    return near.sort((a, b) => Number(b.length === word.length) - Number(a.length === word.length) || (a < b ? -1 : 1))[0] || word;
  }

  /** @param {Set<string>} known @param {string} word @returns {string[]} "sightglass" as the two words that it is */
  function halves(known, word) {
    for (let at = 4; at <= word.length - 4; at += 1) {
      const parts = [word.slice(0, at), word.slice(at)];
      if (parts.every((part) => known.has(part))) return parts;
    }
    return [];
  }

  /** @param {Tongue} tongue @param {string} word @returns {string[]} the word as the cards write it */
  function respelt(tongue, word) {
    if (tongue.known.has(word) || isIdle(word)) return [word];
    const two = halves(tongue.known, word);
    if (two.length > 0) return two;
    const kept = tongue.slips.get(word);
    if (kept !== undefined) return [kept];
    const meant = unslipped(tongue.known, word);
    tongue.slips.set(word, meant);
    return [meant];
  }

  /** @param {string} word @returns {string} */
  function stem(word) {
    return globalThis.faultleafStemmer(word);
  }

  /** @param {string} text @returns {Stemmed[][]} the words of each thought */
  function stemmed(text, spell = (/** @type {string} */ word) => [word]) {
    return thoughts(text).map((thought) => withDenials(thought.flatMap(spell)).map(({ word, no, idle }) => ({ stem: stem(word), no, idle })));
  }

  /** @param {Way} way @param {Stemmed[]} told @param {number} at @returns {{word: string, no: boolean} | null} the notion, if it is said there */
  function saidAt(way, told, at) {
    const there = told.slice(at, at + way.stems.length);
    if (there.length < way.stems.length || way.stems.some(({ stem: each }, i) => each !== there[i].stem)) return null;
    const word = `=${way.notion}`;
    if (way.stems.every(({ no }, i) => no === there[i].no)) return { word, no: false };
    return way.stems.every(({ no }) => !no) && there.some(({ no }) => no) ? { word, no: true } : null;
  }

  /** @param {Tongue} tongue @param {Stemmed[]} told @returns {Told[]} with every notion in the place of the words that say it */
  function asNotions(tongue, told) {
    const made = [];
    for (let at = 0; at < told.length;) {
      const found = (tongue.ways.get(told[at].stem) || []).map((way) => ({ way, said: saidAt(way, told, at) })).find(({ said }) => said);
      if (found && found.said) made.push(found.said);
      else if (!told[at].idle) made.push({ word: told[at].stem, no: told[at].no });
      at += found ? found.way.stems.length : 1;
    }
    return made;
  }

  /** @param {Tongue} tongue @param {string} text @param {boolean} [typed] by somebody who may slip @returns {Told[][]} each thought of it */
  function hearWords(tongue, text, typed = false) {
    const spell = typed ? (/** @type {string} */ word) => respelt(tongue, word) : undefined;
    return stemmed(text, spell).map((told) => asNotions(tongue, told)).filter((told) => told.length > 0);
  }

  /**
   * @param {[string, readonly string[]][]} notions id and ways of saying it; what stands first has a way for itself
   * @param {string[]} elsewhere ids of those that belong to other trades
   * @param {Iterable<string>} texts whatever the cards say, so that their words are no slips
   * @returns {Tongue}
   */
  function learn(notions, elsewhere, texts) {
    const known = new Set([...STOP_WORDS, ...NOT]), taken = new Set(), ways = new Map();
    for (const text of texts) words(text).forEach((word) => known.add(word));
    for (const [notion, said] of notions) for (const text of said) {
      words(text).forEach((word) => known.add(word));
      const stems = stemmed(text)[0] || [], key = stems.map(({ stem: each, no }) => `${no ? "-" : ""}${each}`).join(" ");
      if (stems.length === 0 || taken.has(key)) continue;
      taken.add(key);
      ways.set(stems[0].stem, [...(ways.get(stems[0].stem) || []), { stems, notion }]);
    }
    ways.forEach((each) => each.sort((a, b) => b.stems.length - a.stems.length));
    return { known, ways, slips: new Map(), elsewhere: new Set(elsewhere.map((id) => `=${id}`)) };
  }

  globalThis.faultleaf = globalThis.faultleaf || {};
  globalThis.faultleaf.words = Object.freeze({ learn, hearWords });
})();
