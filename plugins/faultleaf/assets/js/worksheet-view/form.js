/* The fields of a worksheet, wherever they stand: what is typed is read at every key, and the results follow. */
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
        const chosen = this.input.choices.find(([words]) => words === this.choice.value);
        if (!chosen) throw new worksheets.NotRead("nothing is chosen");
        return { value: worksheets.toSi(chosen[1], this.input.unit), give: 0 };
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
        const near = this.input.choices.find(([, number]) => Math.abs(worksheets.toSi(number, this.input.unit) - measured.value) < 1e-9);
        if (near) this.choice.value = near[0];
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

  /** @returns {string} a quantity with its ± and its unit, as a record keeps it */
  function quantityText({ value, give }, name) {
    const { label, factor } = worksheets.unit(name), off = give === 0 ? "" : ` ± ${plain(give / factor)}`;
    return `${plain(worksheets.fromSi(value, name))}${off} ${label}`.trim();
  }

  /** A worksheet's fields and results below `root`, alive. */
  class Form {
    /** @param {any} root @param {any} sheet of faultleafData.worksheets @param {(worked: Map<string, any>) => void} [told] each time */
    constructor(root, sheet, told = () => {}) {
      const place = (kind, id) => one(root, `[data-${kind}="${id}"]`);
      this.sheet = sheet;
      this.told = told;
      /** What can be read of the fields now. @type {Map<string, {value: number, give: number}>} */
      this.given = new Map();
      this.entries = sheet.inputs.map((input) => new Entry(place("input", input.id), input));
      this.results = sheet.results.map((result) => ({ result, place: place("result", result.id) }));
      for (const entry of this.entries) {
        if (!entry.units) continue;
        let before = entry.unit;
        entry.units.addEventListener("change", () => { entry.turn(before); before = entry.unit; });
      }
      root.addEventListener("input", () => this.show());
      root.addEventListener("change", () => this.show());
    }

    /** @returns {Map<string, {value: number, give: number}>} what can be read; the rest is said beside its field */
    readAll() {
      const given = new Map();
      for (const entry of this.entries) {
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

    unitOf({ result, place }) {
      const units = place.querySelector("select.fl-sum__unit");
      return units ? units.value : result.unit;
    }

    show() {
      this.given = this.readAll();
      this.worked = worksheets.work(this.sheet, this.given);
      for (const each of this.results) {
        const found = this.worked.get(each.result.id);
        const output = one(each.place, "output");
        output.textContent = resultText(each.result, found, this.unitOf(each));
        output.classList.toggle("fl-sum__none", found.value === null);
        one(each.place, ".fl-sum__unit").hidden = found.value === null;
        one(each.place, ".fl-sum__says").textContent = found.says + (found.also ? ` Within its ± also: ${found.also}` : "");
      }
      this.told(this.worked);
    }

    /** @param {Map<string, {value: number, give: number}>} known by input; the others stay as they are */
    fill(known) {
      for (const entry of this.entries) if (known.has(entry.input.id)) entry.put(known.get(entry.input.id));
      this.show();
    }

    first() {
      for (const entry of this.entries) entry.first();
      this.show();
    }

    empty() {
      for (const entry of this.entries) entry.empty();
      this.show();
    }

    /** @returns {{inputs: Record<string, string>, results: Record<string, string>}} in words with units, for a record */
    texts() {
      const read = this.entries.filter(({ input }) => this.given.has(input.id));
      const found = this.results.filter(({ result }) => this.worked.get(result.id).value !== null);
      const said = ({ choice, input, unit }) => (choice ? choice.value : quantityText(/** @type {any} */ (this.given.get(input.id)), unit));
      const came = (each) => `${resultText(each.result, this.worked.get(each.result.id), this.unitOf(each))} ${worksheets.unit(this.unitOf(each)).label}`;
      return {
        inputs: Object.fromEntries(read.map((entry) => [entry.input.id, said(entry)])),
        results: Object.fromEntries(found.map((each) => [each.result.id, came(each).trim()])),
      };
    }
  }

  Object.assign(worksheets, { Form });
})();
