/* Pieces that several screens show: caution panels, effort, method, whom to call. */

/**
 * @typedef {object} Context what every screen is given
 * @property {any} app
 * @property {Job} job
 * @property {JobState} state of `faultleaf.call.stateOf`
 * @property {View} view of `faultleaf.call.viewOf`
 * @property {any} words
 * @property {Library} library
 * @property {string} base
 * @property {Record<string, string>} ask what the address asks of the screen
 *
 * @typedef {{title: string, kicker?: string, body: Child[], aside?: boolean, trail?: boolean,
 *   bare?: boolean, print?: boolean, stop?: (heading: HTMLElement) => Child[]}} CallScreen
 *   `aside`: below it stand the causes and the trail, `trail`: the trail alone, `bare`: no way to the dangers, `stop`:
 *   what stands in the place of a body while a danger holds
 */

(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold, fromTree, away, alertSign, minutesText, timeText } = callView;
  const SIGNALS = ["danger", "warning", "caution", "notice"];

  /** @param {any} words @param {readonly string[]} ids @returns {string[]} those that the site has, gravest first */
  function inOrder(words, ids) {
    const known = [...new Set(ids)].filter((id) => words.caution(id));
    return known.sort((a, b) => SIGNALS.indexOf(words.caution(a).signal) - SIGNALS.indexOf(words.caution(b).signal));
  }

  /** @param {Context} context @returns {HTMLElement} signal word, sign, hazard, consequence, how to avoid; `brief`: how to avoid alone */
  function cautionPanel({ words, base }, id, brief = false) {
    const { signal, symbol, title, hazard, consequence, avoid, setup, url } = words.caution(id);
    return element("section", { class: `fl-caution fl-caution--${signal}`, "data-caution": id, "data-faultleaf": "caution" },
      element("div", { class: "fl-caution__signal" }, signal !== "notice" && alertSign(), element("strong", {}, signal.toUpperCase()),
        symbol && element("span", { class: "fl-caution__symbol" }, symbol)),
      element("div", { class: "fl-caution__text" },
        element("p", { class: "fl-caution__title" }, away(url, base, title)),
        element("p", {}, !brief && `${hazard} ${consequence} `, element("strong", {}, avoid),
          setup > 0 && element("span", { class: "fl-note" }, ` Making safe takes about ${minutesText(setup)}.`))));
  }

  /** @param {string} signal @returns {HTMLElement} the word in its colours (ANSI Z535) */
  function signalWord(signal) {
    return element("strong", { class: `fl-signal fl-signal--${signal}` }, signal.toUpperCase());
  }

  /** @returns {(Node | string)[]} a caution in a line: its signal word, and how to avoid it; `short`: in a few words */
  function cautionLine({ words }, id, short = false) {
    const { signal, avoid, brief } = words.caution(id);
    return [signalWord(signal), " ", (short && brief) || avoid];
  }

  /** @param {Context} context @returns {Set<string>} cautions that were read, or stood before a step that was done */
  function seenCautions({ state, words }) {
    const done = state.trail.filter(({ takenBack }) => !takenBack).map(({ entry }) => entry.test || entry.repair || "");
    return new Set([...state.safe, ...done.flatMap((step) => words.cautionsOf(step))]);
  }

  /** What stands before a step: a panel for the gravest caution of the act, a line for each other one; shorter where
   * it was read before on this job. */
  function cautionsBefore(context, ids) {
    const [gravest, ...rest] = inOrder(context.words, ids), seen = seenCautions(context);
    if (!gravest) return [];
    return [
      cautionPanel(context, gravest, seen.has(gravest)),
      rest.length > 0 && element("ul", { class: "fl-again", "aria-label": "More cautions for this step" }, ...rest.map((id) =>
        element("li", { "data-caution": id, "data-faultleaf": "caution" }, ...cautionLine(context, id, seen.has(id))))),
    ];
  }

  /** @param {Context} context @returns {string} minutes and who, in a line below a step's title */
  function stepNote({ words }, kind, id) {
    const minutes = words.minutesOf(id), card = words.test(id) || words.repair(id);
    if (kind === "named") return `Ends the call with its cause named · work for: ${words.rank(card.who)}`;
    const wait = card && card.wait > 0 ? `, then a wait of ${minutesText(card.wait)}` : "";
    return [kind === "repair" && "Repair", minutes !== null && `about ${minutesText(minutes)} for this step${wait}`].filter(Boolean).join(" · ");
  }

  /** Who may read a hold in the place of the one who began it, and what waits the same night. @param {Context} context */
  function holds({ app, state, view, words }, id, { wait = 0, who, read_by: reader = who, together = [] }) {
    if (wait === 0) return null;
    const open = new Set(view.steps.map((step) => step.id)), also = together.filter((each) => each !== id && open.has(each) && !state.findings.has(each));
    const owner = reader !== who && !words.may(reader, who) && reader === words.ranks[0];
    if (!owner && also.length === 0) return null;
    return element("section", { class: "fl-holds" },
      owner && element("p", {}, element("strong", {}, "The owner can read this"), " and telephone: show the mark, and say what to look for."),
      also.length > 0 && element("p", {}, element("strong", {}, "Tonight also: "), "they do not disturb each other."),
      also.length > 0 && element("div", { class: "fl-choices" }, ...also.map((each) =>
        button(words.stepTitle(each), () => app.go("", { step: each }), { class: "fl-do--quiet", "data-key": `also-${each}` }))));
  }

  /** @param {Context} context @returns {HTMLElement} minutes, waiting and who, in short pieces */
  function effort({ words, app }, { minutes, wait = 0, wait_from: from = "", who }) {
    const due = wait > 0 && new Date(app.now().getTime() + (minutes + wait) * 60000);
    return element("ul", { class: "fl-effort", "aria-label": "Effort" },
      element("li", {}, `About ${minutesText(minutes)} for this step`),
      wait > 0 && element("li", {}, `then wait ${minutesText(wait)}: begun now, look at ${timeText(due)}`),
      from && element("li", {}, `That wait: ${from}`),
      element("li", {}, `Lowest rank: ${words.rank(who).split(":")[0].toLowerCase()}`));
  }

  /** The whole method. It stands open for whoever may need it and where there is room; what was chosen once stays. */
  function method({ app, state, base }, summary, nodes) {
    if (nodes.length === 0) return null;
    const open = app.methodOpen ?? (["owner", "apprentice"].includes(state.who) || matchMedia("(min-width: 45em)").matches);
    const made = fold(summary, open, element("div", { class: "fl-method" }, ...fromTree(nodes, base)));
    made.addEventListener("toggle", () => { app.methodOpen = /** @type {HTMLDetailsElement} */ (made).open; });
    return made;
  }

  /** @param {string} at @returns {HTMLElement | null} where on the plant a step is done; null for what is not on the drawing */
  function whereItIs(at) {
    const kept = /** @type {HTMLTemplateElement | null} */ (document.getElementById("faultleaf-windows"));
    const window = at && kept && kept.content.querySelector(`[data-at="${at}"]`);
    return window ? fold("Where it is", matchMedia("(min-width: 45em)").matches, window.cloneNode(true)) : null;
  }

  /** @returns {HTMLElement | null} "With you: gauge, wrench." */
  function haveWithYou(lead, items) {
    return items.length > 0 ? element("p", { class: "fl-tools" }, element("strong", {}, `${lead}: `), `${items.join(", ")}.`) : null;
  }

  /** @param {Context} context @returns {HTMLElement | null} the site's telephone, where it has one, with whose it is */
  function phoneLink({ words }, whose) {
    const { telephone } = words.shared.site;
    return telephone ? element("a", { class: "fl-do fl-do--main fl-phone", href: `tel:${telephone.replace(/[^+\d]/g, "")}` }, `Call ${telephone}`,
      element("span", { class: "fl-phone__whose" }, whose)) : null;
  }

  /** @param {Context} context @returns {HTMLElement} whom to call, and the telephone if the site has one */
  function whomToCall(context) {
    const { state, words } = context, { call, firm } = words.shared.site, whom = words.whom(state.who);
    return element("div", { class: "fl-whom" },
      element("p", {}, whom === call ? "Call " : "Give it to ", element("strong", {}, whom), whom === call && firm && ` (${firm})`, "."),
      whom === call && phoneLink(context, firm || call));
  }

  /** @param {string[]} sentences @returns {HTMLElement | null} */
  function reasons(sentences) {
    return sentences.length === 0 ? null : element("p", { class: "fl-why" }, element("strong", {}, "Why now: "), sentences.join(" "));
  }

  Object.assign(callView, {
    inOrder, cautionPanel, signalWord, cautionLine, cautionsBefore, stepNote, holds, effort, method, whereItIs, haveWithYou, phoneLink, whomToCall, reasons,
  });
})();
