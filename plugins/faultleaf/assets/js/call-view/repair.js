/* The repair with its "prove it before you replace it", and the proof over hours or days. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, minutesText, timeText, dayText } = callView;
  const MINUTE = 60000;

  /** @param {Context} context @returns {HTMLElement} a finding of this call, as a tick that the record has made */
  function seenTick({ state, words }, test, speaks) {
    return element("li", { class: speaks ? "fl-seen" : "fl-seen fl-seen--against" }, speaks ? "✓ " : "✗ ",
      `${words.stepTitle(test)}: ${words.outcome(test, state.findings.get(test))}`);
  }

  /**
   * What was found for the cause and against it, and what could still confirm it, each a step to take.
   * @param {Context} context @param {string} fault @returns {Child[]}
   */
  function evidenceParts(context, fault) {
    const { app, state, view, words } = context, { speaks, against, missing } = globalThis.faultleaf.call.evidenceFor(view, state, fault);
    return [
      speaks.length + against.length > 0 && element("ul", { class: "fl-plain" }, ...speaks.map((test) => seenTick(context, test, true)),
        ...against.map((test) => seenTick(context, test, false))),
      against.length > 0 && element("p", { class: "fl-note" }, "✗ speaks against this cause."),
      missing.length > 0 && element("p", {}, missing.length > 1 ? "Not done yet, and each could prove it:" : "Not done yet, and it could prove it:"),
      missing.length > 0 && element("div", { class: "fl-choices" }, ...missing.map((test) => button([element("strong", {}, words.stepTitle(test)),
        element("span", { class: "fl-do__note" }, callView.stepNote(context, "test", test))], () => app.go("", { step: test }), { "data-key": `prove-${test}` }))),
    ];
  }

  /** @param {Context} context @param {string} fault @returns {HTMLElement | null} the same under a heading of its own */
  function evidence(context, fault) {
    const parts = evidenceParts(context, fault).filter(Boolean);
    return parts.length > 0
      ? element("section", { class: "fl-evidence" }, element("h2", {}, "What was found"), ...parts) : null;
  }

  /**
   * @param {string[]} items lines to tick, kept with the repair @param {Child[]} tests the tests that prove it, found and missing
   * @returns {{node: HTMLElement | null, checked: () => string[], left: () => number}}
   */
  function proveFirst(items, tests) {
    const boxes = items.map((_, place) => /** @type {any} */ (element("input", { type: "checkbox", id: `fl-tick-${place}` })));
    const node = items.length === 0 ? null : element("fieldset", { class: "fl-prove" }, element("legend", {}, "Prove it before you replace it"),
      ...tests, tests.some(Boolean) && element("p", {}, element("strong", {}, "And seen with your own eyes:")),
      ...items.map((item, place) => element("label", { class: "fl-tick", for: `fl-tick-${place}` }, boxes[place], element("span", {}, item))),
      element("p", { class: "fl-note" }, "Tick what you have seen to be so; it goes into the report. One of them is not so? Then do not replace: say what you noticed instead."));
    const checked = () => items.filter((_, place) => boxes[place].checked);
    return { node, checked, left: () => items.length - checked().length };
  }

  /** Two presses where something is not proved: no part is changed by a slip of the finger. @param {Context} context */
  function repairedButton({ app }, id, { checked, left }) {
    const made = button("Repair done: on to its proof", () => {
      if (left() > 0 && !made.dataset.sure) {
        made.dataset.sure = "yes";
        made.textContent = `${left()} not ticked above. Press again if it was repaired all the same`;
        return;
      }
      app.add({ what: "repair", repair: id, checked: checked().length > 0 ? checked() : undefined });
    }, { class: "fl-do--main", "data-key": "repaired" });
    return made;
  }

  /** @param {Context} context @param {ScoredStep} step @returns {CallScreen} */
  function repairScreen(context, step) {
    const { view, words } = context, repair = words.repair(step.id), fault = words.faults[repair.fault];
    const mends = globalThis.faultleaf.call.mendsOnly(view, step.id), tests = mends ? [] : evidenceParts(context, repair.fault);
    const first = proveFirst(repair.prove_first, tests);
    return {
      title: repair.title, kicker: `${mends ? "Mend first" : "Repair of"}: ${fault.title}`, aside: true,
      body: [
        ...callView.stopHolds(context),
        !mends && callView.misfit(context),
        ...callView.cautionsBefore(context, repair.cautions),
        fault.cue && element("p", { class: "fl-how" }, element("strong", {}, "Its sign: "), fault.cue),
        callView.reasons(mends || view.mending ? ["What it shows cannot be trusted, and the rest of the call leans on it."] : callView.whySentences(context, step)),
        callView.effort(context, repair),
        first.node || (!mends && evidence(context, repair.fault)),
        callView.haveWithYou("Parts", repair.parts),
        callView.method(context, "Step by step", repair.steps),
        callView.whereItIs(repair.at),
        element("div", { class: "fl-row" }, repairedButton(context, step.id, first)),
        callView.otherWays(context, step),
        lookAlikes(context, fault),
      ],
    };
  }

  /** @param {Context} context */
  function lookAlikes({ base }, fault) {
    if (fault.look_alikes.length === 0) return null;
    return callView.fold("Look-alikes", false, element("ul", {}, ...fault.look_alikes.map(([title, url, tell]) =>
      element("li", {}, callView.away(url, base, title), `: ${tell}`))));
  }

  function dueOf(proof, repairedAt) {
    return new Date(new Date(repairedAt).getTime() + proof.over * MINUTE);
  }

  /** What the proof showed. Seen to hold before its time is written down as that: it does not end the proof. @param {Context} context */
  function results({ app, state, view }, early, due) {
    const say = (result) => () => app.add({ what: "proved", repair: state.waiting, result });
    if (globalThis.faultleaf.call.mendsOnly(view, state.waiting)) {
      return [button("Mended: on with the call", say("mended"), { class: "fl-do--main", "data-key": "still-there" }),
        button("Mended, and the trouble is gone", say("cured"), { "data-key": "cured" })];
    }
    const holds = button(early ? "It holds so far" : "Cured: it holds", () => {
      if (!early || holds.dataset.sure) return say("cured")();
      holds.dataset.sure = "yes";
      holds.textContent = `The proof runs to ${timeText(due)}. Press again to leave it at that until then`;
      return undefined;
    }, { class: "fl-do--main", "data-key": "cured" });
    return [holds, button("Still there", say("still-there"), { "data-key": "still-there" })];
  }

  /** @param {Context} context @returns {CallScreen} */
  function proofScreen(context) {
    const { app, state, words } = context, repair = words.repair(state.waiting), proof = words.proof(repair.proof);
    const done = state.repairs.findLast((each) => each.repair === state.waiting);
    const at = done ? done.entry.at : app.now().toISOString();
    const due = dueOf(proof, at), early = proof.over > 0 && app.now() < due;
    return {
      title: proof.title, kicker: `Proof of: ${repair.title}`, aside: true,
      body: [
        ...callView.stopHolds(context),
        ...callView.cautionsBefore(context, proof.cautions),
        element("p", { class: "fl-due" }, "Repaired ", element("strong", {}, timeText(at)),
          proof.over > 0 && ". Last look on ", proof.over > 0 && element("strong", {}, element("time", { datetime: due.toISOString() }, dayText(due))), "."),
        element("ol", { class: "fl-looks" }, ...proof.looks.map(([when, see]) =>
          element("li", {}, element("strong", {}, `${callView.capital(when)}: `), see))),
        element("p", {}, element("strong", {}, "It holds when: "), proof.holds_when),
        element("p", { class: "fl-note" }, `About ${minutesText(proof.takes)} of work in all its looks. The job is kept: leave this page and come back for the next look.`),
        callView.method(context, "How to prove it", proof.how),
        callView.noteField(context, "What a look showed"),
        element("div", { class: "fl-row" }, ...results(context, early, due)),
        callView.staysAway(context, repair.fault),
      ],
    };
  }

  Object.assign(callView, { repairScreen, proofScreen, evidence, dueOf });
})();
