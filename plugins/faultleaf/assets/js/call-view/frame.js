/* What stands round every screen: its heading, the causes and the trail below, the job's papers. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold } = callView;

  /** @param {Context} context */
  function papers(context) {
    const { app, job } = context;
    return fold("This job: report, names, file, other jobs", false, element("div", { class: "fl-row" },
      button("Report to print", () => app.go("report"), { "data-key": "report" }),
      button("Page for the customer", () => app.go("customer"), { "data-key": "customer" }),
      button("Names and address", () => app.go("about"), { "data-key": "about" }),
      button("Save as a file", () => callView.saveFile(job, app), { "data-key": "save" }),
      button("Symptoms and who is here", () => app.go("symptoms"), { "data-key": "symptoms" }),
      button("All jobs", () => app.go("jobs"), { "data-key": "jobs" }),
      button("A new call", () => app.home(), { "data-key": "new" })),
    callView.noteField(context), digits(context));
  }

  /** WCAG 2.1.4: keys of one character can be switched off. @param {Context} context */
  function digits({ app }) {
    const box = element("input", { type: "checkbox", id: "fl-digits", checked: app.digits, onchange: () => { app.digits = !app.digits; } });
    return element("label", { class: "fl-tick", for: "fl-digits" }, box, element("span", {}, "The keys 1 to 9 press the answers of that number"));
  }

  /** @returns {HTMLElement | null} what was just said of a file or of another window */
  function messageNote({ message }) {
    return message && element("div", { class: "fl-warn", role: "alert" }, ...message.map((line) => element("p", {}, line)));
  }

  /** Where a file of the site is missing, or an entry cannot be followed: nothing of the job is lost. */
  function brokenParts(app, error) {
    const last = app.job && app.job.log.length - 1;
    return [
      element("h1", { tabindex: "-1", id: "fl-call-title" }, "This call cannot be shown"),
      element("div", { class: "fl-warn", role: "alert" }, element("p", {}, error.message),
        element("p", {}, "Nothing that was written down is lost. Work on from the printed sheet, or take the last entry back.")),
      element("div", { class: "fl-row" },
        app.job && button("Save the job as a file", () => callView.saveFile(app.job, app)),
        app.job && last >= 0 && button("Take back the last entry", () => app.add({ what: "taken-back", entry: last })),
        button("Begin a new call", () => app.home())),
    ];
  }

  /** @param {Context} context @param {any} screen @returns {Node[]} */
  function framed(context, screen) {
    const heading = element("h1", { tabindex: "-1", id: "fl-call-title" }, screen.title);
    if (screen.print) return [element("article", { class: "fl-report" }, heading, ...screen.body.filter(Boolean))];
    const below = screen.aside || screen.trail;
    const under = context.job && below && element("div", { class: "fl-call__under" }, ...[
      screen.aside && callView.strip(context), screen.aside && callView.chartMap(context),
      callView.trail(context), papers(context),
    ].filter(Boolean));
    if (screen.stop) return [element("article", { class: "fl-stop" }, ...screen.stop(heading).filter(Boolean)), under];
    return [
      context.job && messageNote(context.app),
      context.job && below && callView.storeNote(context),
      below && callView.lastDone(context),
      screen.kicker && element("p", { class: "fl-kicker" }, screen.kicker),
      heading, element("div", { class: "fl-call__body" }, ...screen.body.filter(Boolean)),
      under,
      !screen.bare && callView.dangerBar(context),
    ].filter(Boolean);
  }

  Object.assign(callView, { framed, messageNote, brokenParts });
})();
