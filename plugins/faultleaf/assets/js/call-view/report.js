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
        element("td", {}, words.entry(entry), idle && ` (did not count: ${idle})`)))));
  }

  function facts(pairs) {
    const said = pairs.filter(([, value]) => value);
    return said.length > 0 && element("dl", { class: "fl-facts" }, ...said.map(([name, value]) =>
      element("div", {}, element("dt", {}, name), element("dd", {}, value))));
  }

  function letterhead({ words }) {
    const { firm, telephone } = words.shared.site;
    return (firm || telephone) && element("p", { class: "fl-report__firm" }, [firm, telephone].filter(Boolean).join(" · "));
  }

  function printRow(app) {
    return element("div", { class: "fl-row fl-no-print" }, button("Print", () => globalThis.print(), { class: "fl-do--main", "data-key": "print" }),
      button("Back", () => app.back()));
  }

  /** @returns {string} how the call stands */
  function stands({ state, words }) {
    if (state.handedOn) return `Handed on to ${state.handedOn.to}`;
    if (state.waiting) return `Repaired, proof under way: ${words.stepTitle(state.waiting)}`;
    const cured = state.repairs.filter(({ result }) => result === "cured").pop();
    return cured ? `Cured: ${words.stepTitle(cured.repair)}` : "Open";
  }

  /** @param {any} context @returns {any} */
  function reportScreen(context) {
    const { app, job, state, words } = context, { about } = job;
    return {
      title: "Report of a service call", print: true,
      body: [
        printRow(app),
        letterhead(context),
        facts([["Job", about.name || job.id], ["Customer", about.customer], ["Address", about.address], ["Telephone", about.telephone],
          ["Technician", [about.technician, about.licence && `licence ${about.licence}`].filter(Boolean).join(", ")],
          ["Opened", dayText(job.opened)], ["How it stands", stands(context)]]),
        section("The call", rows(words, standing(state, "symptom", "who"))),
        section("What is fitted", state.equipment.size > 0 && element("p", {}, [...state.equipment].map(([feature, value]) => words.value(feature, value)).join("; "))),
        section("Made safe", standing(state, "safe").length > 0 && element("p", {}, standing(state, "safe").map(({ entry }) => (words.caution(entry.caution) || { title: entry.caution }).title).join("; "))),
        section("Findings and readings", rows(words, standing(state, "finding", "cannot", "note"))),
        section("Repair and proof", rows(words, standing(state, "repair", "proved", "handed-on", "closed"))),
        element("p", { class: "fl-note" }, `Worked out with ${job.library.title}, state ${job.library.fingerprint}: a hint for the next look, never proof that a boiler is safe.`),
      ],
    };
  }

  /** @returns {Node[]} what is still to be watched */
  function watch({ state, words }) {
    const last = state.repairs.filter(({ result }) => result !== "still-there").pop(), repair = last && words.repair(last.repair);
    if (!repair) return [];
    const proof = words.proof(repair.proof);
    return [element("p", {}, "Please keep an eye on it as agreed:"),
      element("ul", {}, ...proof.looks.map(([when, see]) => element("li", {}, `${when}: ${see}`))),
      element("p", {}, proof.over > 0 ? `The last look is on ${dayText(callView.dueOf(proof, last.entry.at))}.` : "")];
  }

  /** @returns {Node[]} the gravest cautions of the call, as the cards word them */
  function safety({ state, words }) {
    const ids = callView.inOrder(words, state.symptoms.flatMap((id) => words.symptom(id).make_safe));
    const grave = ids.map((id) => words.caution(id)).filter(({ signal }) => signal === "danger");
    return grave.length === 0 ? [] : [element("p", {}, element("strong", {}, "For your safety")),
      element("ul", {}, ...grave.map(({ hazard, avoid }) => element("li", {}, `${hazard} ${avoid}`)))];
  }

  /** @param {any} context @returns {any} */
  function customerScreen(context) {
    const { app, job, state, words } = context, repairs = state.repairs.map(({ repair, result }) => [words.repair(repair), result]);
    const results = { cured: "It was proved to hold.", "still-there": "It did not cure the trouble." };
    return {
      title: "What was done on your call", print: true,
      body: [
        printRow(app),
        letterhead(context),
        facts([["For", job.about.customer], ["Address", job.about.address], ["Date", dayText(job.opened)], ["By", job.about.technician]]),
        element("p", {}, "You called because of: ", element("strong", {}, state.symptoms.map((id) => words.symptom(id).title).join("; ")), "."),
        repairs.length === 0 ? element("p", {}, `${state.findings.size} ${state.findings.size === 1 ? "thing was" : "things were"} looked at. Nothing was replaced yet.`)
          : element("ul", {}, ...repairs.map(([repair, result]) => element("li", {}, repair ? `${words.faultTitle(repair.fault)}. ${repair.title}. ` : "", results[result] || "Whether it holds is still being looked at."))),
        ...watch(context),
        state.handedOn && element("p", {}, `The call was handed on to ${state.handedOn.to}. They will take it from here.`),
        ...safety(context),
        letterhead(context),
      ],
    };
  }

  Object.assign(callView, { reportScreen, customerScreen });
})();
