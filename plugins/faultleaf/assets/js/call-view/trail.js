/* What was done on this call, each with "Take back": nothing is ever deleted from the record. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold, timeText } = callView;

  /** @returns {any[]} the entries in effect, oldest first */
  function inEffect(state) {
    return state.trail.filter(({ entry, takenBack }) => !takenBack && entry.what !== "taken-back");
  }

  /** @param {Context} context @returns {HTMLElement | null} */
  function trail({ app, state, words }) {
    const shown = state.trail.filter(({ entry }) => entry.what !== "taken-back");
    if (shown.length === 0) return null;
    const items = shown.map(({ index, entry, takenBack, idle }) => element("li", { class: takenBack ? "fl-trail__gone" : "" },
      element("span", { class: "fl-trail__says" }, element("span", { class: "fl-trail__time" }, timeText(entry.at)), " ", words.entry(entry),
        takenBack && element("em", {}, " (taken back)"), !takenBack && idle && element("em", {}, ` (does not count: ${idle})`)),
      !takenBack && button("Take back", () => app.add({ what: "taken-back", entry: index }),
        { class: "fl-do--quiet", "aria-label": `Take back: ${words.entry(entry)}`, "data-key": `back-${index}` })));
    const made = fold(`What was done: ${inEffect(state).length}`, app.trailOpen, element("ol", { class: "fl-trail" }, ...items.reverse()));
    made.addEventListener("toggle", () => { app.trailOpen = /** @type {HTMLDetailsElement} */ (made).open; });
    return made;
  }

  /** The last thing written down, to be taken back at once when a glove hit the wrong button. @param {Context} context */
  function lastDone({ app, state, words }) {
    const last = inEffect(state).filter(({ entry }) => !["who", "safe"].includes(entry.what)).pop();
    if (!last) return null;
    // What was noted or ticked with it stands in the list below.
    const short = { ...last.entry, note: undefined, checked: undefined };
    return element("div", { class: "fl-last" }, element("span", {}, "Written down: ", words.entry(short)),
      button("Take back", () => app.add({ what: "taken-back", entry: last.index }),
        { class: "fl-do--quiet", "aria-label": `Take back: ${words.entry(last.entry)}`, "data-key": "last-back" }));
  }

  Object.assign(callView, { trail, lastDone, inEffect });
})();
