/* What the page says of a card, a step or an entry of the job; and numbers, times and shares as people read them.
 *
 * Texts come from export/call_words.py. A job may name what the library no longer has: then the id stands for itself.
 */
(function () {
  "use strict";

  const WORDS_VERSION = 4;
  const UNLISTED = "Something that no card describes";
  const REASONS = Object.freeze({
    "no-tool": "No tool for it here", "no-part": "No part for it here", "no-access": "Cannot be reached",
    "not-safe": "Not safe here", "not-allowed": "I am not allowed to", refused: "The customer does not want it", other: "Another reason",
  });
  const HOUR = 60;
  const DAY = 1440;
  /** What rounding leaves behind must not tip a half. */
  const SAME = 1e-9;

  /* Numbers read as in faultleaf/words/numbers.py: both are held to tests/cases/words.json. */

  /** @param {number} minutes @returns {string} in its two largest units */
  function minutesText(minutes) {
    const whole = minutes < DAY ? Math.round(minutes) : Math.round(minutes / HOUR) * HOUR;
    const days = Math.floor(whole / DAY), hours = Math.floor((whole % DAY) / HOUR), left = whole % HOUR;
    const parts = [days && `${days} ${days === 1 ? "day" : "days"}`, hours && `${hours} h`, left && `${left} min`];
    return parts.filter(Boolean).join(" ") || "0 min";
  }

  /** @param {number} share @returns {string} in whole percents, the sign kept with its number: the numbers are rough */
  function shareText(share) {
    if (share > 0 && share < 0.01 - SAME) return "under 1\u00a0%";
    if (share >= 0.995 && share < 1 - SAME) return "over 99\u00a0%";
    return `${Math.floor(share * 100 + 0.5 + SAME)}\u00a0%`;
  }

  /** @param {number} value @param {number} [digits] @returns {string} its digits that count, thousands apart */
  function plainText(value, digits = 6) {
    return value.toLocaleString("en", { maximumSignificantDigits: digits });
  }

  /**
   * @param {Record<string, [number | null, number | null]>} limits outcome → [low, high) @param {string} outcome @param {string} unit
   * @returns {string} "5,000 to under 100,000 ohm", "under 20 psi", "80 psi or more"
   */
  function limitsText(limits, outcome, unit) {
    const [low, high] = limits[outcome];
    if (high === null) return low === null ? `any ${unit}` : `${plainText(low)} ${unit} or more`;
    // Nought is said only where a reading may lie below it.
    const fromNothing = low === 0 && Object.values(limits).every(([other]) => other !== null && other >= 0);
    return low === null || fromNothing ? `under ${plainText(high)} ${unit}` : `${plainText(low)} to under ${plainText(high)} ${unit}`;
  }

  /** @param {number} factor @returns {string} how much likelier or less likely a finding makes a cause */
  function factorText(factor) {
    if (factor <= 0) return "ruled out";
    const times = factor >= 1 ? factor : 1 / factor, word = factor >= 1 ? "likelier" : "less likely";
    return times < 99.5 ? `×${plainText(times, 2)} ${word}` : `over ×99 ${word}`;
  }

  /** @param {number | null} times @returns {string} what the last finding did to a cause */
  function timesText(times) {
    if (times === null || !Number.isFinite(times)) return "";
    return times < 1.05 && times > 1 / 1.05 ? "as before" : factorText(times);
  }

  /** @param {string | Date} time @returns {string} day and time in the reader's own way */
  function timeText(time) {
    return new Date(time).toLocaleString(undefined, { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" });
  }

  /** @param {string | Date} time @returns {string} */
  function dayText(time) {
    return new Date(time).toLocaleDateString(undefined, { weekday: "long", day: "numeric", month: "long", year: "numeric" });
  }

  const ANOTHER = "another firm, or the maker’s own service";
  const TECHNICIAN = "your technician";

  /** Every text of the cards that a call needs. */
  class Words {
    /** @param {any} shared @param {any[]} parts one for each symptom that was loaded @param {any} engineData `faultleafData.shared` */
    constructor(shared, parts, engineData) {
      if (shared.version !== WORDS_VERSION) throw new Error("The words of this page are of another version.");
      const all = (kind) => Object.assign({}, ...parts.map((part) => part[kind]));
      this.shared = shared;
      this.tests = all("tests");
      this.faults = all("faults");
      this.repairs = all("repairs");
      this.numbers = new Map(engineData.tests.map((test) => [test.id, test]));
    }

    symptom(id) { return this.shared.symptoms[id] || { title: id, said: [], make_safe: [], first: {}, lead: [], charts: [] }; }
    caution(id) { return this.shared.cautions[id]; }
    feature(id) { return this.shared.equipment[id] || { title: id, asks: id, how: "", values: {} }; }
    rank(id) { return this.shared.ranks[id] || id; }
    proof(id) { return this.shared.proofs[id]; }
    test(id) { return this.tests[id]; }
    repair(id) { return this.repairs[id]; }
    /** @returns {any} titles of a worksheet, of its inputs and results; a record may name one that is gone */
    worksheet(id) { return this.shared.worksheets[id] || { title: id, inputs: {}, results: {} }; }
    /** @returns {string} */
    value(feature, id) { return id === null ? "don’t know" : this.feature(feature).values[id] || id; }

    /** @returns {string[]} lowest first */
    get ranks() { return Object.keys(this.shared.ranks); }

    /** @returns {boolean} whether the one who is there is of the highest rank: nobody above can be called */
    isTop(who) { return who === this.ranks[this.ranks.length - 1]; }

    /** @returns {boolean} whether somebody of this rank may do what asks for `rank` */
    may(who, rank) { return this.ranks.indexOf(rank) <= this.ranks.indexOf(who); }

    /** @returns {string} whom a call is handed to by who is there: nobody is told to call his own rank */
    whom(who) {
      if (who === "apprentice") return TECHNICIAN;
      return this.isTop(who) ? ANOTHER : this.shared.site.call;
    }

    /** @returns {string} whom a stop's card says to call; for who is called there, what else it says */
    callFor(call, who) {
      const { call: own } = this.shared.site, text = capital(call);
      if (!this.isTop(who) || !call.startsWith(own)) return `${text}.`;
      const rest = call.slice(own.length).replace(/^[\s,;]*(?:and\b[\s,]*)?/, "");
      // What to say to the one who is called means nothing to himself.
      const kept = /^(?:say|tell)\b/i.test(rest) ? "" : rest;
      return `You are licensed: it is yours to make safe.${kept ? ` ${capital(kept)}.` : ""}`;
    }

    /** @returns {boolean} whether these words tell who is of the highest rank to call his own rank */
    callsOwn(text, who) { return this.isTop(who) && new RegExp(`^call\\b.*\\b${who}\\b`, "i").test(text); }

    /** @returns {string} who is called there, without what is said to him */
    calledTo(call, who) {
      return this.isTop(who) && call.startsWith(this.shared.site.call) ? this.whom(who) : call.split(/[,;]/)[0];
    }

    /** @returns {any} the danger that this outcome means, undefined where it is none */
    danger(test, outcome) { return this.shared.dangers.find((each) => each.test === test && each.outcome === outcome); }

    /** @returns {number | null} minutes of work in a step, making safe included; null where the library has lost it */
    minutesOf(step) {
      if (step.startsWith("equipment.")) return 1;
      const card = this.tests[step] || this.repairs[step];
      return card ? card.minutes : null;
    }

    /** @returns {string} */
    faultTitle(id) {
      if (id === globalThis.faultleaf.engine.UNLISTED) return UNLISTED;
      return this.faults[id] ? this.faults[id].title : id;
    }

    /** @returns {string} what is done at a step: a test, a repair, a question about the equipment, handing on */
    stepTitle(id) {
      if (id === globalThis.faultleaf.engine.HAND_ON) return "Hand the call on";
      if (id.startsWith("equipment.")) return this.feature(id.slice(10)).title;
      const card = this.tests[id] || this.repairs[id] || this.numbers.get(id);
      return card ? card.title : id;
    }

    /** @returns {string} */
    outcome(test, id) {
      if (test.startsWith("equipment.")) return this.value(test.slice(10), id);
      const card = this.tests[test], numbers = this.numbers.get(test);
      if (card && card.outcomes[id]) return card.outcomes[id];
      const place = numbers ? numbers.outcomes.indexOf(id) : -1;
      return place < 0 ? id : numbers.titles[place];
    }

    /** @returns {string[]} the ids of a step's cautions */
    cautionsOf(step) {
      const card = this.tests[step] || this.repairs[step];
      return card ? card.cautions : [];
    }

    /** @returns {string} the result of a worksheet that decided a finding */
    decided({ worked }) {
      if (!worked) return "";
      const { results } = this.worksheet(worked.worksheet), { by } = worked;
      return ` [${results[by] || by}: ${Object.hasOwn(worked.results, by) ? worked.results[by] : "?"}]`;
    }

    /** @returns {string[]} in sentences: which worksheet was worked, what was put in, what came out */
    workedText({ worked }) {
      if (!worked) return [];
      const { title, inputs, results } = this.worksheet(worked.worksheet);
      const said = (texts, titles) => Object.entries(texts).map(([name, text]) => `${titles[name] || name} ${text}`).join("; ");
      return [`Worked out with “${title}”.`, `Put in: ${said(worked.inputs, inputs)}.`, `Came out: ${said(worked.results, results)}.`];
    }

    /** @returns {string} an entry of the log in one line */
    entry(entry) {
      const note = entry.note ? ` (${entry.note})` : "";
      switch (entry.what) {
        case "symptom": return `${entry.present ? "Seen" : "Looked for, not there"}: ${this.symptom(entry.symptom).title}`;
        case "who": return `At the call: ${this.rank(entry.rank)}`;
        case "equipment": return `${this.feature(entry.feature).title}: ${this.value(entry.feature, entry.value)}`;
        case "safe": return `Caution read: ${(this.caution(entry.caution) || { title: entry.caution }).title}`;
        case "finding": return `${this.danger(entry.test, entry.outcome) ? "DANGER. " : ""}${this.stepTitle(entry.test)}: ${this.outcome(entry.test, entry.outcome)}${readingText(entry)}${this.decided(entry)}${note}`;
        case "cannot": return `Not done: ${this.stepTitle(entry.step)}. ${REASONS[entry.reason] || entry.reason}${note}`;
        case "repair": return `Repaired: ${this.stepTitle(entry.repair)}${checkedText(entry)}${note}`;
        case "proved": return `${RESULTS[entry.result]}: ${this.stepTitle(entry.repair)}${note}`;
        case "named": return `Cause named: ${this.faultTitle(entry.cause)}. Left to ${entry.to}: ${this.stepTitle(entry.repair)}${note}`;
        case "handed-on": return `Handed on to ${entry.to}, no cause named${note}`;
        case "note": return `Note: ${entry.text}`;
        case "closed": return "Job closed";
        default: return entry.what;
      }
    }
  }

  const RESULTS = Object.freeze({ cured: "Seen to hold, after", "still-there": "Still there, after", mended: "Mended, and the call went on" });

  /** @returns {string} */
  function checkedText({ checked = [] }) {
    return checked.length > 0 ? ` (seen to be so before: ${checked.join("; ")})` : "";
  }

  /** @returns {string} */
  function capital(text) {
    return text[0].toUpperCase() + text.slice(1);
  }

  /** @returns {string} */
  function readingText(entry) {
    return entry.reading === undefined ? "" : ` [${entry.reading}${entry.unit ? ` ${entry.unit}` : ""}]`;
  }

  Object.assign(globalThis.faultleaf.callView, { Words, REASONS, capital, minutesText, shareText, limitsText, factorText, timesText, plainText, timeText, dayText });
})();
