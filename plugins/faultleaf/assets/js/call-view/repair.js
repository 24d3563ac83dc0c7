/* The repair with its "prove it before you replace it", and the proof over hours or days. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, minutesText, timeText, dayText } = callView;
  const MINUTE = 60000;

  function proveFirst(items) {
    if (items.length === 0) return null;
    return element("fieldset", { class: "fl-prove" }, element("legend", {}, "Prove it before you replace it"),
      ...items.map((item, place) => element("label", { class: "fl-tick", for: `fl-tick-${place}` },
        element("input", { type: "checkbox", id: `fl-tick-${place}` }), element("span", {}, item))),
      element("p", { class: "fl-note" }, "One of them is not so? Then do not replace: say what you noticed instead."));
  }

  /** @param {any} context @param {any} step @returns {any} */
  function repairScreen(context, step) {
    const { app, words } = context, repair = words.repair(step.id), fault = words.faults[repair.fault];
    return {
      title: repair.title, kicker: `Repair of: ${fault.title}`, aside: true,
      body: [
        callView.misfit(context),
        ...callView.cautionsBefore(context, repair.cautions),
        fault.cue && element("p", { class: "fl-how" }, fault.cue),
        proveFirst(repair.prove_first),
        callView.effort(context, repair),
        callView.haveWithYou("Parts", repair.parts),
        callView.method(context, "Step by step", repair.steps),
        element("div", { class: "fl-row" },
          button("Repair done: on to its proof", () => app.add({ what: "repair", repair: step.id }), { class: "fl-do--main", "data-key": "repaired" })),
        callView.otherWays(context, step),
        callView.reasons(callView.whySentences(context, step)),
        lookAlikes(context, fault),
      ],
    };
  }

  function lookAlikes({ base }, fault) {
    if (fault.look_alikes.length === 0) return null;
    return callView.fold("What it is taken for", false, element("ul", {}, ...fault.look_alikes.map(([title, url, tell]) =>
      element("li", {}, callView.away(url, base, title), `: ${tell}`))));
  }

  function dueOf(proof, repairedAt) {
    return new Date(new Date(repairedAt).getTime() + proof.over * MINUTE);
  }

  /** Two presses where the proof has not run its time: a gloved finger must not prove a repair. */
  function curedButton({ app, state }, early, due) {
    const say = () => app.add({ what: "proved", repair: state.waiting, result: "cured" });
    const made = button("Cured: it holds", () => {
      if (!early || made.dataset.sure) return say();
      made.dataset.sure = "yes";
      made.textContent = `The proof runs until ${timeText(due)}. Press again if it is cured all the same`;
      return undefined;
    }, { class: "fl-do--main", "data-key": "cured" });
    return made;
  }

  /** @param {any} context @returns {any} */
  function proofScreen(context) {
    const { app, state, words } = context, repair = words.repair(state.waiting), proof = words.proof(repair.proof);
    const done = state.repairs.findLast((each) => each.repair === state.waiting);
    const due = dueOf(proof, done.entry.at), early = proof.over > 0 && app.now() < due;
    return {
      title: proof.title, kicker: `Proof of: ${repair.title}`, aside: true,
      body: [
        ...callView.cautionsBefore(context, proof.cautions),
        element("p", { class: "fl-due" }, "Repaired ", element("strong", {}, timeText(done.entry.at)),
          proof.over > 0 && ". Last look on ", proof.over > 0 && element("strong", {}, element("time", { datetime: due.toISOString() }, dayText(due))), "."),
        element("ol", { class: "fl-looks" }, ...proof.looks.map(([when, see]) =>
          element("li", {}, element("strong", {}, `${when[0].toUpperCase()}${when.slice(1)}: `), see))),
        element("p", {}, element("strong", {}, "It holds when: "), proof.holds_when),
        element("p", { class: "fl-note" }, `${minutesText(proof.takes)} hands-on in all. The job is kept: leave this page and come back for the next look.`),
        callView.method(context, "How to prove it", proof.how),
        callView.noteField(context, "What a look showed"),
        element("div", { class: "fl-row" }, curedButton(context, early, due),
          button("Still there", () => app.add({ what: "proved", repair: state.waiting, result: "still-there" }), { "data-key": "still-there" })),
        callView.staysAway(context, repair.fault),
      ],
    };
  }

  Object.assign(callView, { repairScreen, proofScreen, dueOf });
})();
