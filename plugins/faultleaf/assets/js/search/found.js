/* What the box shows for a sentence: the danger, the symptoms, what else was heard, the pages, or that nothing fits.
 *
 * Everything is built with DOM methods, so no word of a card is ever read as markup.
 */

/**
 * @typedef {object} Place where a box stands
 * @property {string} base the way to the site's root
 * @property {string | null} call on the page that works calls: what its address holds of the call; elsewhere null
 * @property {Set<string>} confirmed chips that were pressed
 * @property {() => void} changed to be called when a chip was pressed
 */

(function () {
  "use strict";

  const INDEX_PAGE = "index-of-troubles.html";
  const CALL_PAGE = "work-the-call.html";
  const KIND_WORDS = Object.freeze({ reading: "reading list", chart: "flowchart" });
  const WHY_WORDS = Object.freeze({
    said: "Callers say", also: "Also called", shows: "Shows", parts: "Part", text: "",
  });

  /**
   * @param {string} tag
   * @param {Record<string, string>} attributes
   * @param {(Node | string | null)[]} children
   * @returns {HTMLElement}
   */
  function element(tag, attributes, ...children) {
    const made = document.createElement(tag);
    Object.entries(attributes).forEach(([name, value]) => made.setAttribute(name, value));
    made.append(.../** @type {(Node | string)[]} */ (children.filter((each) => each !== null)));
    return made;
  }

  /** @param {string} base @param {string} url @returns {string} an address that cannot be a scheme */
  function address(base, url) {
    return (base || "./") + url;
  }

  /** @param {Fitted | Finding} chip @returns {string} */
  function chipKey(chip) {
    return "feature" in chip ? `${chip.feature}:${chip.value}` : `${chip.test}:${chip.outcome}`;
  }

  /**
   * @param {Place} place @param {Record<string, string>} parts
   * @returns {string} the page that works calls, beginning with these
   */
  function callAddress({ base, call }, parts) {
    const hash = new URLSearchParams(call || "");
    Object.entries(parts).filter(([, value]) => value).forEach(([name, value]) => hash.set(name, value));
    return `${call === null ? address(base, CALL_PAGE) : ""}#${hash}`;
  }

  /** @param {Place} place @param {(Fitted | Finding)[]} chips @returns {(Fitted | Finding)[]} those that were pressed */
  function confirmedOf({ confirmed }, chips) {
    return chips.filter((chip) => confirmed.has(chipKey(chip)));
  }

  /** @param {Place} place @param {SearchEntry} symptom @param {(Fitted | Finding)[]} chips @returns {string} the call with what was confirmed */
  function beginning(place, symptom, chips) {
    const sure = confirmedOf(place, chips);
    const listed = (wanted) => sure.filter((chip) => "feature" in chip === wanted).map(chipKey).join(",");
    return callAddress(place, { say: symptom.id, has: listed(true), found: listed(false) });
  }

  /** @param {{text: string, hit: boolean}[]} pieces @returns {(Node | string)[]} */
  function withMarks(pieces) {
    return pieces.map((piece) => (piece.hit ? element("mark", {}, piece.text) : piece.text));
  }

  /** @param {string} name @param {string} title @param {(Node | null)[]} children @returns {HTMLElement} */
  function group(name, title, ...children) {
    return element("section", { class: `fl-search__group fl-search__group--${name}`, "aria-label": title },
      element("p", { class: "fl-search__head" }, title), ...children);
  }

  /** @param {Place} place @param {Finding} found @returns {HTMLElement} what to do now, whom to call, and the way to the STOP */
  function dangerPart(place, { test, outcome, title, danger }) {
    return element("section", { class: "fl-search__danger", "data-danger": `${test}=${outcome}`, "aria-label": danger.title },
      element("p", { class: "fl-search__signal" }, `STOP. ${danger.title}`),
      element("p", { class: "fl-search__heard" }, `Heard: ${title}`),
      element("p", { class: "fl-search__now" }, element("strong", {}, "Do this now: "), danger.now),
      element("p", { class: "fl-search__now" }, element("strong", {}, "Call "), danger.call, "."),
      element("p", { class: "fl-search__ways" },
        element("a", { class: "fl-search__go", href: callAddress(place, { found: `${test}:${outcome}` }) }, "It is so: stop the call here"),
        element("a", { class: "fl-search__go", href: address(place.base, danger.url) }, "The whole caution")));
  }

  /** @param {Place} place @param {SearchEntry} entry @param {(Fitted | Finding)[]} chips @param {any} said the page search's reason @returns {HTMLElement} */
  function symptomRow(place, entry, chips, said) {
    const sure = confirmedOf(place, chips).length, begin = beginning(place, entry, chips), page = place.call === null ? address(place.base, entry.url) : begin;
    const why = said && said.why && said.why.field === "said" ? element("span", { class: "fl-search__why" }, "Callers say: ", ...withMarks(said.why.pieces)) : null;
    return element("li", { class: "fl-search__symptom", "data-symptom": entry.id },
      element("a", { class: "fl-search__result", href: page }, element("span", { class: "fl-search__title" }, entry.title), " ", why),
      place.call === null ? element("a", { class: "fl-search__begin", href: begin, "aria-label": `Work the call: ${entry.title}` },
        element("span", {}, "Work the call", sure > 0 ? element("span", { class: "fl-search__count" }, `${sure} entered`) : null)) : null);
  }

  /** @param {Place} place @param {Fitted | Finding} chip @returns {HTMLElement} */
  function chipButton(place, chip) {
    const key = chipKey(chip), pressed = place.confirmed.has(key);
    const made = element("button", { type: "button", class: "fl-search__chip", "aria-pressed": String(pressed), "data-chip": key }, chip.title);
    made.addEventListener("click", () => {
      if (pressed) place.confirmed.delete(key);
      else place.confirmed.add(key);
      place.changed();
    });
    return made;
  }

  /** @param {Place} place @param {(Fitted | Finding)[]} chips @returns {HTMLElement} */
  function chipPart(place, chips) {
    const sure = confirmedOf(place, chips).length;
    const says = sure === 0 ? "The call then begins with it entered." : `Entered when the call begins: ${sure}.`;
    return group("chips", "Heard as well: press what is so",
      element("div", { class: "fl-search__chips" }, ...chips.map((chip) => chipButton(place, chip))),
      element("p", { class: "fl-search__note" }, says));
  }

  /** @param {Place} place @param {any} found of the page search @returns {HTMLElement} one page: kind, title, and why it was found */
  function pageRow({ base, call }, { entry, title, why }) {
    const kind = element("span", { class: "fl-search__kind" }, KIND_WORDS[entry.kind] || entry.kind);
    // A call that is being begun is not left for a page.
    /** @type {Record<string, string>} */
    const beside = call === null ? {} : { target: "_blank", rel: "noopener noreferrer" };
    const link = element("a", { class: "fl-search__result", href: address(base, entry.url), ...beside },
      kind, " ", element("span", { class: "fl-search__title" }, ...withMarks(title)));
    if (why) {
      const lead = WHY_WORDS[why.field] ? WHY_WORDS[why.field] + ": " : "";
      link.append(" ", element("span", { class: "fl-search__why" }, lead, ...withMarks(why.pieces)));
    }
    return element("li", {}, link);
  }

  /** @param {HTMLElement[]} rows @returns {HTMLElement} */
  function rowList(rows) {
    return element("ul", { class: "fl-search__list" }, ...rows);
  }

  /** @param {Place} place @param {SearchEntry[]} symptoms all there are @param {(Fitted | Finding)[]} chips @param {boolean} sorted whether the nearest come first @returns {HTMLElement} said where nothing fits */
  function nothingPart(place, symptoms, chips, sorted) {
    return group("nothing", "Nothing fits these words",
      element("p", { class: "fl-search__note" }, `This is what the site knows of${sorted ? ", the nearest first" : ""}. Is it one of these?`),
      rowList([...symptoms.map((each) => symptomRow(place, each, chips, null)),
        element("li", {}, element("a", { class: "fl-search__result", href: address(place.base, INDEX_PAGE) }, "Look through the troubleshooting index"))]));
  }

  /**
   * @param {Place} place
   * @param {Heard} heard
   * @param {any[]} pages of the page search, those of symptoms too: they say why
   * @param {SearchEntry[]} all symptoms
   * @returns {HTMLElement[]} in the order of reading
   */
  function foundParts(place, { dangers, asked, symptoms, chips, nothing, nearest }, pages, all) {
    const reason = (entry) => pages.find((page) => page.entry === entry);
    // On the call's first screen a symptom begins the call, or stands in the list below.
    const listed = ({ entry, whole }) => entry.kind === "symptom" && ((nothing && !whole) || place.call !== null);
    const others = pages.filter((page) => !symptoms.includes(page.entry) && !listed(page));
    const named = asked.map((entry) => reason(entry) || { entry, title: [{ text: entry.title, hit: false }], why: null });
    const rest = others.filter(({ entry }) => !asked.includes(entry));
    const pagePart = rest.length > 0 ? group("pages", "Pages with these words", rowList(rest.map((page) => pageRow(place, page)))) : null;
    // Who looks up a name finds it in one press, though no symptom fits.
    const lookedUp = nothing && rest.some(({ whole }) => whole);
    return [
      ...dangers.map((danger) => dangerPart(place, danger)),
      named.length > 0 ? group("asked", "What you ask about", rowList(named.map((page) => pageRow(place, page)))) : null,
      symptoms.length > 0 ? group("symptoms", dangers.length > 0 ? "Once that is safe, it sounds like" : "It sounds like",
        rowList(symptoms.map((entry) => symptomRow(place, entry, chips, reason(entry))))) : null,
      lookedUp ? pagePart : null,
      nothing ? nothingPart(place, all, chips, nearest.length > 0) : null,
      chips.length > 0 ? chipPart(place, chips) : null,
      lookedUp ? null : pagePart,
    ].filter((part) => part !== null);
  }

  globalThis.faultleaf.found = Object.freeze({ element, foundParts });
})();
