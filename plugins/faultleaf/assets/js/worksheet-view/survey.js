/* The survey's page: keeps the form in this browser, counts the radiators, and names what does not match. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;
  const WORDS = { fits: "Fits", off: "Does not match", perhaps: "May not match", unknown: "Not known" };

  function text(tag, words, kind = "") {
    return Object.assign(document.createElement(tag), { textContent: words, className: kind });
  }

  function linked(words, address) {
    return Object.assign(document.createElement("a"), { textContent: words, href: address });
  }

  function open(root) {
    const survey = globalThis.faultleafData.worksheets.surveys[root.dataset.survey], { base } = root.dataset;
    const boxes = [...root.querySelectorAll("[data-asked] .fl-field")], rows = [...root.querySelectorAll("[data-radiator]")];
    const file = root.querySelector("input[type=file]"), told = root.querySelector(".fl-survey__told");
    const cellsOf = (row) => ["kind", "height", "sections"].map((name) => row.querySelector(`[data-cell="${name}"]`));

    function record() {
      return {
        faultleaf: "survey", survey: root.dataset.survey,
        asks: Object.fromEntries(boxes.map((box) => [box.id.replace("sur-", ""), box.value])),
        radiators: rows.map((row) => cellsOf(row).map((cell) => cell.value)),
      };
    }

    function restore(kept) {
      for (const box of boxes) box.value = kept.asks[box.id.replace("sur-", "")] || "";
      rows.forEach((row, place) => {
        const cells = kept.radiators[place] || ["", "", ""];
        cellsOf(row).forEach((cell, at) => { cell.value = cells[at]; });
        if (cells.some((cell) => cell !== "")) row.removeAttribute("data-more");
      });
    }

    function problem(place, work) {
      const at = place.querySelector(".fl-sum__problem");
      at.textContent = "";
      try {
        return work();
      } catch (error) {
        if (!(error instanceof worksheets.NotRead)) throw error;
        at.textContent = `${error.message}.`;
        return null;
      }
    }

    function line(match) {
      const item = text("div", "", `fl-survey__match fl-survey__match--${match.verdict}`);
      item.append(text("strong", `${WORDS[match.verdict]}: ${match.title}`));
      if (match.value === null) {
        item.append(text("p", match.missing.length > 0 ? `Still wanted: ${match.missing.join("; ")}.` : `${match.reason}.`, "fl-note"));
        return item;
      }
      const { label } = worksheets.unit(match.unit);
      const [low, high] = match.check.fits.map((end) => (end === null ? null : worksheets.plainText(end, 3)));
      const shown = match.give === null ? worksheets.numberText(match.value, match.digits) : worksheets.measuredText(match.value, match.give, match.digits);
      const range = low === null ? `under ${high}` : high === null ? `${low} or more` : `${low} to ${high}`;
      item.append(text("p", `${shown} ${label}; fits at ${range} ${label}.`.replace(/ +/g, " ").replace(/ ([.;])/g, "$1")));
      if (match.assumed.length > 0) item.append(text("p", `Taken as usual: ${match.assumed.join("; ")}.`, "fl-note"));
      if (match.verdict === "fits") return item;
      item.append(text("p", match.check.amiss));
      if (match.check.faults.length > 0) {
        const faults = text("p", "Look at: ");
        match.check.faults.forEach(([title, address], at) => faults.append(at > 0 ? ", " : "", linked(title, base + address)));
        item.append(faults);
      }
      const sheet = text("p", "The sum: ");
      sheet.append(linked(globalThis.faultleafData.worksheets.sheets[match.check.worksheet].title, `${base}worksheets/${match.check.worksheet}.html`));
      item.append(sheet);
      return item;
    }

    function show() {
      const now = record();
      for (const row of rows) problem(row, () => cellsOf(row).some((cell) => cell.value.trim() !== "") && worksheets.rowValue(cellsOf(row).map((cell) => cell.value)));
      for (const asked of survey.asks) {
        const place = root.querySelector(`[data-asked="${asked.id}"]`);
        const found = problem(place, () => worksheets.fieldValue(asked, now.asks));
        if (found && asked.choices.length === 0) place.querySelector(".fl-sum__problem").textContent = worksheets.outsideRange(asked, found);
      }
      const known = worksheets.knownOf(survey, now), total = known.get(survey.radiation);
      const order = ["off", "perhaps", "unknown", "fits"];
      const found = worksheets.matches(survey, known).sort((a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict));
      const says = root.querySelector(".fl-survey__says");
      const edr = total ? `${worksheets.measuredText(total.value, total.give)} ft² EDR in all radiators.` : "No radiator is counted yet.";
      says.replaceChildren(text("p", edr), ...found.map(line));
      const has = survey.asks.filter((asked) => asked.feature && now.asks[asked.id]).map((asked) => `${asked.feature}:${now.asks[asked.id]}`);
      root.querySelector(".fl-survey__calls").replaceChildren(...globalThis.faultleafData.worksheets.symptoms.map(([id, title]) => {
        const item = text("p", "");
        item.append(linked(title, `${base}work-the-call.html#say=${id}${has.length > 0 ? `&has=${has.join(",")}` : ""}`));
        return item;
      }));
    }

    const acts = {
      more() { const next = root.querySelector("[data-more]"); if (next) { next.removeAttribute("data-more"); next.querySelector("select").focus(); } },
      print() { globalThis.print(); },
      blank() {
        document.documentElement.classList.add("fl-blank");
        globalThis.print();
        document.documentElement.classList.remove("fl-blank");
      },
      save() {
        const address = URL.createObjectURL(new Blob([JSON.stringify(record(), null, 1)], { type: "application/json" }));
        Object.assign(document.createElement("a"), { href: address, download: "survey.json" }).click();
        URL.revokeObjectURL(address);
      },
      load() { file.click(); },
      clear() { restore({ asks: {}, radiators: [] }); worksheets.keepSurvey(record()); show(); },
    };
    file.addEventListener("change", async () => {
      const kept = file.files[0] && file.files[0].size < 100000 ? worksheets.readSurvey(await file.files[0].text()) : null;
      told.textContent = kept ? "" : "This file is no survey.";
      if (kept) { restore(kept); worksheets.keepSurvey(record()); show(); }
      file.value = "";
    });
    const kept = worksheets.keptSurvey();
    if (kept) restore(kept);
    for (const kind of ["input", "change"]) root.addEventListener(kind, (event) => {
      if (event.target === file) return;
      worksheets.keepSurvey(record());
      show();
    });
    for (const button of root.querySelectorAll("[data-do]")) button.addEventListener("click", () => acts[button.dataset.do]());
    for (const bar of root.querySelectorAll(".fl-sum__bar")) bar.hidden = false;
    root.querySelector(".fl-sum__plain").hidden = true;
    root.classList.add("fl-ledger--live");
    show();
  }

  const root = document.getElementById("faultleaf-survey");
  if (root) open(root);
})();
