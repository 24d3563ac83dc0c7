/* The jobs on this device: go on, save as a file, load from a file, delete with a second press. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button, timeText } = callView;
  const MOST_AT_START = 4;

  /** @returns {string} what a job is called: its name, its first symptom, or the danger that was seen before any */
  function jobTitle(job, words) {
    const first = job.log.find((entry) => entry.what === "symptom" && entry.present);
    if (job.about.name || job.about.customer || first) return job.about.name || job.about.customer || words.symptom(first.symptom).title;
    const danger = job.log.map(({ test, outcome }) => words.danger(test, outcome)).find(Boolean);
    return danger ? `Danger seen: ${danger.title}` : "Without a symptom";
  }

  /** @returns {boolean} whether closing it was the last thing done, notes aside */
  function isClosed(job) {
    const gone = globalThis.faultleaf.call.takenBack(job.log);
    const done = job.log.filter(({ what }, place) => !gone.has(place) && what !== "note" && what !== "taken-back");
    return done.length > 0 && done[done.length - 1].what === "closed";
  }

  /** @param {Context} context */
  function jobButton({ app, words }, job) {
    const last = job.log.length > 0 ? job.log[job.log.length - 1].at : job.opened;
    return button([element("strong", {}, jobTitle(job, words)),
      element("span", { class: "fl-do__note" }, `${isClosed(job) ? "Closed" : "Open"} · last entry ${timeText(last)}`)],
    () => app.open(job.id), { "data-job": job.id });
  }

  /** @param {Context} context @returns {HTMLElement | null} the open jobs, latest first */
  function openJobs(context) {
    const open = context.app.desk.jobs().filter((job) => !isClosed(job));
    if (open.length === 0) return null;
    return element("div", { class: "fl-choices" }, ...open.slice(0, MOST_AT_START).map((job) => jobButton(context, job)),
      open.length > MOST_AT_START && button(`All ${open.length} open jobs`, () => context.app.go("jobs")));
  }

  /** @param {Context} context @returns {HTMLElement | null} said once where the browser keeps nothing */
  function storeNote({ app }) {
    if (!app.desk.trouble()) return null;
    return element("p", { class: "fl-warn", role: "note" }, `${app.desk.trouble()} The call goes on all the same.`);
  }

  /** A file of the job, handed to the browser's own downloads. */
  function saveFile(job, app) {
    const blob = new Blob([globalThis.faultleaf.call.writeJobFile(job)], { type: "application/json" });
    const address = URL.createObjectURL(blob), link = element("a", { href: address, download: globalThis.faultleaf.call.fileName(job) });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(address), 10000);
    app.saved(job);
  }

  function deleteButton(app, job) {
    const made = button("Delete", () => {
      if (made.dataset.sure) { app.remove(job.id); return; }
      made.dataset.sure = "yes";
      made.textContent = "Press again to delete for good";
    }, { class: "fl-do--quiet", "data-key": `delete-${job.id}` });
    return made;
  }

  /** @param {Context} context */
  function loadField({ app }) {
    const { input, label } = callView.field("fl-file", "Load a job from a file", "", { type: "file", accept: ".json,application/json" });
    input.addEventListener("change", () => { if (input.files[0]) app.loadFile(input.files[0]); });
    return element("div", { class: "fl-load" }, label, input,
      callView.messageNote(app));
  }

  /** @param {Context} context @returns {CallScreen} */
  function jobsScreen(context) {
    const { app } = context, jobs = app.desk.jobs();
    return {
      title: "Jobs on this device", bare: true,
      body: [
        storeNote(context),
        app.desk.damaged() > 0 && element("p", { class: "fl-warn" }, `${globalThis.faultleaf.call.STORE_WORDS.DAMAGED} (${app.desk.damaged()})`),
        jobs.length === 0 && element("p", {}, "None yet."),
        element("ul", { class: "fl-plain" }, ...jobs.map((job) => element("li", { class: "fl-job" }, jobButton(context, job),
          element("div", { class: "fl-row" }, button("Save as a file", () => saveFile(job, app), { "data-key": `save-${job.id}` }), deleteButton(app, job))))),
        loadField(context),
        button("Begin a new call", () => app.home(), { class: "fl-do--main" }),
      ],
    };
  }

  const KEPT_NAMES = ["technician", "licence"];

  /** @returns {any} a new job with the names of the last one; who is there is said anew each time */
  function asBefore(job, last) {
    if (!last) return job;
    return globalThis.faultleaf.call.describe(job, Object.fromEntries(KEPT_NAMES.map((field) => [field, last.about[field]])));
  }

  Object.assign(callView, { asBefore, jobTitle, openJobs, storeNote, saveFile, jobsScreen });
})();
