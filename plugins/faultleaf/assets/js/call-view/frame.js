/* What stands round every screen: its heading, the causes and the trail below, the job's papers. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, fold } = callView;

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

  /** WCAG 2.1.4: keys of one character can be switched off. */
  function digits({ app }) {
    const box = element("input", { type: "checkbox", id: "fl-digits", checked: app.digits, onchange: () => { app.digits = !app.digits; } });
    return element("label", { class: "fl-tick", for: "fl-digits" }, box, element("span", {}, "The keys 1 to 9 press the answers of that number"));
  }

  /** @param {any} context @param {any} screen @returns {Node[]} */
  function framed(context, screen) {
    const heading = element("h1", { tabindex: "-1", id: "fl-call-title" }, screen.title);
    if (screen.print) return [element("article", { class: "fl-report" }, heading, ...screen.body.filter(Boolean))];
    const below = screen.aside || screen.trail;
    const body = element("div", { class: "fl-call__body" }, ...screen.body.filter(Boolean));
    const under = context.job && [
      screen.aside && callView.strip(context), screen.aside && callView.chartMap(context),
      below && callView.trail(context), below && papers(context),
    ].filter(Boolean);
    return [
      context.job && below && callView.storeNote(context),
      below && callView.lastDone(context),
      screen.kicker && element("p", { class: "fl-kicker" }, screen.kicker),
      heading, body,
      under && under.length > 0 && element("div", { class: "fl-call__under" }, ...under),
    ].filter(Boolean);
  }

  Object.assign(callView, { framed });
})();
