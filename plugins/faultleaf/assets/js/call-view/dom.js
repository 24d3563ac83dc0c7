/* Elements made with DOM methods: no word of a card or of a job is ever read as markup. */

/**
 * @typedef {Node | string | null | false | undefined} Child what is empty is left out
 * @typedef {Record<string, string | boolean | ((event: Event) => void)>} Attributes `onclick` and the like are
 *   listeners; true writes the bare attribute, false and "" leave it out
 */

(function () {
  "use strict";

  const SVG = "http://www.w3.org/2000/svg";
  /** The tags that a card's text may use; export/trees.py holds the same list. */
  const TAGS = new Set(("a blockquote br code em h3 h4 h5 h6 hr kbd li ol p pre strong sub sup table tbody td th thead tr ul").split(" "));

  /** @param {Element} made @param {Attributes} attributes */
  function dress(made, attributes) {
    for (const [name, value] of Object.entries(attributes)) {
      if (typeof value === "function") made.addEventListener(name.slice(2), value);
      else if (value === true) made.setAttribute(name, "");
      else if (value !== false && value !== "") made.setAttribute(name, value);
    }
  }

  /** @param {string} tag @param {Attributes} attributes @param {Child[]} children @returns {HTMLElement} */
  function element(tag, attributes, ...children) {
    const made = document.createElement(tag);
    dress(made, attributes);
    made.append(.../** @type {(Node | string)[]} */ (children.filter(Boolean)));
    return made;
  }

  /** @returns {SVGElement} */
  function drawn(tag, attributes, ...children) {
    const made = document.createElementNS(SVG, tag);
    dress(made, attributes);
    made.append(...children);
    return made;
  }

  /** @param {string} address from the site's root, or http, https, mailto @param {string} base */
  function linkTarget(address, base) {
    return /^(https?|mailto):/i.test(address) ? address : (base || "./") + address;
  }

  /**
   * A card's text, as export/trees.py wrote it. Its links open beside the call, so that none ends it.
   * @param {any[]} nodes @param {string} base the way to the site's root
   * @returns {(Node | string)[]}
   */
  function fromTree(nodes, base) {
    return nodes.map((node) => {
      if (typeof node === "string") return node;
      const [tag, ...rest] = node;
      if (!TAGS.has(tag)) return element("span", {}, ...fromTree(rest, base));
      if (tag !== "a") return element(tag, {}, ...fromTree(rest, base));
      return away(rest[0], base, ...fromTree(rest.slice(1), base));
    });
  }

  /** @returns {HTMLElement} a link that opens beside the call */
  function away(address, base, ...children) {
    return element("a", { href: linkTarget(address, base), target: "_blank", rel: "noopener noreferrer" }, ...children);
  }

  /**
   * @param {Child | Child[]} label @param {() => void} act
   * @param {Attributes} [more] its `class` comes beside our own
   * @returns {HTMLButtonElement}
   */
  function button(label, act, more = {}) {
    const { class: kind = "", ...rest } = more;
    const made = element("button", { type: "button", class: `fl-do ${kind}`.trim(), onclick: act, ...rest }, ...[label].flat());
    return /** @type {HTMLButtonElement} */ (made);
  }

  /** @param {string} summary @param {boolean} open @returns {HTMLElement} */
  function fold(summary, open, ...children) {
    return element("details", { class: "fl-fold", open }, element("summary", {}, summary), ...children);
  }

  /** @param {HTMLElement[]} items large buttons @param {number} shown those in sight; the others are folded */
  function choices(items, shown = items.length) {
    const rest = items.slice(shown);
    return element("div", { class: "fl-choices" }, ...items.slice(0, shown),
      rest.length > 0 && fold(`${rest.length} more`, false, element("div", { class: "fl-choices" }, ...rest)));
  }

  /** @param {string[] | readonly string[]} items @returns {HTMLElement} */
  function list(items, kind = "ul", attributes = {}) {
    return element(kind, attributes, ...items.map((item) => element("li", {}, item)));
  }

  /** @param {string} label @param {string} value @param {Attributes} [attributes] @returns {{label: HTMLElement, input: any}} */
  function field(id, label, value, attributes = {}, tag = "input") {
    const input = element(tag, { id, class: "fl-field", autocomplete: "off", ...attributes });
    /** @type {any} */ (input).value = value;
    return { input, label: element("label", { for: id, class: "fl-label" }, label) };
  }

  /** @param {number} share 0 to 1 @returns {SVGElement} a thin bar beside words that say the same */
  function bar(share) {
    const box = { x: "0", y: "0", height: "6" };
    return drawn("svg", { class: "fl-bar", viewBox: "0 0 100 6", preserveAspectRatio: "none", "aria-hidden": "true", focusable: "false" },
      drawn("rect", { class: "fl-bar__all", width: "100", ...box }),
      drawn("rect", { class: "fl-bar__share", width: (100 * share).toFixed(1), ...box }));
  }

  /** @returns {SVGElement} the safety alert sign of ANSI Z535 */
  function alertSign() {
    return drawn("svg", { class: "fl-sign", viewBox: "0 0 24 22", "aria-hidden": "true", focusable: "false" },
      drawn("path", { d: "M12 1.5 23 20.5H1Z", fill: "none", stroke: "currentColor", "stroke-width": "2", "stroke-linejoin": "round" }),
      drawn("path", { d: "M12 7.5v6.5", stroke: "currentColor", "stroke-width": "2.4", "stroke-linecap": "round" }),
      drawn("circle", { cx: "12", cy: "17.2", r: "1.4", fill: "currentColor" }));
  }

  globalThis.faultleaf.callView = { element, drawn, fromTree, away, button, fold, choices, list, field, bar, alertSign };
})();
