/* What was seen: outcomes as large numbered buttons, and a field where the outcome is a reading. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button } = callView;
  const NUMBER = /^[+-]?\d+(?:[.,]\d+)?$/;
  const THOUSANDS = /^[+-]?[1-9]\d{0,2},\d{3}$/;

  /**
   * @param {{label: string, act: () => void, quiet?: boolean, key: string, note?: string}[]} choices
   * @returns {HTMLElement} buttons that the digits 1 to 9 press too
   */
  function answers(choices) {
    return element("div", { class: "fl-answers", role: "group", "aria-label": "Answers" }, ...choices.map((choice, place) =>
      button([element("span", { class: "fl-digit", "aria-hidden": "true" }, String(place + 1)),
        element("span", {}, choice.label, choice.note && element("span", { class: "fl-do__note" }, choice.note))],
      choice.act, { class: choice.quiet ? "fl-do--quiet" : "", "data-key": choice.key })),
    element("p", { class: "fl-keys" }, "The keys 1 to 9 press these answers."));
  }

  /**
   * @param {string} text as typed; a comma is a decimal comma
   * @returns {{value: number | null, problem: string}}
   */
  function readNumber(text) {
    const plain = text.replace(/[\s\u00a0\u2009\u202f]/g, "");
    if (plain === "") return { value: null, problem: "" };
    // One meter writes 5,000 for five thousand and another for five: we must not guess.
    if (THOUSANDS.test(plain)) return { value: null, problem: `Write ${plain.replace(",", "")} or ${plain.replace(",", ".")}: the comma can mean either.` };
    if (!NUMBER.test(plain)) return { value: null, problem: "Write a plain number, like 12.5" };
    return { value: Number(plain.replace(",", ".")), problem: "" };
  }

  /**
   * A number with its unit, and the outcome that it means, shown before it is entered.
   * @param {any} test its words @param {any} limits outcome → [low, high) @param {(outcome: string, more: object) => void} enter
   */
  function readingField(test, limits, enter) {
    const { quantity, unit } = test.measures;
    const { input, label } = callView.field("fl-reading", `${quantity[0].toUpperCase()}${quantity.slice(1)}, in ${unit}`, "",
      { inputmode: "decimal", enterkeyhint: "done", "aria-describedby": "fl-reading-says" });
    const says = element("p", { id: "fl-reading-says", class: "fl-reading__says", role: "status" }, "Type what the instrument shows.");
    const read = () => {
      const { value, problem } = readNumber(input.value);
      const outcome = value === null ? null : globalThis.faultleaf.call.outcomeOf(limits, value);
      const outside = value !== null && outcome === null ? "No outcome has this reading. Look at the instrument and its range again." : "";
      return { value, outcome, problem: problem || outside };
    };
    const send = () => {
      const { value, outcome, problem } = read();
      if (outcome !== null) enter(outcome, { reading: value, unit });
      else says.textContent = problem || "Type what the instrument shows.";
    };
    const main = button("Enter this reading", send, { class: "fl-do--main", "data-key": "reading" });
    input.addEventListener("input", () => {
      const { outcome, problem } = read();
      says.textContent = outcome === null ? problem || "Type what the instrument shows." : `That is: ${test.outcomes[outcome]}`;
    });
    input.addEventListener("keydown", (event) => { if (event.key === "Enter") send(); });
    return element("div", { class: "fl-reading" }, label, element("div", { class: "fl-reading__row" }, input, element("span", {}, unit)), says, main);
  }

  /**
   * The answers to a test: its outcomes, for a measurement a reading first.
   * @param {Context} context @param {string} id @param {object} [more] what the finding says besides
   */
  function testAnswers({ app, words }, id, more = {}) {
    const test = words.test(id), numbers = words.numbers.get(id);
    const outcomes = test ? Object.entries(test.outcomes) : numbers.outcomes.map((each, place) => [each, numbers.titles[place]]);
    const enter = (outcome, reading = {}) => app.add({ what: "finding", test: id, outcome, ...reading, ...more });
    const measures = test && test.measures;
    const buttons = answers(outcomes.map(([outcome, title]) => ({
      label: title, act: () => enter(outcome), key: `outcome-${outcome}`,
      note: measures ? callView.limitsText(numbers.limits, outcome, measures.unit) : "",
    })));
    return measures
      ? [readingField(test, numbers.limits, enter), element("p", { class: "fl-or" }, "Or without a number:"), buttons]
      : [buttons];
  }

  Object.assign(callView, { answers, readNumber, testAnswers });
})();
