/* The page: holds the job that is worked, adds to its log, and shows the screen that the address asks for. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const call = globalThis.faultleaf.call;

  class App {
    /** @param {HTMLElement} root */
    constructor(root) {
      this.root = root;
      this.base = root.dataset.base || "";
      const names = globalThis.faultleaf.engine.joinLibrary(globalThis.faultleafData.shared, []);
      this.desk = new callView.Desk(names);
      /** @type {Job | null} */
      this.job = null;
      /** Of the screen that is shown. @type {JobState | null} */
      this.state = null;
      /** @type {any} */
      this.words = null;
      /** @type {string[] | null} */
      this.message = null;
      /** @type {boolean | null} null: as suits who is at the call */
      this.methodOpen = null;
      this.trailOpen = false;
      this.digits = true;
      this.said = "";
      this.shown = "";
      this.turn = 0;
      /** Between an address and its screen the old one still stands: a press on it would go into another job. */
      this.stale = true;
      this.live = callView.element("p", { class: "fl-unseen", role: "status", "aria-live": "polite" });
      root.before(this.live);
    }

    now() { return new Date(); }

    start() {
      addEventListener("hashchange", () => this.route());
      for (const kind of ["click", "change", "keydown"]) this.root.addEventListener(kind, (event) => this.dropLate(event), true);
      document.addEventListener("keydown", (event) => this.onKey(event));
      addEventListener("beforeunload", (event) => { if (this.desk.unsaved && this.desk.trouble()) event.preventDefault(); });
      this.route();
    }

    /** @param {Event} event a press that comes after another screen was asked for goes nowhere */
    dropLate(event) {
      if (!this.stale) return;
      event.preventDefault();
      event.stopImmediatePropagation();
    }

    route() {
      const ask = callView.readAddress();
      this.job = ask.job ? this.desk.find(ask.job) : null;
      if (ask.say || ask.found) return this.arrive(ask);
      return this.render();
    }

    arrive(ask) {
      const shared = globalThis.faultleafData["words/shared"], data = globalThis.faultleafSearch;
      const begun = ask.say && callView.arrival(ask, this.desk.names, shared, data ? data.hearing.findings : []);
      if (begun) return this.begin(begun, true);
      const danger = callView.dangerSeen(ask, shared);
      return danger ? this.foundDanger(danger.test, danger.outcome) : this.home(true);
    }

    /** @param {{symptom: string, known?: string[][], found?: string[][]}} begun pairs of feature and value, of test and outcome */
    begin({ symptom, known = [], found = [] }, replace = false) {
      this.atHand();
      this.write([
        { what: "symptom", symptom, present: true },
        ...known.map(([feature, value]) => ({ what: "equipment", feature, value })),
        ...found.map(([test, outcome]) => ({ what: "finding", test, outcome, noticed: true })),
      ]);
      this.go("symptoms", {}, replace);
    }

    /** @returns {Job} the one that is worked; a new one where there is none */
    atHand() {
      const job = this.job || this.desk.begin(this.now());
      this.job = job;
      return job;
    }

    /** A danger seen, on a call or before anybody has said what the boiler does: written down, and kept at once. */
    foundDanger(test, outcome) {
      this.desk.startWork(this.atHand());
      this.add({ what: "finding", test, outcome, noticed: true });
    }

    startWork() {
      this.desk.startWork(this.atHand());
      this.keep();
      this.go("");
    }

    write(entries) {
      for (const entry of entries) this.job = call.add(this.job, { at: this.now().toISOString(), ...entry });
      this.keep();
    }

    keep() {
      const job = this.atHand(), kept = this.desk.keep(job);
      if (kept.id !== job.id) this.message = ["This job was gone on with in another window. Both are kept; this is a copy of its own now."];
      this.job = kept;
    }

    add(entry) { this.addAll([entry]); }

    /** Writes into the log and goes on with whatever is next. */
    addAll(entries) {
      this.message = null;
      this.write(entries);
      const { at, job, step } = callView.readAddress(), here = job === this.atHand().id;
      const stay = at === "symptoms" && here && this.state !== null && this.state.symptoms.length > 0;
      const last = entries[entries.length - 1];
      this.said = last.what === "taken-back" || !this.words ? "Taken back." : `Written down: ${this.words.entry({ ...last })}.`;
      if (stay || (!at && !step && here)) this.render();
      else this.go("", {}, true);
    }

    toggleSymptom(symptom, present) {
      const before = call.standing(this.state, "symptom").filter(({ entry }) => entry.symptom === symptom);
      const same = before.some(({ entry }) => entry.present === present);
      this.addAll([...before.map(({ index }) => ({ what: "taken-back", entry: index })), ...(same ? [] : [{ what: "symptom", symptom, present }])]);
    }

    setWho(rank) { if (!this.state || this.state.who !== rank) this.add({ what: "who", rank }); }

    forgetEquipment() {
      this.addAll(call.standing(this.state, "equipment").map(({ index }) => ({ what: "taken-back", entry: index })));
    }

    setAbout(about) {
      this.job = call.describe(this.job, about);
      this.keep();
      this.back();
    }

    remove(id) {
      this.desk.remove(id);
      if (this.job && this.job.id === id) this.home();
      else this.render();
    }

    saved(job) { if (this.job && job.id === this.job.id) this.desk.unsaved = false; }

    /** @param {File} file */
    async loadFile(file) {
      try {
        const text = await file.slice(0, call.MOST_BYTES + 1).text();
        const { job, changes } = call.readJobFile(text, this.desk.names);
        this.take(job, changes);
      } catch (error) {
        if (!(error instanceof call.JobError)) throw error;
        this.message = [`${file.name} was not loaded: ${error.message}`, "Nothing that is kept here was touched."];
        this.render();
      }
    }

    /** @param {Job} job loaded @param {string[]} changes */
    take(job, changes) {
      const taken = this.job = this.desk.take(job, this.now());
      this.message = [
        ...(taken === job ? [] : ["A job of the same origin is kept here already and says something else. Both are kept."]),
        ...(changes.length > 0 ? ["Loaded. What changed:", ...changes] : ["Loaded."]),
      ];
      this.keep();
      this.open(taken.id);
    }

    open(id) { this.address({ job: id }); }
    home(replace = false) { this.job = null; this.address({}, replace); }
    back() { this.go("", {}, true); }

    /** @param {string} at a screen, "" for what is due @param {Record<string, string>} [more] */
    go(at, more = {}, replace = false) {
      this.address({ ...(this.job ? { job: this.job.id } : {}), ...(at ? { at } : {}), ...more }, replace);
    }

    address(parts, replace = false) {
      this.stale = true;
      const hash = `#${new URLSearchParams(parts)}`;
      if (hash === (location.hash || "#")) this.route();
      else if (replace) location.replace(hash);
      else location.hash = hash;
    }

    async context(ask) {
      const { job, base } = this;
      if (!job) return { app: this, job, base, ask, words: callView.wordsOf([]), state: null, view: null };
      const seen = job.log.filter((entry) => entry.what === "symptom").map((entry) => entry.symptom);
      const { library, words } = await callView.loadSymptoms(seen.filter((id) => Object.hasOwn(globalThis.faultleafData["words/shared"].symptoms, id)), base);
      if (ask.at === "work") await callView.loadWorksheets(base);
      const state = call.stateOf(job, library);
      return { app: this, job, base, ask, words, library, state, view: call.viewOf(job, library, state) };
    }

    /** Shows what the address asks for; the heading takes the focus where the screen is another one. */
    async render() {
      const turn = this.turn += 1, ask = callView.readAddress();
      this.stale = true;
      try {
        const context = await this.context(ask);
        if (turn === this.turn) this.showWhatIsAsked(context);
      } catch (error) {
        if (turn !== this.turn) return;
        this.stale = false;
        this.root.replaceChildren(...callView.brokenParts(this, error));
        throw error;
      }
    }

    showWhatIsAsked(context) {
      Object.assign(this, { words: context.words, state: context.state, stale: false });
      const name = callView.screenFor(context), screen = callView[name](context);
      this.show(context, screen, `${name} ${screen.title} ${screen.kicker || ""}`);
    }

    /** @param {Context} context @param {CallScreen} screen @param {string} key tells it from other screens */
    show(context, screen, key) {
      const active = /** @type {HTMLElement | null} */ (document.activeElement), held = (active && active.dataset.key) || "";
      const first = this.shown === "", same = this.shown === key;
      this.root.replaceChildren(...callView.framed(context, screen));
      document.title = `${screen.title} - Work the call`;
      // For whoever drives the page: where the call stands, in the library's own names.
      const { view } = context, asks = view && view.phase === "equipment";
      const step = asks ? `equipment.${view.questions[0]}` : view && view.step ? view.step.id : "";
      Object.assign(this.root.dataset, { phase: view ? view.phase : "", step });
      document.documentElement.classList.toggle("fl-printing", Boolean(screen.print));
      this.shown = key;
      this.live.textContent = first ? "" : `${this.said} ${same ? "" : `Now: ${screen.title}.`}`;
      this.said = "";
      if (same) this.holdFocus(held);
      else if (!first) this.toTop();
    }

    /** @returns {HTMLElement} */
    heading() { return /** @type {HTMLElement} */ (this.root.querySelector("h1")); }

    toTop() {
      this.heading().focus({ preventScroll: true });
      scrollTo(0, Math.max(0, this.root.getBoundingClientRect().top + scrollY - 8));
    }

    /** @param {string} key on the same screen the focus stays where it was, or goes to the next of its kind */
    holdFocus(key) {
      const all = /** @type {HTMLElement[]} */ ([...this.root.querySelectorAll("[data-key]")]);
      const next = all.find((each) => each.dataset.key === key);
      if (!next) return this.heading().focus();
      next.focus({ preventScroll: true });
      const panel = next.closest(".fl-caution") || next;
      return panel.scrollIntoView({ block: "nearest" });
    }

    /** @param {KeyboardEvent} event a digit presses the answer of that number */
    onKey(event) {
      if (!this.digits || event.ctrlKey || event.altKey || event.metaKey || !/^[1-9]$/.test(event.key)) return;
      if (event.target instanceof HTMLElement && event.target.matches("input, textarea, select")) return;
      const answer = this.root.querySelectorAll(".fl-answers button")[Number(event.key) - 1];
      if (!answer) return;
      event.preventDefault();
      /** @type {HTMLElement} */ (answer).click();
    }
  }

  const root = document.getElementById("faultleaf-call");
  if (root) new App(root).start();
})();
