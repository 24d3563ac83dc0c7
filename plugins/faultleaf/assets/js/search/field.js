/* The search field and its list, as an ARIA combobox with a listbox under it.
 *
 * A page offers <div id="faultleaf-search" data-base="../"></div> (`data-base` leads to the
 * site's root; `data-large` asks for the home page's big field); a second field on a page is
 * <div class="faultleaf-search" …>. Everything inside is built here with DOM methods, so no
 * word of a card is ever read as markup. Without scripts the page's own link to the index
 * stands. Needs search-core.js and search-data.js.
 */
(function () {
  "use strict";

  const MOST_RESULTS = 10;
  /** Screen readers are told the count once typing rests this long, not at every letter. */
  const REST_MS = 250;
  const INDEX_PAGE = "index-of-troubles.html";
  const KIND_WORDS = Object.freeze({ reading: "reading list", chart: "flowchart" });
  const WHY_WORDS = Object.freeze({
    said: "Callers say", also: "Also called", shows: "Shows", parts: "Part", text: "",
  });

  /** The index is built when somebody first types: most pages are read, not searched. */
  const readIndex = (function () {
    let index = null;
    return function () {
      const data = globalThis.faultleafSearch;
      index = index || globalThis.faultleaf.search.build(data && data.version === 1 ? data.entries : []);
      return index;
    };
  })();

  /**
   * @param {string} tag
   * @param {Record<string, string>} attributes
   * @param {(Node | string)[]} children
   * @returns {HTMLElement}
   */
  function element(tag, attributes, ...children) {
    const made = document.createElement(tag);
    Object.entries(attributes).forEach(([name, value]) => made.setAttribute(name, value));
    made.append(...children);
    return made;
  }

  /** @param {{text: string, hit: boolean}[]} pieces @returns {(Node | string)[]} */
  function withMarks(pieces) {
    return pieces.map((piece) => (piece.hit ? element("mark", {}, piece.text) : piece.text));
  }

  /** @param {string} base @param {string} url @returns {string} an address that cannot be a scheme */
  function address(base, url) {
    return (base || "./") + url;
  }

  /** @returns {HTMLElement} one result: kind, title, and why it was found */
  function resultOption(found, base, id) {
    const kind = element("span", { class: "fl-search__kind" }, KIND_WORDS[found.entry.kind] || found.entry.kind);
    const title = element("span", { class: "fl-search__title" }, ...withMarks(found.title));
    const option = element("a", {
      id, role: "option", "aria-selected": "false", tabindex: "-1",
      class: "fl-search__result", href: address(base, found.entry.url),
    }, kind, " ", title);
    if (found.why) {
      const lead = WHY_WORDS[found.why.field] ? WHY_WORDS[found.why.field] + ": " : "";
      option.append(" ", element("span", { class: "fl-search__why" }, lead, ...withMarks(found.why.pieces)));
    }
    return option;
  }

  /** @returns {HTMLElement} what stands where no result does: the way to the whole index */
  function nothingNote(base) {
    return element("p", { class: "fl-search__nothing", hidden: "" },
      "Nothing found. Try fewer or other words, or look through the ",
      element("a", { href: address(base, INDEX_PAGE) }, "troubleshooting index"), ".");
  }

  /** @param {number} count @returns {string} what is announced */
  function countWords(count) {
    if (count === 0) return "No results. The troubleshooting index is the next link.";
    return count === 1 ? "1 result." : `${count} results, nearest first.`;
  }

  /**
   * The parts of one field, not yet on the page.
   * @param {string} id prefix for the ids of its parts
   * @param {boolean} large @param {string} base
   */
  function makeParts(id, large, base) {
    const input = /** @type {HTMLInputElement} */ (element("input", {
      id, type: "search", role: "combobox", class: "fl-search__field",
      "aria-expanded": "false", "aria-controls": `${id}-list`, "aria-autocomplete": "list", "aria-describedby": `${id}-hint`,
      autocomplete: "off", autocapitalize: "none", spellcheck: "false", enterkeyhint: "go",
      placeholder: large ? "Water comes out of the vents" : "Search",
    }));
    const label = element("label", { id: `${id}-label`, for: id, class: large ? "fl-search__label" : "fl-search__unseen" },
      large ? "What do you see, hear or get told?" : "Search faults, tests and what callers say");
    const hint = element("span", { id: `${id}-hint`, class: "fl-search__unseen" },
      "Results come as you type. Choose with the arrow keys; Enter opens the chosen or the nearest.");
    const list = element("div", { id: `${id}-list`, role: "listbox", class: "fl-search__list", "aria-label": "Results", hidden: "" });
    const nothing = nothingNote(base);
    const panel = element("div", { class: "fl-search__panel", hidden: "" }, list, nothing);
    const status = element("div", { class: "fl-search__unseen", role: "status", "aria-live": "polite" });
    return { input, label, hint, list, nothing, panel, status };
  }

  /** One search field: its parts, and which result is chosen. */
  class SearchField {
    /** @param {HTMLElement} root @param {string} id */
    constructor(root, id) {
      this.root = root;
      this.base = root.dataset.base || "";
      this.parts = makeParts(id, "large" in root.dataset, this.base);
      this.chosen = -1;
      this.timer = 0;
      const { input, label, hint, panel, status } = this.parts;
      root.classList.add("fl-search");
      root.setAttribute("role", "search");
      root.setAttribute("aria-labelledby", label.id);
      root.replaceChildren(label, input, hint, panel, status);
      this.listen();
    }

    listen() {
      const { input, list } = this.parts;
      input.addEventListener("input", () => this.show());
      input.addEventListener("focus", () => { if (input.value.trim()) this.show(); });
      input.addEventListener("keydown", (event) => this.onKey(event));
      // A press on a result must not take the focus first: the list would close under it.
      list.addEventListener("mousedown", (event) => event.preventDefault());
      this.root.addEventListener("focusout", (event) => {
        if (!this.root.contains(/** @type {Node | null} */ (event.relatedTarget))) this.close();
      });
    }

    options() {
      return /** @type {HTMLElement[]} */ ([...this.parts.list.children]);
    }

    /** Fills and opens the list for what stands in the field. */
    show() {
      const { input, list, nothing, panel } = this.parts;
      const text = input.value.trim();
      if (!text) return this.close();
      const found = globalThis.faultleaf.search.find(readIndex(), text, MOST_RESULTS);
      list.replaceChildren(...found.map((each, i) => resultOption(each, this.base, `${input.id}-${i}`)));
      list.hidden = found.length === 0;
      nothing.hidden = found.length > 0;
      panel.hidden = false;
      input.setAttribute("aria-expanded", String(found.length > 0));
      this.choose(-1);
      this.announce(countWords(found.length));
    }

    close() {
      const { input, panel } = this.parts;
      panel.hidden = true;
      input.setAttribute("aria-expanded", "false");
      this.choose(-1);
      this.announce("");
    }

    /** @param {string} sentence */
    announce(sentence) {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => { this.parts.status.textContent = sentence; }, REST_MS);
    }

    /** @param {number} place of a result, or -1 for the field itself */
    choose(place) {
      const { input } = this.parts;
      const options = this.options();
      options.forEach((option, i) => option.setAttribute("aria-selected", String(i === place)));
      this.chosen = place;
      if (place < 0) return input.removeAttribute("aria-activedescendant");
      input.setAttribute("aria-activedescendant", options[place].id);
      options[place].scrollIntoView({ block: "nearest" });
    }

    /** @param {number} step +1 or -1; past either end lies the field itself */
    move(step) {
      if (this.parts.panel.hidden) this.show();
      const places = this.options().length + 1;
      if (!this.parts.panel.hidden) this.choose(((this.chosen + 1 + step + places) % places) - 1);
    }

    /** Opens the chosen result, or the nearest where none is chosen. */
    open() {
      const option = this.options()[Math.max(0, this.chosen)];
      if (option && !this.parts.panel.hidden) option.click();
    }

    /** The first Escape closes the list, the next empties the field. */
    escape() {
      if (this.parts.panel.hidden) this.parts.input.value = "";
      this.close();
    }

    /** @param {KeyboardEvent} event */
    onKey(event) {
      const act = {
        ArrowDown: () => this.move(1), ArrowUp: () => this.move(-1),
        Enter: () => this.open(), Escape: () => this.escape(),
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

  /** @param {SearchField[]} fields "/" leads to the first of them that can be seen */
  function listenForSlash(fields) {
    document.addEventListener("keydown", (event) => {
      if (event.key !== "/" || event.ctrlKey || event.altKey || event.metaKey || takesText(event.target)) return;
      const field = fields.find(({ parts }) => parts.input.offsetParent !== null);
      if (!field) return;
      event.preventDefault();
      field.parts.input.focus();
    });
  }

  function start() {
    const roots = /** @type {HTMLElement[]} */ ([...document.querySelectorAll("#faultleaf-search, .faultleaf-search")]);
    listenForSlash(roots.map((root, i) => new SearchField(root, `fl-search-${i}`)));
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
