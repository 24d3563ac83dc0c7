/* The start: open jobs to go on with, what is seen (typed or from the list), what else is there, who is at the call. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold } = callView;
  const SAID = 2;

  function byTitle(symptoms) {
    return Object.entries(symptoms).sort(([, a], [, b]) => Number(b.emergency) - Number(a.emergency) || (a.title < b.title ? -1 : 1));
  }

  function symptomButton(app, id, symptom) {
    const says = symptom.said.slice(0, SAID).map((said) => `“${said}”`);
    return button([element("strong", {}, symptom.title), ...says.map((each) => element("span", { class: "fl-do__note" }, each))],
      () => app.begin({ symptom: id }), { class: symptom.emergency ? "fl-do--danger" : "", "data-symptom": id });
  }

  /** The box of the site; its finds begin a call and stand in the place of the list of all. @param {Context} context @param {HTMLElement} list */
  function sayField({ base, job }, list) {
    const root = element("div", { class: "fl-say", "data-base": base, "data-large": true });
    const call = job ? new URLSearchParams({ job: job.id }).toString() : "";
    new globalThis.faultleaf.SearchBox(root, "fl-say", { call, shown: (open) => { list.hidden = open; } });
    return root;
  }

  /** @param {Context} context @returns {CallScreen} */
  function startScreen(context) {
    const { app, job, view, words } = context, jobs = !job && callView.openJobs(context);
    const all = byTitle(words.shared.symptoms).map(([id, symptom]) => symptomButton(app, id, symptom));
    const list = element("section", {}, element("h2", {}, "Or choose"), element("div", { class: "fl-choices" }, ...all));
    return {
      // A danger that was seen began this job: what the boiler does is said only now.
      title: job ? "What does the boiler do?" : "Work the call",
      body: [
        ...(view ? callView.stopHolds(context) : []),
        callView.storeNote(context),
        jobs && element("section", { class: "fl-open-jobs" }, element("h2", {}, "Go on with"), jobs),
        sayField(context, list),
        list,
        !job && element("div", { class: "fl-row" }, button("Load a job from a file", () => app.go("jobs"))),
      ],
    };
  }

  /** @param {Context} context */
  function alsoRow({ app, state, words }, id) {
    const here = state.symptoms.includes(id), gone = state.absent.includes(id);
    const say = (present) => () => app.toggleSymptom(id, present);
    return element("li", { class: "fl-also-row" }, element("span", {}, words.symptom(id).title),
      element("span", { class: "fl-pair-of-buttons" },
        button("Also there", say(true), { "aria-pressed": String(here), "data-key": `there-${id}` }),
        button("Not there", say(false), { "aria-pressed": String(gone), "data-key": `absent-${id}` })));
  }

  /** @param {Context} context */
  function whoChoice({ app, state, words }) {
    const ranks = Object.keys(words.shared.ranks);
    return element("fieldset", { class: "fl-who" }, element("legend", {}, "Who is at the call?"),
      element("p", { class: "fl-note" }, "Say it yourself, each time: steps that ask for more are left out."),
      element("div", { class: "fl-choices fl-choices--pairs" }, ...ranks.map((rank) => button(words.rank(rank), () => app.setWho(rank),
        { "aria-pressed": String(state.who === rank), "data-key": `who-${rank}` }))));
  }

  /** @param {Context} context */
  function fittedSoFar({ app, state, words }) {
    const known = [...state.equipment].map(([feature, value]) => words.value(feature, value));
    if (known.length === 0) return null;
    return fold(`What is fitted: ${known.length} known`, false, callView.list(known),
      element("p", { class: "fl-note" }, "Wrong? Take it back in the list of what was done, and it is asked again."),
      button("Ask all again", () => app.forgetEquipment()));
  }

  /** After the first symptom: who is at the call, and what else is there. @param {Context} context */
  function symptomsScreen(context) {
    const { app, state, words } = context, [entry] = state.symptoms;
    const others = Object.keys(words.shared.symptoms).filter((id) => id !== entry);
    const says = element("p", { class: "fl-status", role: "status" }), who = whoChoice(context);
    const goOn = () => {
      if (state.who !== null) return app.startWork();
      says.textContent = "First say above who is at the call.";
      return who.querySelector("button").focus();
    };
    return {
      title: words.symptom(entry).title,
      kicker: "This call",
      body: [
        ...callView.stopHolds(context),
        who,
        others.length > 0 && fold("Something else too, or looked for and not there?", state.symptoms.length + state.absent.length > 1,
          element("ul", { class: "fl-plain" }, ...others.map((id) => alsoRow(context, id)))),
        fittedSoFar(context),
        says,
        element("div", { class: "fl-row" },
          button("Go on", goOn, { class: "fl-do--main", "data-key": "go-on" }),
          button("Another symptom after all", () => app.home())),
      ],
    };
  }

  Object.assign(callView, { startScreen, symptomsScreen });
})();
