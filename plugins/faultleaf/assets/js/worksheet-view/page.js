/* A worksheet's page: its form, the bar above it, printing with blanks. */
(function () {
  "use strict";
  const { worksheets } = globalThis.faultleaf;

  const one = (place, selector) => /** @type {any} */ (place.querySelector(selector));

  function print(blank) {
    document.documentElement.classList.toggle("fl-blank", blank);
    globalThis.print();
    document.documentElement.classList.remove("fl-blank");
  }

  function open(root) {
    const { worksheet } = root.dataset, form = new worksheets.Form(root, globalThis.faultleafData.worksheets.sheets[worksheet]);
    const known = worksheets.surveyFor(worksheet), bar = one(root, ".fl-sum__bar");
    const acts = {
      first: () => form.first(), empty: () => form.empty(), survey: () => form.fill(known),
      print: () => print(false), blank: () => print(true),
    };
    for (const [name, act] of Object.entries(acts)) one(bar, `[data-do="${name}"]`).addEventListener("click", act);
    one(bar, '[data-do="survey"]').hidden = known.size === 0;
    bar.hidden = false;
    one(root, ".fl-sum__plain").hidden = true;
    form.show();
  }

  const root = document.getElementById("faultleaf-worksheet");
  if (root) open(root);
})();
