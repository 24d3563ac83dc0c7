/* A danger was found: the STOP, which is all that stands on the screen but what it still allows; and the list of
 * what means danger, in reach at every step (model, rule 16). */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold, alertSign } = callView;

  const SHOWN = 3;

  /** @returns {string[]} each thing to do by itself; what begins with a condition stays whole */
  function acts(text) {
    const sentences = text.split(/(?<=[.!?;])\s+/).filter(Boolean);
    const parts = sentences.flatMap((each) => (/^(?:if|when|where|unless|as|once|before|after|with)\b/i.test(each) ? [each] : each.split(/,\s+(?:and\s+)?/)));
    return parts.map((each) => callView.capital(each.replace(/[.;,]$/, "")));
  }

  /** @param {Context} context @returns {HTMLElement} what was found, signal word and the caution's text in full, large */
  function danger({ state, words, base }, { test, outcome, caution: id }, title) {
    const { signal, title: name, hazard, consequence, avoid, url } = words.caution(id);
    const foundWords = words.danger(test, outcome);
    return element("section", { class: "fl-stop__danger", "data-caution": id, "data-faultleaf": "caution" },
      element("p", { class: "fl-stop__signal" }, signal !== "notice" && alertSign(), element("strong", {}, signal.toUpperCase())),
      title || element("p", { class: "fl-stop__title" }, name),
      element("p", { class: "fl-stop__found" }, element("strong", {}, "Found: "), foundWords ? foundWords.title : words.outcome(test, outcome)),
      element("p", { class: "fl-stop__now" }, "Do this now"),
      element("ul", { class: "fl-stop__do" }, ...acts(avoid).filter((each) => !words.callsOwn(each, state.who)).map((each) => element("li", {}, each))),
      element("p", {}, `${hazard} ${consequence} `, callView.away(url, base, "The whole caution")));
  }

  /** @param {Context} context @returns {string[]} whom to call, once each, in words for who is at the call */
  function calls({ state, words }, stops) {
    return [...new Set(stops.map(({ call }) => words.callFor(call, state.who)))].filter(Boolean);
  }

  /** @param {Context} context @returns {HTMLElement} */
  function whom(context, stops) {
    const { state, words } = context, { firm, call } = words.shared.site;
    const own = words.isTop(state.who) && stops.every((stop) => stop.call.startsWith(call));
    return element("section", { class: "fl-stop__call" }, element("h2", {}, own ? "Whose this is" : "Call"),
      ...calls(context, stops).map((each) => element("p", { class: "fl-stop__whom" }, each)),
      !own && callView.phoneLink(context, firm || call));
  }

  /** Nobody has said yet what the boiler does: what may still be done depends on it. */
  function sayFirst(app) {
    return element("section", { class: "fl-stop__only" }, element("h2", {}, "Once that is done"),
      button([element("strong", {}, "Say what the boiler does"), element("span", { class: "fl-do__note" }, "The STOP stays. It then says what may still be done, and by whom.")],
        () => app.go("symptoms"), { "data-key": "say-first" }));
  }

  /** @param {Context} context @returns {HTMLElement} what the stop allows: nothing else is offered anywhere */
  function allowed(context) {
    const { app, state, view, words } = context, steps = view.steps.filter(({ kind }) => kind !== "hand-on");
    if (state.symptoms.length === 0) return sayFirst(app);
    if (steps.length === 0) return element("p", { class: "fl-stop__only" }, "Nothing else may be done on this call.");
    return element("section", { class: "fl-stop__only" }, element("h2", {}, "Only this may still be done"),
      callView.choices(steps.map(({ id, kind }) => button([element("strong", {}, words.stepTitle(id)),
        element("span", { class: "fl-do__note" }, callView.stepNote(context, kind, id))], () => app.go("", { step: id }), { "data-key": `allowed-${id}` })), SHOWN));
  }

  /** @param {Context} context @returns {HTMLElement | null} for a finger on the wrong button */
  function mistaken({ app, state, view }) {
    const last = state.trail.findLast(({ entry, takenBack, idle }) => !takenBack && !idle && entry.what === "finding"
      && view.stops.some(({ test, outcome }) => test === entry.test && outcome === entry.outcome));
    return last ? fold("Entered by mistake?", false, element("p", {}, "Take it back only if nobody saw it."),
      button("Take it back", () => app.add({ what: "taken-back", entry: last.index }), { "data-key": "stop-back" })) : null;
  }

  /** @param {Context} context */
  function ordered({ words }, stops) {
    const ids = callView.inOrder(words, stops.map(({ caution }) => caution));
    return ids.map((id) => stops.find(({ caution }) => caution === id));
  }

  /** @param {Context} context @returns {CallScreen} the whole height of a telephone, and no word of causes */
  function stopScreen(context) {
    const { app, state, view, words } = context, [first, ...rest] = ordered(context, view.stops);
    const to = words.calledTo(first.call, state.who);
    return {
      title: words.caution(first.caution).title, trail: true, body: [],
      stop: (heading) => [
        element("p", { class: "fl-stop__word" }, "STOP"),
        danger(context, first, heading), ...rest.map((stop) => danger(context, stop, null)),
        whom(context, view.stops),
        allowed(context),
        element("div", { class: "fl-row" }, button("Handed on: they know. The call ends", () => app.add({ what: "handed-on", to }), { class: "fl-do--main", "data-key": "handed-on" })),
        mistaken(context),
      ],
    };
  }

  /** @param {Context} context @returns {(HTMLElement | null)[]} above a step that the stop allows, and above an end: it still holds */
  function stopHolds(context) {
    const { app, view, words } = context;
    return ordered(context, view.stops).map(({ caution: id }) => element("section", { class: "fl-stop-holds", role: "note", "data-caution": id },
      element("p", {}, element("strong", {}, `STOP still holds: ${words.caution(id).title}.`), ` ${words.caution(id).avoid}`),
      view.phase === "stop" && button("Back to the STOP", () => app.go(""), { class: "fl-do--quiet" })));
  }

  /** @param {Context} context @returns {any[]} what means danger and can be on this equipment, gravest first; before a call all of it */
  function dangersHere({ library, state, words }) {
    const fitted = ({ test }) => !state || globalThis.faultleaf.call.canBeHere(library, state, test);
    const shown = words.shared.dangers.filter(fitted), order = callView.inOrder(words, shown.map(({ caution }) => caution));
    return [...shown].sort((a, b) => order.indexOf(a.caution) - order.indexOf(b.caution));
  }

  /** @param {Context} context @returns {CallScreen} what is chosen here is found, and stops the call */
  function dangerScreen(context) {
    const { app, words } = context;
    return {
      title: "Danger seen?", kicker: "At any moment", bare: true,
      body: [
        element("p", {}, "Press what you see, hear or smell. It is written down, and the call stops with what to do now. Not sure? Press it: it can be taken back."),
        element("div", { class: "fl-choices" }, ...dangersHere(context).map(({ test, outcome, title, asks, caution }) =>
          button([element("span", { class: "fl-danger__what" }, callView.signalWord(words.caution(caution).signal), " ", title),
            element("span", { class: "fl-do__note" }, asks)],
          () => app.foundDanger(test, outcome), { class: "fl-do--danger", "data-key": `danger-${test}-${outcome}` }))),
        button("None of these: back", () => app.back(), { "data-key": "no-danger" }),
      ],
    };
  }

  /** @param {Context} context @returns {HTMLElement | null} at the foot of every screen, the first one too */
  function dangerBar(context) {
    const { app } = context;
    if (dangersHere(context).length === 0) return null;
    return element("div", { class: "fl-danger-bar" },
      button([alertSign(), element("span", {}, "Danger seen?")], () => app.go("danger"), { class: "fl-do--danger", "data-key": "danger" }));
  }

  Object.assign(callView, { stopScreen, stopHolds, dangerScreen, dangerBar });
})();
