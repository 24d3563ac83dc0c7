/* Search for pages, without a page: builds the index from entries and finds the nearest ones.
 *
 * The full-text library finds every entry that shares a word with the question and scores
 * rare words above common ones (BM25). That alone does not serve somebody who types what a
 * caller said: a long card shares more words than a short one. So each candidate is then
 * compared, phrase by phrase, with the question, and the one that was *said* nearest to it
 * rises. Nothing here touches `document`; needs vendor/minisearch.js and vendor/stemmer.js.
 */

/**
 * @typedef {object} SearchEntry one card, as written by export/search.py
 * @property {string} id
 * @property {string} kind
 * @property {string} title
 * @property {string} url from the site's root
 * @property {string[]} said callers' words
 * @property {string[]} also other names
 * @property {string[]} shows tests and what they show
 * @property {string[]} parts titles of components
 * @property {string} text first sentences
 *
 * @typedef {{field: string, text: string, stems: Set<string>}} Phrase
 * @typedef {{entries: SearchEntry[], phrases: Phrase[][], known: Set<string>, engine: any}} Index
 * @typedef {{text: string, hit: boolean}} Piece a stretch of text, marked where it hit
 * @typedef {{field: string, pieces: Piece[]}} Why
 * @typedef {{entry: SearchEntry, score: number, whole: boolean, title: Piece[], why: Why | null}} Found `whole`: it has every word of the question
 */

(function () {
  "use strict";

  /** Weight of a hit by where it is; the order also settles which phrase explains a result. */
  const FIELDS = Object.freeze({ title: 3, said: 3, also: 2.5, shows: 1.2, parts: 1, text: 0.6 });
  /** For an equal match the symptom comes before the fault, the fault before the test. */
  const KINDS = Object.freeze({ symptom: 1.8, fault: 1.3, test: 1, chart: 0.7 });
  const OTHER_KIND = 0.9;
  /** Fields whose phrases are whole names or sayings, so that nearness to one means something. */
  const SAYINGS = Object.freeze(["title", "said", "also"]);
  /** What nearness 1 adds to a score, in scores; cubed, so that half a saying adds only an eighth. */
  const NEARNESS = 8;
  /** A longer question adds work but no sense: the rest of it is left unread. */
  const LONGEST_TEXT = 500;
  const MOST_WORDS = 40;
  /** What scores less than this share of the best result is noise. */
  const LEAST_SHARE = 0.02;

  // "no", "not", "off", "out" and "over" are not here: in talk about faults they carry the sense.
  const STOP_WORDS = new Set(
    ("a about am an and are as at be been being but by can cant could did didnt do does doesnt doing " +
      "for from had has have having he her here hers hi him his how i if im in into is isnt it its ive just " +
      "me my of on or our please she should so some than that thats the their them then there these " +
      "they this those to too us very was we were what whats when where which while who why will with " +
      "would you your").split(" ")
  );

  /**
   * @param {string} text
   * @returns {string[]} its words in small letters, without accents, apostrophes or invisible signs
   */
  function words(text) {
    const plain = text.normalize("NFKD").replace(/[\p{M}\p{Cf}'’]/gu, "").toLowerCase();
    return plain.match(/[\p{L}\p{N}]+/gu) || [];
  }

  /** @param {string} word @returns {string | null} its stem, or nothing for a stop word */
  function stem(word) {
    return STOP_WORDS.has(word) ? null : globalThis.faultleafStemmer(word);
  }

  /** @param {string} text @returns {Set<string>} */
  function stems(text) {
    return new Set(/** @type {string[]} */ (words(text).map(stem).filter(Boolean)));
  }

  /** @param {unknown} value @returns {string[]} */
  function asList(value) {
    return (Array.isArray(value) ? value : [value]).filter((text) => typeof text === "string" && text !== "");
  }

  /** @param {SearchEntry} entry @returns {Phrase[]} in the order of FIELDS */
  function phrasesOf(entry) {
    return Object.keys(FIELDS).flatMap((field) =>
      asList(entry[field]).map((text) => ({ field, text, stems: stems(text) }))
    );
  }

  /** @param {string} word @returns {string[]} the word with each pair of neighbours swapped */
  function swaps(word) {
    return Array.from({ length: word.length - 1 }, (_, i) =>
      word.slice(0, i) + word[i + 1] + word[i] + word.slice(i + 2));
  }

  /**
   * The stems a word of the question may stand for.
   *
   * A word the cards know is taken as it is. For any other, swapped letters ("guage") count as
   * one slip, which edit distance would call two; and the longest known beginning keeps the
   * list steady while an ending is being typed ("floodin").
   * @param {Set<string>} known @param {string} word
   * @returns {string[]}
   */
  function meanings(known, word) {
    const own = stem(word);
    if (own === null) return [];
    if (known.has(own)) return [own];
    const swapped = swaps(word).map(stem).filter((each) => each && known.has(each));
    const lengths = [1, 2, 3].map((cut) => word.length - cut).filter((length) => length >= 4);
    const beginning = lengths.map((length) => word.slice(0, length)).find((each) => known.has(each));
    return [...new Set([own, .../** @type {string[]} */ (swapped), ...(beginning ? [beginning] : [])])];
  }

  /** @param {Set<string>} known @param {string} term @returns {number} slips forgiven in it */
  function slips(known, term) {
    if (known.has(term) || term.length < 4) return 0;
    return term.length < 8 ? 1 : 2;
  }

  /**
   * @param {SearchEntry[]} entries
   * @returns {Index} to be handed to `find`
   */
  function build(entries) {
    const phrases = entries.map(phrasesOf);
    const known = new Set(phrases.flatMap((own) => own.flatMap((phrase) => [...phrase.stems])));
    const engine = new globalThis.MiniSearch({
      fields: Object.keys(FIELDS),
      extractField: (doc, name) => (name === "id" ? doc.id : asList(doc.entry[name]).join("\n")),
      tokenize: words,
      processTerm: stem,
      searchOptions: {
        tokenize: words,
        processTerm: (word) => meanings(known, word),
        boost: FIELDS,
        boostDocument: (id) => KINDS[entries[id].kind] || OTHER_KIND,
        prefix: (term, i, terms) => term.length >= (i === terms.length - 1 ? 2 : 3),
        fuzzy: (term) => slips(known, term),
      },
    });
    engine.addAll(entries.map((entry, id) => ({ id, entry })));
    return { entries, phrases, known, engine };
  }

  /** @param {string} text @returns {string[]} its telling words, one of each stem */
  function askedWords(text) {
    const telling = words(text.slice(0, LONGEST_TEXT)).filter((word) => stem(word) !== null);
    const byStem = new Map(telling.map((word) => [stem(word), word]));
    return [...byStem.values()].slice(0, MOST_WORDS);
  }

  /** @param {Set<string>} own @param {Set<string>} hits @returns {number} how many of `own` hit */
  function shared(own, hits) {
    return [...own].filter((each) => hits.has(each)).length;
  }

  /**
   * @param {Phrase[]} phrases of one entry
   * @param {Set<string>} hits stems of that entry that the question met
   * @param {number} asked stems in the question
   * @returns {number} 0 to 1: Dice's overlap of the question with the nearest saying
   */
  function nearness(phrases, hits, asked) {
    const sayings = phrases.filter((phrase) => SAYINGS.includes(phrase.field));
    const overlaps = sayings.map(
      (phrase) => (2 * shared(phrase.stems, hits)) / Math.max(1, asked + phrase.stems.size));
    return Math.min(1, Math.max(0, ...overlaps));
  }

  /** @param {string} text @param {Set<string>} hits @returns {Piece[]} which join to `text` */
  function marked(text, hits) {
    const runs = text.split(/([\p{L}\p{N}\p{M}'’]+)/u).filter((run) => run !== "");
    return runs.map((run) => ({ text: run, hit: shared(stems(run), hits) > 0 }));
  }

  /**
   * @param {Phrase[]} phrases @param {Set<string>} hits
   * @returns {Why | null} the phrase that meets most of the question, if it meets anything
   *   that the title does not
   */
  function whyFound(phrases, hits) {
    const inTitle = new Set(phrases.filter((each) => each.field === "title").flatMap((each) => [...each.stems]));
    const news = new Set([...hits].filter((each) => !inTitle.has(each)));
    let best = null;
    let most = 0;
    for (const phrase of phrases.filter((each) => shared(each.stems, news) > 0)) {
      const met = shared(phrase.stems, hits);
      if (met > most) [best, most] = [phrase, met];
    }
    return best && { field: best.field, pieces: marked(best.text, hits) };
  }

  /** @param {Found} a @param {Found} b @returns {number} best first, ties by title, then id */
  function byRank(a, b) {
    const order = (x, y) => (x < y ? -1 : Number(x > y));
    return b.score - a.score || order(a.entry.title, b.entry.title) || order(a.entry.id, b.entry.id);
  }

  /**
   * @param {Index} index from `build`
   * @param {string} text what somebody typed
   * @param {number} [limit] how many at most
   * @returns {Found[]} nearest first; empty when no word of it says anything
   */
  function find(index, text, limit = 10) {
    const asked = askedWords(text);
    if (asked.length === 0) return [];
    const found = index.engine.search(asked.join(" ")).map((result) => {
      const hits = new Set(/** @type {string[]} */ (result.terms));
      const near = nearness(index.phrases[result.id], hits, asked.length);
      const whole = new Set(result.queryTerms).size >= asked.length;
      return { id: result.id, hits, whole, entry: index.entries[result.id], score: result.score * (1 + NEARNESS * near ** 3) };
    });
    found.sort(byRank);
    const near = found.filter((each) => each.score >= found[0].score * LEAST_SHARE).slice(0, limit);
    return near.map(({ id, hits, whole, entry, score }) => ({
      entry, score, whole, title: marked(entry.title, hits), why: whyFound(index.phrases[id], hits),
    }));
  }

  globalThis.faultleaf = globalThis.faultleaf || {};
  globalThis.faultleaf.search = Object.freeze({ build, find });
})();
