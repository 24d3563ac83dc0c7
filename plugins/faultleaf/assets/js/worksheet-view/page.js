/* A worksheet's page, come alive: what is typed is read at every key, and the results follow. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;
  const DIGITS_SHOWN = 7;

  const one = (place, selector) => /** @type {any} */ (place.querySelector(selector));
  const has = (place, selector) => place.querySelector(selector) !== null;

  /** A field of the page: its elements, and the value it was last set to without typing. */
  class Entry {
    constructor(place, input) {
      this.input = input;
      this.choice = has(place, ".fl-sum__choice") ? one(place, ".fl-sum__choice") : null;
      this.value = this.choice ? null : one(place, ".fl-sum__value");
      this.give = this.choice ? null : one(place, ".fl-sum__give input");
      this.units = has(place, "select.fl-sum__unit") ? one(place, "select.fl-sum__unit") : null;
      this.problem = one(place, ".fl-sum__problem");
      /** @type {{value: string, give: string, unit: string, measured: {value: number, give: number}} | null} */
      this.kept = null;
    }

    get unit() {
      return this.units ? this.units.value : this.input.unit;
    }

    /** @returns {{value: number, give: number}} raises NotRead */
    read() {
      if (this.choice) {
        const [, number] = this.input.choices[this.choice.selectedIndex];
        return { value: worksheets.toSi(number, this.input.unit), give: 0 };
      }
      const { kept } = this;
      // What a change of unit wrote here is rounded; the value itself was kept.
      if (kept && kept.value === this.value.value && kept.give === this.give.value && kept.unit === this.unit) return kept.measured;
      return this.readIn(this.unit);
    }

    readIn(unit) {
      const own = unit === this.input.unit;
      const bound = (limit) => (limit === null ? null : own ? limit : worksheets.fromSi(worksheets.toSi(limit, this.input.unit), unit));
      return worksheets.readTyped(this.value.value, unit, this.input.units, bound(this.input.least), bound(this.input.most), this.give.value);
    }

    /** Shows the same quantity in the unit just chosen. */
    turn(before) {
      try {
        const { kept } = this;
        const same = kept && kept.value === this.value.value && kept.give === this.give.value && kept.unit === before;
        this.put(same ? kept.measured : this.readIn(before));
      } catch (error) {
        if (!(error instanceof worksheets.NotRead)) throw error;
      }
    }

    /** Shows this value, in the unit that is chosen; the value itself is kept. */
    put(measured) {
      if (this.choice) {
        const at = this.input.choices.findIndex(([, number]) => Math.abs(worksheets.toSi(number, this.input.unit) - measured.value) < 1e-9);
        if (at >= 0) this.choice.selectedIndex = at;
        return;
      }
      this.value.value = plain(worksheets.fromSi(measured.value, this.unit));
      this.give.value = measured.give === 0 ? "" : plain(measured.give / worksheets.unit(this.unit).factor);
      this.kept = { value: this.value.value, give: this.give.value, unit: this.unit, measured };
    }

    first() {
      if (this.choice) {
        for (const option of this.choice.options) option.selected = option.defaultSelected;
        return;
      }
      if (this.units) this.units.value = this.input.unit;
      this.value.value = this.value.dataset.first;
      this.give.value = this.give.dataset.first;
    }

    empty() {
      if (this.value) this.value.value = this.give.value = "";
    }
  }

  function plain(value) {
    return String(Number(value.toPrecision(DIGITS_SHOWN)));
  }

  function resultText(result, worked, unit) {
    if (worked.value === null) return `cannot be worked out: ${worked.reason}`;
    const value = worksheets.fromSi(worked.value, unit);
    if (worked.give === null) return `${worksheets.numberText(value, result.digits)} (± cannot be said)`;
    return worksheets.measuredText(value, worked.give / worksheets.unit(unit).factor, result.digits);
  }

  /** A survey that this browser keeps can fill what it knows of this worksheet. */
  function offerSurvey(root, id, entries, show) {
    const record = worksheets.keptSurvey(), survey = record && globalThis.faultleafData.worksheets.surveys[record.survey];
    const button = one(root, '[data-do="survey"]');
    if (!survey) return;
    const known = worksheets.knownOf(survey, record);
    const asked = (input) => survey.asks.find(({ id: name, fills }) => fills.includes(`${id}.${input.id}`) && known.has(name));
    const filled = entries.filter(({ input }) => asked(input));
    button.hidden = filled.length === 0;
    button.addEventListener("click", () => {
      for (const entry of filled) entry.put(known.get(asked(entry.input).id));
      show();
    });
  }

  function open(root) {
    const sheet = globalThis.faultleafData.worksheets.sheets[root.dataset.worksheet];
    const place = (kind, id) => one(root, `[data-${kind}="${id}"]`);
    const entries = sheet.inputs.map((input) => new Entry(place("input", input.id), input));
    const results = sheet.results.map((result) => ({ result, place: place("result", result.id) }));

    function readAll() {
      const given = new Map();
      for (const entry of entries) {
        try {
          const measured = entry.read();
          given.set(entry.input.id, measured);
          entry.problem.textContent = worksheets.outsideRange(entry.input, measured);
        } catch (error) {
          if (!(error instanceof worksheets.NotRead)) throw error;
          entry.problem.textContent = `${error.message}.`;
        }
        if (entry.value) entry.value.setAttribute("aria-invalid", String(!given.has(entry.input.id)));
      }
      return given;
    }

    function show() {
      const worked = worksheets.work(sheet, readAll());
      for (const { result, place: at } of results) {
        const found = worked.get(result.id), units = at.querySelector("select.fl-sum__unit");
        one(at, "output").textContent = resultText(result, found, units ? units.value : result.unit);
        one(at, ".fl-sum__unit").hidden = found.value === null;
        one(at, ".fl-sum__says").textContent = found.says + (found.also ? ` Within its ± also: ${found.also}` : "");
      }
    }

    const acts = {
      first() { for (const entry of entries) entry.first(); show(); },
      empty() { for (const entry of entries) entry.empty(); show(); },
      print() { globalThis.print(); },
      blank() {
        document.documentElement.classList.add("fl-blank");
        globalThis.print();
        document.documentElement.classList.remove("fl-blank");
      },
    };
    for (const entry of entries) {
      if (!entry.units) continue;
      let before = entry.unit;
      entry.units.addEventListener("change", () => { entry.turn(before); before = entry.unit; });
    }
    root.addEventListener("input", show);
    root.addEventListener("change", show);
    offerSurvey(root, root.dataset.worksheet, entries, show);
    const bar = one(root, ".fl-sum__bar");
    for (const button of bar.querySelectorAll("[data-do]")) if (acts[button.dataset.do]) button.addEventListener("click", acts[button.dataset.do]);
    bar.hidden = false;
    one(root, ".fl-sum__plain").hidden = true;
    show();
  }

  const root = document.getElementById("faultleaf-worksheet");
  if (root) open(root);
})();
