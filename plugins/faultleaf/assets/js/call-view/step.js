/* One step: cautions, what to do, why now, and the outcomes. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, minutesText, shareText } = callView;
  const MOST_OPENED = 3;

  /** @returns {string[]} why this step, in sentences; `step` is a ScoredStep of engine/rank.js */
  function whySentences({ state, view, words }, step) {
    const sentences = [], { reason, why, kind, id } = step, card = words.test(id);
    const because = state.symptoms.map((symptom) => words.symptom(symptom).first[id]).find(Boolean);
    if (reason === "first" && because) sentences.push(because);
    else if (card && card.why) sentences.push(card.why);
    if (why.apart.length === 2) sentences.push(`It tells “${words.faultTitle(why.apart[0])}” from “${words.faultTitle(why.apart[1])}”.`);
    if (kind === "repair" && why.removes > 0) sentences.push(`It removes what lies behind ${shareText(why.removes)} of such calls, as far as is known now.`);
    if (why.opens.length > 0) {
      const opened = why.opens.slice(0, MOST_OPENED).map((each) => `“${words.stepTitle(each)}”`), more = why.opens.length - opened.length;
      sentences.push(`Needed before: ${opened.join(", ")}${more > 0 ? ` and ${more} more` : ""}.`);
    }
    if (reason === "cheapest") sentences.push(`No other step leads sooner to a proved repair: about ${minutesText(step.expected_minutes)} of work expected from here.`);
    if (reason === "allowed" && view.step) sentences.push(`Takes about ${minutesText(step.expected_minutes - view.step.expected_minutes)} longer on average than the step advised.`);
    return sentences;
  }

  /** What else can be done at a step. */
  function otherWays({ app, view, ask }, step) {
    return element("div", { class: "fl-row fl-ways" },
      step.kind !== "hand-on" && button("Can’t do this here", () => app.go("cannot", { step: step.id }), { "data-key": "cannot" }),
      button("I noticed something else", () => app.go("noticed"), { "data-key": "noticed" }),
      ask.step
        ? button("Back to the step advised", () => app.go(""), { "data-key": "advised" })
        : view.others.length > 0 && button("Do another step instead", () => app.go("others"), { "data-key": "others" }));
  }

  function refusedFirst({ view, words }) {
    const refused = (view.refused || []).map((id) => words.stepTitle(id));
    return refused.length > 0 && element("p", { class: "fl-warn" },
      `Not done here, though it comes first: ${refused.join("; ")}. What leans on it cannot be done either.`);
  }

  /** @returns {any} a question about the equipment, come up as a step */
  function questionScreen(context, step) {
    const feature = step.id.slice("equipment.".length), { asks, how } = context.words.feature(feature);
    return {
      title: asks, kicker: "Next step", aside: true,
      body: [
        how && element("p", { class: "fl-how" }, how),
        callView.featureAnswers(context, feature),
        callView.reasons(whySentences(context, step)),
        otherWays(context, step),
      ],
    };
  }

  /** @param {any} context @param {any} step @returns {any} */
  function testScreen(context, step) {
    const test = context.words.test(step.id);
    if (!test) return { title: context.words.stepTitle(step.id), kicker: "Next step", aside: true,
      body: [...callView.testAnswers(context, step.id), otherWays(context, step)] };
    return {
      title: test.title, kicker: "Next step", aside: true,
      body: [
        callView.misfit(context),
        refusedFirst(context),
        ...callView.cautionsBefore(context, test.cautions),
        element("p", { class: "fl-asks" }, test.asks),
        test.how && element("p", { class: "fl-how" }, test.how),
        callView.effort(context, test),
        callView.haveWithYou("With you", test.tools),
        callView.method(context, "Step by step", test.steps),
        element("h2", { class: "fl-answers-title" }, "What did you find?"),
        ...callView.testAnswers(context, step.id),
        otherWays(context, step),
        callView.reasons(whySentences(context, step)),
        test.tells.length > 0 && callView.fold("What each answer tells", false, ...callView.fromTree(test.tells, context.base)),
      ],
    };
  }

  /** @param {any} context @returns {any} the step advised, or the one that was chosen instead */
  function stepScreen(context) {
    const { view, ask } = context;
    const step = (ask.step && view.others.find(({ id }) => id === ask.step)) || view.step;
    if (step.kind === "repair") return callView.repairScreen(context, step);
    if (step.kind === "hand-on") return callView.handOnScreen(context, step);
    return step.id.startsWith("equipment.") ? questionScreen(context, step) : testScreen(context, step);
  }

  Object.assign(callView, { stepScreen, whySentences, otherWays });
})();
