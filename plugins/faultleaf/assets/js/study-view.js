/* Study with a thread: which cards of the reading lists were read, kept in this browser alone, and terms explained
 * where they stand. Without scripts the lists and the glossary are there all the same.
 */
(function () {
  "use strict";
  const KEY = "faultleaf-read";

  /** @returns {Set<string>} the cards ("folder/id") that were ticked; none where nothing can be kept */
  function ticked() {
    try {
      const kept = JSON.parse(localStorage.getItem(KEY) || "[]");
      return new Set(Array.isArray(kept) ? kept.filter((each) => typeof each === "string") : []);
    } catch {
      return new Set();
    }
  }

  /** @param {string} card @param {boolean} read @returns {boolean} whether it could be kept */
  function tick(card, read) {
    const cards = ticked();
    if (read) cards.add(card);
    else cards.delete(card);
    try {
      localStorage.setItem(KEY, JSON.stringify([...cards].sort()));
      return true;
    } catch {
      return false;
    }
  }

  /** @param {string} card @param {string} words @param {(read: boolean) => void} told @returns {HTMLElement} a box to tick */
  function box(card, words, told) {
    const label = document.createElement("label"), input = document.createElement("input"), text = document.createElement("span");
    label.className = "fl-read";
    input.type = "checkbox";
    input.checked = ticked().has(card);
    text.textContent = words;
    input.addEventListener("change", () => {
      if (!tick(card, input.checked)) text.textContent = "This browser keeps nothing.";
      told(input.checked);
    });
    label.append(input, text);
    return label;
  }

  /** How much of a reading list is read, and the first card that is not. */
  function tellList(/** @type {HTMLElement} */ place, /** @type {HTMLElement[]} */ items) {
    const read = ticked(), next = items.find((item) => !read.has(item.dataset.card || ""));
    const done = items.filter((item) => read.has(item.dataset.card || "")).length;
    place.textContent = `${done} of ${items.length} read, ticked in this browser alone. `;
    const link = next && next.querySelector("a");
    if (done > 0 && link) {
      const on = /** @type {HTMLElement} */ (link.cloneNode(true));
      place.append("Go on with: ", on);
    }
    place.hidden = false;
  }

  const place = /** @type {HTMLElement | null} */ (document.querySelector('[data-faultleaf="read-so-far"]'));
  const items = /** @type {HTMLElement[]} */ ([...document.querySelectorAll(".fl-reading > [data-card]")]);
  if (place && items.length > 0) {
    for (const item of items) item.prepend(box(item.dataset.card || "", "read", () => tellList(place, items)));
    tellList(place, items);
  }
  for (const thread of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".fl-thread[data-card]"))) {
    thread.append(box(thread.dataset.card || "", "I have read this card", () => {}));
  }
})();
