/* Names and address of the job: free text, every field may stay empty, nothing of it leaves the device. */
(function () {
  "use strict";

  const callView = globalThis.faultleaf.callView;
  const { element, button } = callView;
  /** @type {readonly [string, string, Attributes][]} */
  const FIELDS = Object.freeze([
    ["name", "Name of this job", {}],
    ["customer", "Customer", { autocomplete: "off" }],
    ["address", "Address", {}],
    ["telephone", "Telephone of the customer", { inputmode: "tel" }],
    ["technician", "Technician", {}],
    ["licence", "Licence", {}],
  ]);

  /** @param {Context} context @returns {CallScreen} */
  function aboutScreen(context) {
    const { app, job } = context;
    const fields = FIELDS.map(([id, label, more]) => ({ id, ...callView.field(`fl-about-${id}`, label, job.about[id], { maxlength: "500", ...more }) }));
    const keep = () => app.setAbout(Object.fromEntries(fields.map(({ id, input }) => [id, input.value.trim()])));
    return {
      title: "Names and address", kicker: "For the report", bare: true,
      body: [
        element("p", {}, "Leave empty what you like. It stays on this device until you save or print it yourself."),
        ...fields.map(({ label, input }) => element("div", { class: "fl-about__field" }, label, input)),
        element("div", { class: "fl-row" }, button("Keep", keep, { class: "fl-do--main", "data-key": "keep" }), button("Back", () => app.back())),
      ],
    };
  }

  Object.assign(callView, { aboutScreen });
})();
