/* A worksheet within the call: its fields, what its result means, and one press that takes it as found. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button } = callView;
  const NONE = "-";

  /** @returns {HTMLElement | false} the way to each worksheet that works this test out */
  function workWays({ app }, id, { works_out: ways }) {
    return ways.length > 0 && element("div", { class: "fl-row fl-work-ways" }, ...ways.map(({ worksheet, title }) =>
      button(`Work it out: ${title}`, () => app.go("work", { step: id, with: worksheet }), { "data-key": `work-${worksheet}` })));
  }

  /** @returns {any} how the worksheet that the address asks for works out the test that it asks for; undefined for none */
  function askedWork({ words, ask }) {
    const test = words.test(ask.step);
    return test && test.works_out.find(({ worksheet }) => worksheet === ask.with);
  }

  function unitField(title, { unit, units }) {
    const { label } = globalThis.faultleaf.worksheets.unit(unit);
    if (units.length < 2) return element("span", { class: "fl-sum__unit" }, label);
    const made = element("select", { class: "fl-field fl-sum__unit", "aria-label": `${title}: unit` }, ...units.map((each) =>
      element("option", { value: each, selected: each === unit }, globalThis.faultleaf.worksheets.unit(each).label)));
    return made;
  }

  /** @returns {any[]} the field of an input, at first with what the test's card gives */
  function valueFields(input, first) {
    const id = `in-${input.id}`, about = `where-${input.id} problem-${input.id}`;
    if (input.choices.length > 0) {
      // Its value differs from every choice, so that it is read as none.
      const none = first === "" && element("option", { value: NONE, selected: true }, "Choose");
      return [element("select", { class: "fl-field fl-sum__choice", id, "aria-describedby": about }, none, ...input.choices.map(([words]) =>
        element("option", { selected: words === first }, words)))];
    }
    const [value = "", give = ""] = first.split("±").map((part) => part.trim());
    const box = (kind, text, more) => element("input", { class: `fl-field ${kind}`.trim(), type: "text", autocomplete: "off", value: text, "data-first": text, ...more });
    return [
      box("fl-sum__value", value, { id, "aria-describedby": about }),
      element("span", { class: "fl-sum__give" }, "±", box("", give, { "aria-label": `${input.title}: may be off by` })),
      unitField(input.title, input),
    ];
  }

  /** @returns {string} what stands in a field at first: nothing where it is read at this test */
  function firstOf(input, { reads, given }) {
    if (reads.includes(input.id)) return "";
    return Object.hasOwn(given, input.id) ? given[input.id] : input.usual || "";
  }

  function inputRow(input, first) {
    return element("div", { class: "fl-sum__input", "data-input": input.id },
      element("div", { class: "fl-sum__name" }, element("label", { for: `in-${input.id}` }, input.title)),
      element("div", { class: "fl-sum__row" }, ...valueFields(input, first)),
      element("p", { class: "fl-note", id: `where-${input.id}` }, `${input.where}.`),
      element("p", { class: "fl-sum__problem", id: `problem-${input.id}`, "aria-live": "polite" }));
  }

  function resultRow(result) {
    return element("div", { class: "fl-sum__result", "data-result": result.id },
      element("p", { class: "fl-sum__title" }, result.title),
      element("p", { class: "fl-sum__out" }, element("output", { "aria-label": result.title }), unitField(result.title, result)),
      element("p", { class: "fl-sum__says", "aria-live": "polite" }));
  }

  /** @returns {any[]} inputs, those first that are read at this test */
  function inReadingOrder(sheet, { reads }) {
    return [...sheet.inputs.filter(({ id }) => reads.includes(id)), ...sheet.inputs.filter(({ id }) => !reads.includes(id))];
  }

  /** @returns {HTMLElement} everything of the worksheet that is put in and comes out */
  function sheetFields(sheet, one) {
    return element("div", { class: "fl-sum" },
      element("section", { "aria-labelledby": "fl-put-in" }, element("h2", { id: "fl-put-in" }, "What you put in"), ...inReadingOrder(sheet, one).map((input) => inputRow(input, firstOf(input, one)))),
      element("section", { "aria-labelledby": "fl-comes-out" }, element("h2", { id: "fl-comes-out" }, "What comes out"), ...sheet.results.map(resultRow)));
  }

  /** @returns {HTMLElement | false} in a few words each: they stood at the step itself */
  function cautionsAgain(context, ids) {
    const known = callView.inOrder(context.words, ids);
    return known.length > 0 && element("ul", { class: "fl-again", "aria-label": "Cautions" }, ...known.map((id) =>
      element("li", { "data-caution": id, "data-faultleaf": "caution" }, ...callView.cautionLine(context, id, true))));
  }

  /** @param {any} context @returns {any} */
  function workScreen(context) {
    const { app, words, ask, base } = context, { worksheets } = globalThis.faultleaf;
    const test = words.test(ask.step), one = askedWork(context), sheet = globalThis.faultleafData.worksheets.sheets[one.worksheet];
    const fields = sheetFields(sheet, one), surveyed = worksheets.surveyFor(one.worksheet);
    const means = element("p", { class: "fl-work-means", role: "status" });
    let decided = { outcome: null, by: null };
    const form = new worksheets.Form(fields, sheet, (worked) => {
      const now = decided = worksheets.decide(one.decides, sheet, worked), also = now.also ? ` Within its ± it may also be: ${test.outcomes[now.also]}. Measure again before you take it.` : "";
      means.textContent = now.outcome ? `That means: ${test.outcomes[now.outcome]}.${also}` : `Not decided yet: ${now.reason}.`;
      take.disabled = !now.outcome;
      take.textContent = now.outcome ? `Take it as found: ${test.outcomes[now.outcome]}` : "Take it as found";
    });
    const enter = () => app.add({ what: "finding", test: ask.step, outcome: decided.outcome, worked: { worksheet: one.worksheet, by: decided.by, ...form.texts() } });
    const take = button("Take it as found", enter, { class: "fl-do--main", "data-key": "take" });
    form.fill(surveyed);
    return {
      title: one.title, kicker: `Work it out: ${test.title}`,
      body: [
        element("p", { class: "fl-asks" }, one.answers),
        cautionsAgain(context, [...test.cautions, ...one.cautions]),
        surveyed.size > 0 && element("p", { class: "fl-note" }, `From the survey kept here: ${sheet.inputs.filter(({ id }) => surveyed.has(id)).map(({ title }) => title).join("; ")}.`),
        fields,
        means,
        element("p", { class: "fl-note" }, "A result is a hint for the next look, never proof that a boiler is safe."),
        element("div", { class: "fl-row" }, take, button("Back to the step", () => app.go("", { step: ask.step }), { "data-key": "step" })),
        element("p", {}, callView.away(one.url, base, "The worksheet’s own page, to print with blanks")),
      ],
    };
  }

  Object.assign(callView, { workWays, askedWork, workScreen });
})();
