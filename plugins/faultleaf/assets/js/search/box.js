/* The box that takes a caller's own words or a name to look up, and what was found below it.
 *
 * A page offers <div class="faultleaf-search" data-base="../"></div> (`data-base` leads to the site's root; `data-large`
 * asks for the big field, whose finds push down what follows). Without scripts the page's own link to the index stands.
 */
(function () {
  "use strict";

  const { element, foundParts } = globalThis.faultleaf.found;

  const MOST_SYMPTOMS = 3;
  const MOST_PAGES = 8;
  const MOST_BESIDE = 4;
  const FOUND = 20;
  /** Screen readers are told once typing rests this long, not at every letter. */
  const REST_MS = 400;

  /** The index is built when somebody first types: most pages are read, not searched. */
  const readIndex = (function () {
    let made = null;
    return function () {
      const { search, hearing } = globalThis.faultleaf, data = globalThis.faultleafSearch;
      if (!made && data && data.version === 2) {
        made = { pages: search.build(data.entries), ear: hearing.tune(data), symptoms: data.entries.filter(({ kind }) => kind === "symptom") };
      }
      return made;
    };
  })();

  /** @param {string} text @returns {{heard: Heard, pages: any[], all: SearchEntry[]} | null} */
  function answerTo(text) {
    const index = readIndex();
    if (!index) return null;
    const { search, hearing } = globalThis.faultleaf;
    const heard = hearing.listen(index.ear, text), few = heard.symptoms.length > 0 || heard.dangers.length > 0;
    heard.symptoms = heard.symptoms.slice(0, MOST_SYMPTOMS);
    const pages = heard.elsewhere ? [] : search.find(index.pages, text, FOUND), own = pages.filter(({ entry }) => heard.symptoms.includes(entry) || heard.asked.includes(entry));
    const others = pages.filter((page) => !own.includes(page)).slice(0, few || heard.nothing ? MOST_BESIDE : MOST_PAGES);
    return { heard, pages: [...own, ...others], all: [...new Set([...heard.nearest, ...index.symptoms])] };
  }

  /** @param {number} count @param {string} one @param {string} many @returns {string} */
  function counted(count, one, many) {
    return count === 1 ? `1 ${one}` : `${count} ${many}`;
  }

  /** @param {{heard: Heard, pages: any[]}} answer @returns {string} what is announced */
  function spoken({ heard, pages }) {
    const { dangers, asked, symptoms, chips, nothing, nearest } = heard;
    if (nothing) return `Nothing fits these words. The list of what the site knows follows${nearest.length > 0 ? ", the nearest first" : ""}.`;
    const others = pages.filter(({ entry }) => !symptoms.includes(entry)).length;
    return [
      ...dangers.map(({ danger }) => `Stop. ${danger.title}. ${danger.now}`),
      asked.length > 0 ? `You ask about: ${asked[0].title}.` : "",
      symptoms.length > 0 ? `It sounds like: ${symptoms.map(({ title }) => title).join(", or ")}.` : "",
      chips.length > 0 ? `${counted(chips.length, "more thing", "more things")} heard, to confirm.` : "",
      others > 0 ? `${counted(others, "page", "pages")}.` : "",
    ].filter(Boolean).join(" ");
  }

  /** @param {string} id prefix for the ids of its parts @param {boolean} large */
  function makeParts(id, large) {
    // A whole sentence wants more than one line on a phone.
    const kind = large ? { rows: "2" } : { type: "search" };
    const input = /** @type {HTMLInputElement} */ (element(large ? "textarea" : "input", {
      id, ...kind, class: "fl-search__field", "aria-describedby": `${id}-hint`,
      autocomplete: "off", autocapitalize: "none", spellcheck: "false", enterkeyhint: "go",
      placeholder: large ? "No feeder, and the glass is full every morning" : "Ask or search",
    }));
    const label = element("label", { id: `${id}-label`, for: id, class: large ? "fl-search__label" : "fl-search__unseen" },
      large ? "What is wrong? Say it in your own words" : "Say what is wrong, or search");
    const hint = element("span", { id: `${id}-hint`, class: "fl-search__unseen" },
      "What fits comes as you type. Arrow down leads into it; Enter opens the first.");
    const panel = element("div", { id: `${id}-panel`, class: "fl-search__panel", hidden: "" });
    const status = element("div", { class: "fl-search__unseen", role: "status", "aria-live": "polite" });
    return { input, label, hint, panel, status };
  }

  /** One box: its parts, and what was confirmed in it. */
  class SearchBox {
    /**
     * @param {HTMLElement} root @param {string} id
     * @param {{call?: string | null, shown?: (open: boolean) => void}} [more] `call`: see Place; `shown` is told when finds come and go
     */
    constructor(root, id, { call = null, shown = () => {} } = {}) {
      this.root = root;
      this.large = "large" in root.dataset;
      this.shown = shown;
      this.parts = makeParts(id, this.large);
      this.place = { base: root.dataset.base || "", call, confirmed: new Set(), changed: () => this.again() };
      this.timer = 0;
      const { input, label, hint, panel, status } = this.parts;
      root.classList.add("fl-search");
      root.setAttribute("role", "search");
      root.setAttribute("aria-labelledby", label.id);
      root.replaceChildren(label, input, hint, panel, status);
      this.listen();
    }

    listen() {
      const { input } = this.parts;
      input.addEventListener("input", () => this.show());
      input.addEventListener("focus", () => { if (this.parts.panel.hidden && input.value.trim()) this.show(); });
      this.root.addEventListener("keydown", (event) => this.onKey(event));
      if (this.large) return;
      this.root.addEventListener("focusout", (event) => {
        if (!this.root.contains(/** @type {Node | null} */ (event.relatedTarget))) this.close();
      });
      // A press on what cannot take the focus would close the panel under the finger.
      this.parts.panel.addEventListener("mousedown", (event) => {
        if (!(event.target instanceof Element) || !event.target.closest("a, button")) event.preventDefault();
      });
    }

    /** Fills and opens the panel for what stands in the field. */
    show() {
      const text = this.parts.input.value.trim(), answer = text ? answerTo(text) : null;
      if (!answer) return this.close();
      this.fill(answer);
      return this.announce(spoken(answer));
    }

    /** @param {{heard: Heard, pages: any[], all: SearchEntry[]}} answer */
    fill({ heard, pages, all }) {
      this.parts.panel.replaceChildren(...foundParts(this.place, heard, pages, all));
      this.parts.panel.hidden = false;
      this.shown(true);
    }

    /** A chip was pressed: the same finds, with the focus kept on the chip. */
    again() {
      const held = /** @type {HTMLElement | null} */ (document.activeElement), key = held ? held.dataset.chip : "";
      const answer = answerTo(this.parts.input.value);
      if (answer) this.fill(answer);
      const chips = /** @type {HTMLElement[]} */ ([...this.parts.panel.querySelectorAll("[data-chip]")]);
      const same = chips.find((chip) => chip.dataset.chip === key);
      if (same) same.focus();
    }

    close() {
      this.parts.panel.hidden = true;
      this.shown(false);
      this.announce("");
    }

    /** @param {string} sentence */
    announce(sentence) {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => { this.parts.status.textContent = sentence; }, REST_MS);
    }

    /** @returns {HTMLElement[]} what the arrows lead through: the field, then every link and button below it */
    stops() {
      const { input, panel } = this.parts;
      return panel.hidden ? [input] : [input, .../** @type {HTMLElement[]} */ ([...panel.querySelectorAll("a, button")])];
    }

    /** @param {number} step +1 or -1, round at both ends */
    move(step) {
      if (this.parts.panel.hidden) this.show();
      const stops = this.stops(), at = stops.indexOf(/** @type {HTMLElement} */ (document.activeElement));
      stops[(Math.max(0, at) + step + stops.length) % stops.length].focus();
    }

    /** The first Escape closes the panel, the next empties the field. */
    escape() {
      const wasOpen = !this.parts.panel.hidden;
      this.parts.input.focus();
      if (!wasOpen) this.parts.input.value = "";
      this.close();
    }

    /** Enter in the field opens the first thing found. */
    open() {
      const [, first] = this.stops();
      if (first) first.click();
    }

    /** @param {KeyboardEvent} event */
    onKey(event) {
      const inField = event.target === this.parts.input;
      const act = {
        ArrowDown: () => this.move(1), ArrowUp: () => this.move(-1), Escape: () => this.escape(),
        Enter: inField ? () => this.open() : undefined,
      }[event.key];
      if (!act || event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
      event.preventDefault();
      act();
    }
  }

  /** @param {EventTarget | null} target @returns {boolean} whether letters typed there are text */
  function takesText(target) {
    return target instanceof HTMLElement && (target.isContentEditable || target.matches("input, textarea, select"));
  }

  /** "/" leads to the first box that can be seen. */
  function listenForSlash() {
    document.addEventListener("keydown", (event) => {
      if (event.key !== "/" || event.ctrlKey || event.altKey || event.metaKey || takesText(event.target)) return;
      const fields = /** @type {HTMLInputElement[]} */ ([...document.querySelectorAll(".fl-search__field")]);
      const field = fields.find((each) => each.offsetParent !== null);
      if (!field) return;
      event.preventDefault();
      field.focus();
    });
  }

  function start() {
    const roots = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("#faultleaf-search, .faultleaf-search")]);
    listenForSlash();
    roots.forEach((root, i) => new SearchBox(root, `fl-search-${i}`));
  }

  globalThis.faultleaf.SearchBox = SearchBox;
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
