/* What the page says of a card, a step or an entry of the job; and numbers, times and shares as people read them.
 *
 * Texts come from export/call_words.py. A job may name what the library no longer has: then the id stands for itself.
 */
(function () {
  "use strict";

  const WORDS_VERSION = 1;
  const UNLISTED = "A cause that no card names";
  const REASONS = Object.freeze({
    "no-tool": "No tool for it here", "no-part": "No part for it here", "no-access": "Cannot be reached",
    "not-safe": "Not safe here", "not-allowed": "I am not allowed to", refused: "The customer does not want it", other: "Another reason",
  });
  const HOUR = 60;
  const DAY = 1440;

  /** @param {number} minutes @returns {string} in its two largest units, as cards/words.py says it */
  function minutesText(minutes) {
    const whole = minutes < DAY ? Math.round(minutes) : Math.round(minutes / HOUR) * HOUR;
    const days = Math.floor(whole / DAY), hours = Math.floor((whole % DAY) / HOUR), left = whole % HOUR;
    const parts = [days && `${days} ${days === 1 ? "day" : "days"}`, hours && `${hours} h`, left && `${left} min`];
    return parts.filter(Boolean).join(" ") || "0 min";
  }

  /** @param {number} share @returns {string} */
  function shareText(share) {
    const percent = share * 100;
    if (percent < 1) return percent > 0 ? "under 1 %" : "0 %";
    return percent < 9.95 ? `${percent.toFixed(1)} %` : `${percent.toFixed(0)} %`;
  }

  /** @param {number | null} times @returns {string} what the last finding did to a cause */
  function timesText(times) {
    if (times === null || !Number.isFinite(times)) return "";
    if (times >= 1.05) return `×${plain(times)} likelier`;
    if (times <= 0) return "ruled out";
    return times <= 1 / 1.05 ? `÷${plain(1 / times)}` : "as before";
  }

  function plain(number) {
    return number >= 99.5 ? "99 or more" : String(Number(number.toPrecision(2)));
  }

  /** @param {string | Date} time @returns {string} day and time in the reader's own way */
  function timeText(time) {
    return new Date(time).toLocaleString(undefined, { weekday: "short", day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" });
  }

  /** @param {string | Date} time @returns {string} */
  function dayText(time) {
    return new Date(time).toLocaleDateString(undefined, { weekday: "long", day: "numeric", month: "long", year: "numeric" });
  }

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
    /** @returns {string} */
    value(feature, id) { return id === null ? "don’t know" : this.feature(feature).values[id] || id; }

    /** @returns {string} */
    faultTitle(id) {
      if (id === globalThis.faultleaf.engine.UNLISTED) return UNLISTED;
      return this.faults[id] ? this.faults[id].title : id;
    }

    /** @returns {string} what is done at a step: a test, a repair, a question about the equipment, handing on */
    stepTitle(id) {
      if (id === globalThis.faultleaf.engine.HAND_ON) return `Hand on to ${this.shared.site.call}`;
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

    /** @returns {string} an entry of the log in one line */
    entry(entry) {
      const note = entry.note ? ` (${entry.note})` : "";
      switch (entry.what) {
        case "symptom": return `${entry.present ? "Seen" : "Looked for, not there"}: ${this.symptom(entry.symptom).title}`;
        case "who": return `At the call: ${this.rank(entry.rank)}`;
        case "equipment": return `${this.feature(entry.feature).title}: ${this.value(entry.feature, entry.value)}`;
        case "safe": return `Made safe: ${(this.caution(entry.caution) || { title: entry.caution }).title}`;
        case "finding": return `${this.stepTitle(entry.test)}: ${this.outcome(entry.test, entry.outcome)}${readingText(entry)}${note}`;
        case "cannot": return `Not done: ${this.stepTitle(entry.step)}. ${REASONS[entry.reason] || entry.reason}${note}`;
        case "repair": return `Repaired: ${this.stepTitle(entry.repair)}${note}`;
        case "proved": return `${entry.result === "cured" ? "Cured" : "Still there"}, after: ${this.stepTitle(entry.repair)}${note}`;
        case "handed-on": return `Handed on to ${entry.to}${note}`;
        case "note": return `Note: ${entry.text}`;
        case "closed": return "Job closed";
        default: return entry.what;
      }
    }
  }

  /** @returns {string} */
  function readingText(entry) {
    return entry.reading === undefined ? "" : ` [${entry.reading}${entry.unit ? ` ${entry.unit}` : ""}]`;
  }

  Object.assign(globalThis.faultleaf.callView, { Words, REASONS, minutesText, shareText, timesText, timeText, dayText });
})();
