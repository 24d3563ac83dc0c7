/* Pieces that several screens show: caution panels, effort, method, whom to call. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, fold, fromTree, away, alertSign, minutesText, timeText } = callView;
  const SIGNALS = ["danger", "warning", "caution", "notice"];

  /**
   * @typedef {object} Context what every screen is given
   * @property {any} app
   * @property {any} job
   * @property {any} state of `faultleaf.call.stateOf`
   * @property {any} view of `faultleaf.call.view`
   * @property {any} words
   * @property {any} library
   * @property {string} base
   * @property {Record<string, string>} ask what the address asks of the screen
   *
   * @typedef {{title: string, kicker?: string, body: (Node | string | false | null)[], aside?: boolean}} Screen
   *   `aside`: below it stand the causes and the trail
   */

  /** @param {any} words @param {readonly string[]} ids @returns {string[]} those that the site has, gravest first */
  function inOrder(words, ids) {
    const known = [...new Set(ids)].filter((id) => words.caution(id));
    return known.sort((a, b) => SIGNALS.indexOf(words.caution(a).signal) - SIGNALS.indexOf(words.caution(b).signal));
  }

  /** @returns {HTMLElement} signal word, sign, hazard, consequence, how to avoid; then whatever belongs to it */
  function cautionPanel({ words, base }, id, ...more) {
    const { signal, symbol, title, hazard, consequence, avoid, setup, url } = words.caution(id);
    return element("section", { class: `fl-caution fl-caution--${signal}`, "data-caution": id, "data-faultleaf": "caution" },
      element("div", { class: "fl-caution__signal" }, signal !== "notice" && alertSign(), element("strong", {}, signal.toUpperCase()),
        symbol && element("span", { class: "fl-caution__symbol" }, symbol)),
      element("div", { class: "fl-caution__text" },
        element("p", { class: "fl-caution__title" }, away(url, base, title)),
        element("p", {}, `${hazard} ${consequence} `, element("strong", {}, avoid),
          setup > 0 && element("span", { class: "fl-note" }, ` Making safe takes about ${minutesText(setup)}.`)),
        ...more));
  }

  /** @returns {Set<string>} cautions that were acknowledged, or stood before a step that was done */
  function seenCautions({ state, words }) {
    const done = state.trail.filter(({ takenBack }) => !takenBack).map(({ entry }) => entry.test || entry.repair || "");
    return new Set([...state.safe, ...done.flatMap((step) => words.cautionsOf(step))]);
  }

  /** What stands before a step: a panel for each caution that is new on this job, a line for each seen before. */
  function cautionsBefore(context, ids) {
    const { words } = context, seen = seenCautions(context), ordered = inOrder(words, ids);
    const lines = ordered.filter((id) => seen.has(id)).map((id) => {
      const { signal, avoid } = words.caution(id);
      return element("li", { "data-caution": id, "data-faultleaf": "caution" },
        element("strong", { class: `fl-signal fl-signal--${signal}` }, signal.toUpperCase()), " ", avoid);
    });
    return [
      ...ordered.filter((id) => !seen.has(id)).map((id) => cautionPanel(context, id)),
      lines.length > 0 && element("ul", { class: "fl-again", "aria-label": "Cautions seen before" }, ...lines),
    ];
  }

  /** @returns {HTMLElement} minutes, waiting and who, in short pieces */
  function effort({ words, app }, { takes, wait = 0, who }) {
    const due = wait > 0 && new Date(app.now().getTime() + (takes + wait) * 60000);
    return element("ul", { class: "fl-effort", "aria-label": "Effort" },
      element("li", {}, `${minutesText(takes)} hands-on`),
      wait > 0 && element("li", {}, `then wait ${minutesText(wait)}: begun now, look at ${timeText(due)}`),
      element("li", {}, `Lowest rank: ${words.rank(who)}`));
  }

  /** The whole method. It stands open for whoever may need it and where there is room; what was chosen once stays. */
  function method({ app, state, base }, summary, nodes) {
    if (nodes.length === 0) return null;
    const open = app.methodOpen ?? (["owner", "apprentice"].includes(state.who) || matchMedia("(min-width: 45em)").matches);
    const made = fold(summary, open, element("div", { class: "fl-method" }, ...fromTree(nodes, base)));
    made.addEventListener("toggle", () => { app.methodOpen = /** @type {HTMLDetailsElement} */ (made).open; });
    return made;
  }

  /** @returns {HTMLElement | null} "With you: gauge, wrench." */
  function haveWithYou(lead, items) {
    return items.length > 0 ? element("p", { class: "fl-tools" }, element("strong", {}, `${lead}: `), `${items.join(", ")}.`) : null;
  }

  /** @returns {HTMLElement} whom to call, and the telephone if the site has one */
  function whomToCall({ words }) {
    const { call, firm, telephone } = words.shared.site;
    return element("div", { class: "fl-whom" },
      element("p", {}, "Call ", element("strong", {}, call), firm && ` (${firm})`, "."),
      telephone && element("a", { class: "fl-do fl-do--main fl-phone", href: `tel:${telephone.replace(/[^+\d]/g, "")}` }, `Call ${telephone}`));
  }

  /** @param {string[]} sentences @returns {HTMLElement | null} */
  function reasons(sentences) {
    return sentences.length === 0 ? null : element("section", { class: "fl-why", "aria-label": "Why this now" },
      element("h2", {}, "Why this now"), callView.list(sentences));
  }

  Object.assign(callView, {
    inOrder, cautionPanel, cautionsBefore, effort, method, haveWithYou, whomToCall, reasons,
  });
})();
