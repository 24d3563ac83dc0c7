/* Holds the job that is worked, adds to its log, keeps it, and shows the screen that the address asks for.
 *
 * The address after "#" says which job and which screen, so the back button leads back a screen; what was
 * written down stays written down. `#say=SYMPTOM&has=FEATURE:VALUE,…` begins a call; `&on=VARIANT` stands on printed sheets.
 */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const call = globalThis.faultleaf.call;

  /** Screens that an address may ask for at any time, and those that are for a call which is being worked. */
  const ALWAYS = {
    symptoms: "symptomsScreen", report: "reportScreen", customer: "customerScreen", about: "aboutScreen", danger: "dangerScreen",
  };
  const AT_WORK = { cannot: "cannotScreen", work: "workScreen", noticed: "noticedScreen", others: "othersScreen", "hand-on": "handOnScreen" };
  const PHASES = {
    symptoms: "startScreen", who: "symptomsScreen", stop: "stopScreen", equipment: "fittedScreen", "make-safe": "safeScreen",
    emergency: "emergencyScreen", step: "stepScreen", proof: "proofScreen", name: "stepScreen", "hand-on": "stepScreen",
    named: "endedScreen", "handed-on": "endedScreen", cured: "curedScreen", closed: "closedScreen", "nothing-left": "nothingLeftScreen",
  };
  const WORKED = Object.freeze(["stop", "equipment", "step", "name", "hand-on", "nothing-left"]);

  /** @returns {string} the screen that the address asks for, as far as there is such a one now; else what is due */
  function screenFor({ job, view, state, ask, words }) {
    if (ask.at === "jobs") return "jobsScreen";
    if (!job || state.symptoms.length === 0) return PHASES[view ? view.phase : "symptoms"];
    if (Object.hasOwn(ALWAYS, String(ask.at))) return ALWAYS[ask.at];
    const asked = callView.askedStep({ view, ask }), worked = WORKED.includes(view.phase);
    const ofStep = ["cannot", "work"].includes(ask.at), asks = ask.at !== "work" || callView.askedWork({ words, ask });
    if (worked && ofStep && asked && asks) return AT_WORK[ask.at];
    // Under a stop nothing is entered or offered but what it allows.
    if (worked && view.stops.length === 0 && !ofStep && Object.hasOwn(AT_WORK, String(ask.at))) return AT_WORK[ask.at];
    return worked && asked && !ask.at ? "stepScreen" : PHASES[view.phase];
  }

  /** @returns {Record<string, string>} what stands after "#" */
  function readHash() {
    return Object.fromEntries(new URLSearchParams(location.hash.slice(1)));
  }

  /** @returns {string} an id that no other device gives */
  function newId(now) {
    const bytes = crypto.getRandomValues(new Uint8Array(5));
    return `${now.toISOString().slice(0, 10)}-${[...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("")}`;
  }

  class App {
    /** @param {HTMLElement} root */
    constructor(root) {
      this.root = root;
      this.base = root.dataset.base || "";
      /** Knows every name of the site, but the causes of no symptom. */
      this.names = globalThis.faultleaf.engine.joinLibrary(globalThis.faultleafData.shared, []);
      this.store = call.openStore(call.browserStorage(), this.names);
      /** Jobs of this visit by id: they live on where nothing can be stored. @type {Map<string, any>} */
      this.kept = new Map();
      this.drafts = new Set();
      this.job = null;
      this.message = null;
      /** @type {boolean | null} null: as suits who is at the call */
      this.methodOpen = null;
      this.trailOpen = false;
      this.digits = true;
      this.unsaved = false;
      this.shown = "";
      this.turn = 0;
      /** Between an address and its screen the old one still stands: a press on it would go into another job. */
      this.stale = true;
      this.live = callView.element("p", { class: "fl-unseen", role: "status", "aria-live": "polite" });
      root.before(this.live);
    }

    now() { return new Date(); }

    /** @returns {string} why nothing can be kept, "" where all is well */
    storeTrouble() { return this.store.trouble() || ""; }

    start() {
      addEventListener("hashchange", () => this.route());
      for (const kind of ["click", "change", "keydown"]) this.root.addEventListener(kind, (event) => this.dropLate(event), true);
      document.addEventListener("keydown", (event) => this.onKey(event));
      addEventListener("beforeunload", (event) => { if (this.unsaved && this.store.trouble()) event.preventDefault(); });
      this.route();
    }

    /** @param {Event} event a press that comes after another screen was asked for goes nowhere */
    dropLate(event) {
      if (!this.stale) return;
      event.preventDefault();
      event.stopImmediatePropagation();
    }

    route() {
      const ask = readHash();
      this.job = ask.job ? this.find(ask.job) : null;
      if (ask.say) return this.arrive(ask);
      return this.render();
    }

    /** @param {string} id @returns {any} */
    find(id) { return this.kept.get(id) || this.store.load(id) || null; }

    /** @returns {any[]} every job there is, latest first */
    jobs() {
      const all = new Map(this.store.list().jobs.map((job) => [job.id, job]));
      for (const [id, job] of this.kept) if (!this.drafts.has(id)) all.set(id, job);
      const last = (job) => (job.log.length > 0 ? job.log[job.log.length - 1].at : job.opened);
      return [...all.values()].sort((a, b) => (last(a) < last(b) ? 1 : -1));
    }

    /** @returns {number} kept jobs that cannot be read */
    damaged() { return this.store.list().damaged.length; }

    /** From a symptom's page or a sheet's code: the call begins with what they know. */
    arrive(ask) {
      const { symptoms, equipment } = globalThis.faultleafData["words/shared"], formerly = this.names.formerly.symptoms;
      const symptom = Object.hasOwn(formerly, ask.say) ? formerly[ask.say] : ask.say;
      if (!Object.hasOwn(symptoms, symptom)) return this.home(true);
      const { variants } = symptoms[symptom];
      const printed = ask.on && Object.hasOwn(variants, ask.on) ? Object.entries(variants[ask.on]) : [];
      const pairs = [...printed, ...(ask.has || "").split(",").map((pair) => pair.split(":"))];
      const known = pairs.filter(([feature, value]) => Object.hasOwn(equipment, feature) && Object.hasOwn(equipment[feature].values, value));
      return this.begin(symptom, known, true);
    }

    /** @param {string} symptom @param {string[][]} equipment pairs of feature and value */
    begin(symptom, equipment = [], replace = false) {
      if (!this.job) {
        const { title, fingerprint } = this.names, now = this.now();
        this.job = callView.asBefore(call.newJob({ id: newId(now), at: now.toISOString(), library: { title, fingerprint } }), this.jobs()[0]);
        this.drafts.add(this.job.id);
      }
      this.write([{ what: "symptom", symptom, present: true }, ...equipment.map(([feature, value]) => ({ what: "equipment", feature, value }))]);
      this.go("symptoms", {}, replace);
    }

    /** The draft becomes a job: from here on it is kept. */
    startWork() {
      this.drafts.delete(this.job.id);
      this.keep();
      this.go("");
    }

    write(entries) {
      for (const entry of entries) this.job = call.add(this.job, { at: this.now().toISOString(), ...entry });
      this.keep();
    }

    keep() {
      this.unsaved = true;
      if (!this.drafts.has(this.job.id)) {
        // Where another tab went on with this job, the store keeps both, ours under a new id.
        const { job } = this.store.save(this.job);
        if (job.id !== this.job.id) this.message = ["This job was gone on with in another window. Both are kept; this is a copy of its own now."];
        this.job = job;
      }
      this.kept.set(this.job.id, this.job);
    }

    add(entry) { this.addAll([entry]); }

    /** Writes into the log and goes on with whatever is next. */
    addAll(entries) {
      this.message = null;
      this.write(entries);
      const { at, job, step } = readHash(), stay = at === "symptoms" && job === this.job.id;
      const last = entries[entries.length - 1];
      this.said = last.what === "taken-back" || !this.words ? "Taken back." : `Written down: ${this.words.entry({ ...last })}.`;
      if (stay || (!at && !step && job === this.job.id)) this.render();
      else this.go("", {}, true);
    }

    toggleSymptom(symptom, present) {
      const before = call.standing(this.state, "symptom").filter(({ entry }) => entry.symptom === symptom);
      const same = before.some(({ entry }) => entry.present === present);
      this.addAll([...before.map(({ index }) => ({ what: "taken-back", entry: index })), ...(same ? [] : [{ what: "symptom", symptom, present }])]);
    }

    setWho(rank) { if (this.state.who !== rank) this.add({ what: "who", rank }); }

    forgetEquipment() {
      this.addAll(call.standing(this.state, "equipment").map(({ index }) => ({ what: "taken-back", entry: index })));
    }

    setAbout(about) {
      this.job = call.describe(this.job, about);
      this.keep();
      this.back();
    }

    remove(id) {
      this.kept.delete(id);
      this.store.remove(id);
      if (this.job && this.job.id === id) this.home();
      else this.render();
    }

    saved(job) { if (this.job && job.id === this.job.id) this.unsaved = false; }

    /** @param {File} file */
    async loadFile(file) {
      try {
        const text = await file.slice(0, call.MOST_BYTES + 1).text();
        const { job, changes } = call.readJobFile(text, this.names);
        this.take(job, changes);
      } catch (error) {
        if (!(error instanceof call.JobError)) throw error;
        this.message = [`${file.name} was not loaded: ${error.message}`, "Nothing that is kept here was touched."];
        this.render();
      }
    }

    /** A loaded job; one of the same id that says something else stays beside it. */
    take(job, changes) {
      const there = this.find(job.id), same = !there || JSON.stringify(there.log) === JSON.stringify(job.log);
      this.job = same ? job : { ...job, id: newId(this.now()) };
      this.message = [
        ...(same ? [] : ["A job of the same origin is kept here already and says something else. Both are kept."]),
        ...(changes.length > 0 ? ["Loaded. What changed:", ...changes] : ["Loaded."]),
      ];
      this.keep();
      this.open(this.job.id);
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
      const turn = this.turn += 1, ask = readHash();
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
      const name = screenFor(context), screen = callView[name](context);
      this.show(context, screen, `${name} ${screen.title} ${screen.kicker || ""}`);
    }

    show(context, screen, key) {
      const active = /** @type {HTMLElement | null} */ (document.activeElement), held = active && active.dataset ? active.dataset.key : "";
      const first = this.shown === "", same = this.shown === key;
      this.root.replaceChildren(...callView.framed(context, screen));
      document.title = `${screen.title} - Work the call`;
      // For whoever drives the page: where the call stands, in the library's own names.
      const { view } = context, asks = view && view.phase === "equipment";
      const step = asks ? `equipment.${view.questions[0]}` : view && view.step ? view.step.id : "";
      Object.assign(this.root.dataset, { phase: view ? view.phase : "", step });
      document.documentElement.classList.toggle("fl-printing", Boolean(screen.print));
      this.shown = key;
      this.live.textContent = first ? "" : `${this.said || ""} ${same ? "" : `Now: ${screen.title}.`}`;
      this.said = "";
      if (same) this.holdFocus(held);
      else if (!first) this.toTop();
    }

    toTop() {
      const heading = /** @type {HTMLElement} */ (this.root.querySelector("h1"));
      heading.focus({ preventScroll: true });
      scrollTo(0, Math.max(0, this.root.getBoundingClientRect().top + scrollY - 8));
    }

    /** On the same screen the focus stays where it was, or goes to the next of its kind. */
    holdFocus(key) {
      const all = /** @type {HTMLElement[]} */ ([...this.root.querySelectorAll("[data-key]")]);
      const next = all.find((each) => each.dataset.key === key);
      if (!next) return this.root.querySelector("h1").focus();
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
