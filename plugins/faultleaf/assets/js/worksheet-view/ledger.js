/* The page of the water ledger: reads the fields, keeps them in this browser, and says what the ledger says. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;
  const KEPT = "faultleaf-ledger", HOUR = 3600;

  const byId = (id) => /** @type {any} */ (document.getElementById(id));
  const has = (name) => globalThis.faultleafData.worksheets.units[name] !== undefined;

  /** The units that may be typed for this one: all that the data have and that measure the same in one family. */
  const FAMILY = {
    in: ["in", "ft", "mm", "cm", "m"], gal: ["gal", "L", "mL", "ft3"], "gal/in": ["gal/in", "L/cm"],
    "gal/h": ["gal/h", "gal/day", "gpm", "L/h", "L/min"], degF: ["degF", "degC"],
    "degF difference": ["degF difference", "degC difference"], h: ["h", "min", "s", "days"], percent: ["percent"],
  };

  function typed(box, give = "") {
    const { unit } = box.dataset;
    return worksheets.readTyped(box.value, unit, FAMILY[unit].filter(has), null, null, give);
  }

  /** @returns {{clock: boolean, seconds: number}} a clock time, or hours on any watch */
  function moment(text) {
    const clock = /^(\d{1,2}):(\d{2})$/.exec(text.trim());
    if (!clock) return { clock: false, seconds: worksheets.readTyped(text, "h", FAMILY.h.filter(has)).value };
    if (Number(clock[1]) > 23 || Number(clock[2]) > 59) throw new worksheets.NotRead(`'${text}' is no time of day`);
    return { clock: true, seconds: Number(clock[1]) * HOUR + Number(clock[2]) * 60 };
  }

  /** @returns {number} s since the first look; a clock goes on past midnight */
  function since(start, at, before) {
    if (at.clock !== start.clock) throw new worksheets.NotRead("write all times as clock times, or all in hours");
    let time = at.seconds - start.seconds;
    while (at.clock && time <= before) time += 24 * HOUR;
    if (time <= before) throw new worksheets.NotRead("this look is not later than the one before");
    return time;
  }

  function readBoiler() {
    const read = (id) => {
      const box = byId(`led-${id}`), problem = byId(`ledp-${id}`);
      problem.textContent = "";
      try {
        const give = byId(`led-${id}-give`), found = typed(box, give ? give.value : "");
        if (found.value < 0 || (found.value === 0 && id !== "away" && id !== "counter")) throw new worksheets.NotRead("this must be above 0");
        return found;
      } catch (error) {
        if (!(error instanceof worksheets.NotRead)) throw error;
        problem.textContent = `${error.message}.`;
        return null;
      }
    };
    const found = Object.fromEntries(["area", "level", "warmth", "content", "away", "counter", "matters"].map((id) => [id, read(id)]));
    if (Object.values(found).some((each) => each === null)) return null;
    const top = globalThis.faultleafData.worksheets.ledger.fastest;
    return {
      area: found.area.value, areaOff: found.area.give, levelOff: found.level.value, temperatureOff: found.warmth.value,
      content: found.content.value, away: found.away.value, counterOff: found.counter.value,
      matters: Math.min(found.matters.value, top / 2), uncounted: byId("led-feeder").value === "live",
    };
  }

  function readLooks(root) {
    const looks = [];
    let start = null, sound = true;
    for (const row of root.querySelectorAll("[data-look]")) {
      const cells = Object.fromEntries([...row.querySelectorAll("[data-cell]")].map((cell) => [cell.dataset.cell, cell]));
      const problem = row.querySelector(".fl-sum__problem"), water = (cell) => (cell.value.trim() === "" ? 0 : typed(cell).value);
      problem.textContent = "";
      if (Object.values(cells).every((cell) => cell.value.trim() === "")) continue;
      try {
        const at = moment(cells.time.value);
        const time = start ? since(start, at, looks[looks.length - 1].time) : 0;
        const look = {
          time, level: typed(cells.at).value, temperature: typed(cells.warm).value,
          counted: water(cells.counted), drained: water(cells.drained),
        };
        start = start || at;
        looks.push(look);
      } catch (error) {
        if (!(error instanceof worksheets.NotRead)) throw error;
        problem.textContent = `${error.message}.`;
        sound = false;
      }
    }
    return sound ? looks : null;
  }

  function gallons(amount) {
    const { fromSi, numberText } = worksheets, show = (value) => numberText(fromSi(value, "gal"), 2);
    return `${show(amount.value)} gal (between ${show(amount.low)} and ${show(amount.high)})`;
  }

  function hours(seconds) {
    return `${worksheets.numberText(seconds / HOUR, 2)} h after the first look`;
  }

  /** @returns {string[]} what the ledger says, line by line */
  function lines(told, length) {
    const found = [];
    const percent = `${Math.min(99, Math.round(100 * told.sure))} of 100`;
    if (told.kind) found.push(`${told.kind.charAt(0).toUpperCase()}${told.kind.slice(1)}: ${percent} boilers that read so.`);
    else {
      found.push(`Cannot be told yet. Likeliest: ${told.likeliest}, ${percent} boilers that read so.`);
      found.push(`Read again ${hours(told.between)}, and stand until ${hours(told.until)}.`);
    }
    if (told.letIn) {
      const rate = worksheets.numberText(worksheets.fromSi(told.letIn.value / length, "gal/h"), 2);
      found.push(`Let in: ${gallons(told.letIn)}, ${rate} gal an hour.`);
    }
    if (told.calledIn) found.push(`Called in, by the counter: ${gallons(told.calledIn)}.`);
    if (told.cameHome) found.push(`Came home: ${gallons(told.cameHome)}.`);
    if (told.lost) found.push(`Lost: ${gallons(told.lost)}.`);
    found.push(`What neither counter nor drain explains: ${gallons(told.over)} of cold water.`);
    return found;
  }

  function open(root) {
    const says = root.querySelector(".fl-ledger__says"), fields = [...root.querySelectorAll(".fl-field")];

    function show() {
      const boiler = readBoiler(), looks = readLooks(root);
      let text = ["Two looks or more are wanted."];
      if (!boiler || !looks) text = ["Something above cannot be read."];
      else if (looks.length > 1) {
        try {
          text = lines(worksheets.readLedger(boiler, looks), looks[looks.length - 1].time);
        } catch (error) {
          if (!(error instanceof globalThis.faultleaf.physics.OutOfRange)) throw error;
          text = [`Cannot be worked out: ${error.message}.`];
        }
      }
      says.replaceChildren(...text.map((line) => Object.assign(document.createElement("p"), { textContent: line })));
    }

    function keep() {
      try {
        localStorage.setItem(KEPT, JSON.stringify(Object.fromEntries(fields.map((field) => [field.id, field.value]))));
      } catch { /* nothing is kept where the browser keeps nothing */ }
    }

    function restore() {
      try {
        const kept = JSON.parse(localStorage.getItem(KEPT) || "{}");
        for (const field of fields) if (typeof kept[field.id] === "string") field.value = kept[field.id];
      } catch { /* what cannot be read is left where it is */ }
      for (const row of root.querySelectorAll("[data-more]")) {
        if ([...row.querySelectorAll("input")].some((cell) => cell.value !== "")) row.removeAttribute("data-more");
      }
    }

    const acts = {
      clear() { for (const cell of root.querySelectorAll("[data-cell]")) cell.value = ""; keep(); show(); },
      more() { const next = root.querySelector("[data-more]"); if (next) { next.removeAttribute("data-more"); next.querySelector("input").focus(); } },
      print() { globalThis.print(); },
      blank() {
        document.documentElement.classList.add("fl-blank");
        globalThis.print();
        document.documentElement.classList.remove("fl-blank");
      },
    };
    restore();
    for (const kind of ["input", "change"]) root.addEventListener(kind, () => { keep(); show(); });
    for (const button of root.querySelectorAll("[data-do]")) button.addEventListener("click", () => acts[button.dataset.do]());
    for (const bar of root.querySelectorAll(".fl-sum__bar")) bar.hidden = false;
    root.querySelector(".fl-sum__plain").hidden = true;
    root.classList.add("fl-ledger--live");
    show();
  }

  const root = document.getElementById("faultleaf-ledger");
  if (root) open(root);
})();
