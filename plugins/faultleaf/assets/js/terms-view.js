/* Terms of the trade explained where they stand: the first time a page uses one it can be pressed, and says what it
 * means at the foot of the screen, on press and on focus. The words come from what the search has of the glossary.
 */
(function () {
  "use strict";
  const KINDS = ":is(p, li, dd, td)", NEVER = "a, button, summary, label, h1, h2, h3, svg, .fl-term-note, .fl-caution, .fl-stop, .fl-notice, .fl-thread, .fl-call, .faultleaf-search, .fl-terms";

  /** @returns {Map<string, {title: string, text: string, url: string}>} every name of a term, in small letters */
  function known() {
    const names = new Map(), data = /** @type {any} */ (globalThis).faultleafSearch;
    for (const entry of data ? data.entries : []) {
      if (entry.kind !== "term") continue;
      for (const name of [entry.title, ...entry.also]) names.set(name.toLowerCase(), entry);
    }
    return names;
  }

  /** @returns {RegExp} any of these names as whole words, a plural s allowed, the longest first */
  function anyOf(/** @type {string[]} */ names) {
    const escaped = names.sort((a, b) => b.length - a.length).map((name) => name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
    return new RegExp(`(?<![\\p{L}\\p{N}-])(${escaped.join("|")})(?![\\p{L}\\p{N}-])`, "iu");
  }

  const article = document.querySelector("article"), names = known();
  if (!article || names.size === 0) return;
  const base = document.querySelector("[data-base]");
  const root = base ? base.getAttribute("data-base") || "" : "";
  const pattern = anyOf([...names.keys()]), explained = new Set();

  const note = document.createElement("div");
  note.className = "fl-term-note";
  note.id = "fl-term-note";
  note.setAttribute("role", "status");
  note.hidden = true;
  /** @type {HTMLElement | null} */
  let shownFor = null;

  function hide() {
    note.hidden = true;
    if (shownFor) shownFor.setAttribute("aria-expanded", "false");
    shownFor = null;
  }

  function show(/** @type {HTMLElement} */ button, /** @type {{title: string, text: string, url: string}} */ term) {
    if (shownFor === button) return;
    hide();
    const title = document.createElement("strong"), more = document.createElement("a");
    title.textContent = `${term.title}: `;
    more.href = root + term.url;
    more.textContent = "In the glossary";
    note.replaceChildren(title, term.text, " ", more);
    note.hidden = false;
    button.setAttribute("aria-expanded", "true");
    shownFor = button;
  }

  /** Wrap the first use of each term in this text. */
  function explain(/** @type {Text} */ text) {
    const found = pattern.exec(text.data), term = found && names.get(found[1].toLowerCase());
    if (!found || !term) return;
    const rest = text.splitText(found.index), after = rest.splitText(found[1].length);
    if (!explained.has(term.url)) {
      explained.add(term.url);
      const button = document.createElement("button");
      button.type = "button";
      button.className = "fl-term";
      button.textContent = rest.data;
      button.setAttribute("aria-expanded", "false");
      button.setAttribute("aria-controls", note.id);
      button.addEventListener("click", () => show(button, term));
      button.addEventListener("focus", () => show(button, term));
      rest.replaceWith(button);
    }
    explain(after);
  }

  const walker = document.createTreeWalker(article, NodeFilter.SHOW_TEXT), texts = /** @type {Text[]} */ ([]);
  while (walker.nextNode()) {
    const text = /** @type {Text} */ (walker.currentNode), parent = text.parentElement;
    if (parent && text.data.length > 3 && parent.closest(KINDS) && !parent.closest(NEVER)) texts.push(text);
  }
  texts.forEach(explain);
  if (explained.size === 0) return;
  article.append(note);
  document.addEventListener("keydown", (event) => { if (event.key === "Escape") hide(); });
  document.addEventListener("click", (event) => {
    const at = /** @type {Element} */ (event.target);
    if (!at.closest(".fl-term, .fl-term-note")) hide();
  });
})();
