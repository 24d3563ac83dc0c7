/* Two pages to print: the report with readings and notices, and one in plain words for the customer. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, timeText, dayText } = callView;
  const { standing } = globalThis.faultleaf.call;

  function section(title, ...children) {
    const kept = children.filter(Boolean);
    return kept.length > 0 && element("section", {}, element("h2", {}, title), ...kept);
  }

  /** @returns {HTMLElement | false} entries with their times, as rows */
  function rows(words, entries) {
    return entries.length > 0 && element("table", { class: "fl-table fl-report__rows" }, element("tbody", {},
      ...entries.map(({ entry, idle }) => element("tr", {}, element("td", {}, timeText(entry.at)),
        element("td", {}, words.entry(entry), idle && ` (did not count: ${idle})`, entry.worked &&
          element("span", { class: "fl-note fl-worked" }, words.workedText(entry).join(" ")))))));
  }

  function facts(pairs) {
    const said = pairs.filter(([, value]) => value);
    return said.length > 0 && element("dl", { class: "fl-facts" }, ...said.map(([name, value]) =>
      element("div", {}, element("dt", {}, name), element("dd", {}, value))));
  }

  /** @param {Context} context */
  function letterhead({ words }) {
    const { firm, telephone } = words.shared.site;
    return (firm || telephone) && element("p", { class: "fl-report__firm" }, [firm, telephone].filter(Boolean).join(" · "));
  }

  function printRow(app) {
    return element("div", { class: "fl-row fl-no-print" }, button("Print", () => globalThis.print(), { class: "fl-do--main", "data-key": "print" }),
      button("Back", () => app.back()));
  }

  /** @param {Context} context @returns {HTMLElement | false} cautions as they were read, in a few words each: nothing of it was found */
  function cautionsRead({ state, words }) {
    const titles = standing(state, "safe").map(({ entry }) => words.caution(entry.caution) || { title: entry.caution })
      .map(({ brief, title }) => brief || title);
    return titles.length > 0 && element("p", {}, `${titles.join("; ")}.`);
  }

  /** @param {Context} context @returns {any[]} findings that stopped the call */
  function dangersFound({ state, words }) {
    return standing(state, "finding").filter(({ entry, idle }) => !idle && words.danger(entry.test, entry.outcome));
  }

  /** @param {Context} context @returns {CallScreen} */
  function reportScreen(context) {
    const { app, job, state, words } = context, { about } = job;
    return {
      title: "Report of a service call", print: true,
      body: [
        printRow(app),
        letterhead(context),
        facts([["Job", about.name || job.id], ["Customer", about.customer], ["Address", about.address], ["Telephone", about.telephone],
          ["Technician", [about.technician, about.licence && `licence ${about.licence}`].filter(Boolean).join(", ")],
          ["Opened", dayText(job.opened)], ["How it stands", callView.endingText(context)]]),
        section("Stopped for danger", rows(words, dangersFound(context))),
        section("The call", rows(words, standing(state, "symptom", "who"))),
        section("What is fitted", state.equipment.size > 0 && element("p", {}, [...state.equipment].map(([feature, value]) => words.value(feature, value)).join("; "))),
        section("Cautions read", cautionsRead(context)),
        section("Findings and readings", rows(words, standing(state, "finding", "cannot", "note"))),
        section("Repair and proof", rows(words, standing(state, "repair", "proved"))),
        section("How it ended", rows(words, standing(state, "named", "handed-on", "closed"))),
        element("p", { class: "fl-note" }, `Worked out with ${job.library.title}, state ${job.library.fingerprint}: a hint for the next look, never proof that a boiler is safe.`),
      ],
    };
  }

  /** @returns {string} "today", or "on Monday, 2 March 2026" */
  function onDay(app, time) {
    return dayText(time) === dayText(app.now()) ? "today" : `on ${dayText(time)}`;
  }

  /** @param {Context} context @returns {string} what is true of a repair now; nothing is said to hold before its last look was due */
  function stands({ app, words }, { entry, result, proved, repair: id }) {
    const repair = words.repair(id), due = callView.dueOf(words.proof(repair.proof), entry.at);
    const done = `Repaired ${onDay(app, entry.at)}: ${repair.title}.`;
    if (result === "still-there") return `${done} It did not cure the trouble.`;
    if (result === "mended") return `${done} What it shows can be trusted again.`;
    if (result === null) return `${done} The proof runs to ${dayText(due)}.`;
    if (new Date(proved.at) < due) return `${done} It held when it was last looked at, ${dayText(proved.at)}; the proof runs to ${dayText(due)}.`;
    return `${done} It was looked at until ${dayText(proved.at)} and held.`;
  }

  /** @param {Context} context @returns {HTMLElement} what had happened, for the owner, and what was done */
  function repairItem(context, done) {
    const { words } = context, repair = words.repair(done.repair), fault = repair && words.faults[repair.fault];
    if (!repair) return element("li", {}, done.repair);
    const cause = done.result === "still-there" ? "" : (fault.to_owner || `${fault.title}.`);
    return element("li", {}, cause && `${cause} `, stands(context, done));
  }

  /** @param {Context} context @returns {Node[]} what is still to be watched */
  function watch({ app, state, words }) {
    const last = state.repairs.filter(({ result }) => result === null || result === "cured").pop(), repair = last && words.repair(last.repair);
    const due = repair && callView.dueOf(words.proof(repair.proof), last.entry.at);
    if (!repair || due <= app.now()) return [];
    return [element("p", {}, "Please keep an eye on it as agreed:"),
      element("ul", {}, ...words.proof(repair.proof).looks.map(([when, see]) => element("li", {}, `${callView.capital(when)}: ${see}`))),
      element("p", {}, `The last look is on ${dayText(due)}.`)];
  }

  /** @returns {Node[]} the dangers that were found, and the gravest cautions of the call, as the cards word them */
  function safety(context) {
    const { state, words } = context, found = dangersFound(context).map(({ entry }) => words.danger(entry.test, entry.outcome));
    const ids = callView.inOrder(words, [...found.map(({ caution }) => caution), ...state.symptoms.flatMap((id) => words.symptom(id).make_safe)]);
    const grave = ids.map((id) => words.caution(id)).filter(({ signal }) => signal === "danger");
    return [
      found.length > 0 && element("p", {}, element("strong", {}, "Found to be dangerous: "), `${found.map(({ title }) => title).join("; ")}.`),
      grave.length > 0 && element("p", {}, element("strong", {}, "For your safety")),
      grave.length > 0 && element("ul", {}, ...grave.map(({ hazard, avoid }) => element("li", {}, `${hazard} ${avoid}`))),
    ];
  }

  /** @param {Context} context @returns {(Node | false)[]} with whom the call is now */
  function withWhom(context) {
    const { state, words } = context;
    return [
      state.named && element("p", {}, `The cause was found: ${words.faultTitle(state.named.cause)}. The repair (${words.stepTitle(state.named.repair)}) is left to ${state.named.to}.`),
      state.handedOn && element("p", {}, `No cause was named yet. The call was handed on to ${state.handedOn.to}, with what was found.`),
    ];
  }

  /** @param {Context} context @returns {CallScreen} */
  function customerScreen(context) {
    const { app, job, state, words } = context, looked = standing(state, "finding").length;
    return {
      title: "What was done on your call", print: true,
      body: [
        printRow(app),
        letterhead(context),
        facts([["For", job.about.customer], ["Address", job.about.address], ["Date", dayText(job.opened)], ["By", job.about.technician]]),
        state.symptoms.length > 0 && element("p", {}, "You called because of: ", element("strong", {}, state.symptoms.map((id) => words.symptom(id).title).join("; ")), "."),
        state.repairs.length === 0 ? element("p", {}, `${looked} ${looked === 1 ? "thing was" : "things were"} looked at. Nothing was replaced.`)
          : element("ul", {}, ...state.repairs.map((done) => repairItem(context, done))),
        ...watch(context),
        ...withWhom(context),
        ...safety(context),
        letterhead(context),
      ],
    };
  }

  Object.assign(callView, { reportScreen, customerScreen });
})();
