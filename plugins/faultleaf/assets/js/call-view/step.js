/* One step: cautions, what to do, why now, and the outcomes. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, shareText } = callView;
  const MOST_OPENED = 3;

  /** @returns {string} what the step tells apart: the first of the likeliest causes with another outcome than the first */
  function parting(words, { id, splits }) {
    const [one, ...more] = splits, other = one && more.find(([, outcome]) => outcome !== one[1]);
    if (!other) return "";
    const said = ([cause, outcome]) => `“${words.faultTitle(cause)}” (${words.outcome(id, outcome)})`;
    return `It parts ${said(one)} from ${said(other)}.`;
  }

  /** @param {Context} context @returns {string[]} why this step, in sentences; `step` is a ScoredStep of engine/rank.js */
  function whySentences({ state, words }, step) {
    const sentences = [], { reason, why, kind, id } = step, card = words.test(id);
    const because = state.symptoms.map((symptom) => words.symptom(symptom).first[id]).find(Boolean);
    if (reason === "first" && because) sentences.push(because);
    else if (card && card.why) sentences.push(card.why);
    if (kind === "test") sentences.push(parting(words, step));
    if (kind === "repair" && why.removes > 0) sentences.push(`As far as is known now, ${shareText(why.removes)} of such calls end with this repair.`);
    if (why.opens.length > 0) {
      const opened = why.opens.slice(0, MOST_OPENED).map((each) => `“${words.stepTitle(each)}”`), more = why.opens.length - opened.length;
      sentences.push(`Needed before: ${opened.join(", ")}${more > 0 ? ` and ${more} more` : ""}.`);
    }
    return sentences.filter(Boolean);
  }

  /** What else can be done at a step; under a stop nothing but what it allows. @param {Context} context */
  function otherWays({ app, view, ask }, step) {
    const free = view.stops.length === 0;
    return element("div", { class: "fl-row fl-ways" },
      ["test", "repair"].includes(step.kind) && button("Can’t do this here", () => app.go("cannot", { step: step.id }), { "data-key": "cannot" }),
      free && button("I noticed something else", () => app.go("noticed"), { "data-key": "noticed" }),
      free && (ask.step
        ? button("Back to the step advised", () => app.go(""), { "data-key": "advised" })
        : view.others.length > 0 && button("Do another step instead", () => app.go("others"), { "data-key": "others" })));
  }

  /** @param {Context} context */
  function refusedFirst({ view, words }) {
    const refused = (view.refused || []).map((id) => words.stepTitle(id));
    return refused.length > 0 && element("p", { class: "fl-warn" },
      `Not done here, though it comes first: ${refused.join("; ")}. What leans on it cannot be done either.`);
  }

  /** @param {Context} context @returns {CallScreen} a question about the equipment, come up as a step */
  function questionScreen(context, step) {
    const feature = step.id.slice("equipment.".length), { asks, how } = context.words.feature(feature);
    return {
      title: asks, kicker: "Next step", aside: true,
      body: [
        how && element("p", { class: "fl-how" }, how),
        callView.reasons(whySentences(context, step)),
        callView.featureAnswers(context, feature),
        otherWays(context, step),
      ],
    };
  }

  /** @param {Context} context @param {ScoredStep} step @returns {CallScreen} */
  function testScreen(context, step) {
    const test = context.words.test(step.id);
    if (!test) return { title: context.words.stepTitle(step.id), kicker: "Next step", aside: true,
      body: [...callView.testAnswers(context, step.id), otherWays(context, step)] };
    return {
      title: test.title, kicker: "Next step", aside: true,
      body: [
        ...callView.stopHolds(context),
        callView.misfit(context),
        refusedFirst(context),
        ...callView.cautionsBefore(context, test.cautions),
        element("p", { class: "fl-asks" }, test.asks),
        test.how && element("p", { class: "fl-how" }, test.how),
        callView.reasons(whySentences(context, step)),
        callView.effort(context, test),
        callView.holds(context, step.id, test),
        callView.haveWithYou("With you", test.tools),
        callView.method(context, "Step by step", test.steps),
        callView.whereItIs(test.at),
        element("h2", { class: "fl-answers-title" }, "What did you find?"),
        callView.workWays(context, step.id, test),
        ...callView.testAnswers(context, step.id),
        otherWays(context, step),
        test.tells.length > 0 && callView.fold("What each answer tells", false, ...callView.fromTree(test.tells, context.base)),
      ],
    };
  }

  const SCREEN_OF = Object.freeze({ repair: "repairScreen", named: "nameScreen", "hand-on": "handOnScreen" });

  /** @param {Context} context @returns {any | null} the step that is asked for, where it may be done now */
  function askedStep({ view, ask }) {
    return (ask.step && view.steps.find(({ id }) => id === ask.step)) || null;
  }

  /** @param {Context} context @returns {CallScreen} the step advised, or the one that was chosen instead */
  function stepScreen(context) {
    const step = askedStep(context) || context.view.step;
    if (step.kind !== "test") return callView[SCREEN_OF[step.kind]](context, step);
    return step.id.startsWith("equipment.") ? questionScreen(context, step) : testScreen(context, step);
  }

  Object.assign(callView, { stepScreen, askedStep, whySentences, otherWays });
})();
