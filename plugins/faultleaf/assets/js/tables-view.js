/* Two conveniences of tables: choose the system on a symptom's page, filter the index by equipment.
 * Without scripts every table stands open or can be opened, so nothing is lost.
 */
(function () {
  "use strict";

  /** @param {string} name @param {ParentNode} [within] @returns {HTMLElement | null} */
  function part(name, within) {
    return (within || document).querySelector('[data-faultleaf="' + name + '"]');
  }

  /** One button for each cause table; the chosen one alone is shown. */
  function offerTables(/** @type {HTMLElement} */ section) {
    const chooser = part("choose-table", section);
    const tables = /** @type {HTMLDetailsElement[]} */ ([...section.querySelectorAll("details[data-name]")]);
    if (!chooser || tables.length < 2) return;
    const buttons = tables.map((table) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = table.dataset.name || "";
      button.addEventListener("click", () => choose(table));
      chooser.append(button);
      return button;
    });
    function choose(/** @type {HTMLDetailsElement} */ chosen) {
      tables.forEach((table, index) => {
        table.hidden = table !== chosen;
        table.open = table === chosen;
        table.classList.add("fl-causes--chosen");
        buttons[index].setAttribute("aria-pressed", String(table === chosen));
      });
    }
    chooser.hidden = false;
    choose(tables[0]);
  }

  /** Dots of faults that cannot be there on the chosen equipment go, and rows that have no dot left. */
  function offerFilters(/** @type {HTMLElement} */ filters) {
    const table = part("matrix");
    const count = part("filter-count", filters);
    if (!table) return;
    const rows = /** @type {HTMLElement[]} */ ([...table.querySelectorAll("tbody tr")]);
    const selects = /** @type {HTMLSelectElement[]} */ ([...filters.querySelectorAll("select[data-feature]")]);
    function fits(/** @type {Element} */ dot) {
      const allowed = (dot.getAttribute("data-fits") || "").split(" ").filter(Boolean);
      return selects.every((select) => {
        const named = allowed.filter((entry) => entry.startsWith(select.dataset.feature + ":"));
        return !select.value || !named.length || named.includes(select.dataset.feature + ":" + select.value);
      });
    }
    function filter() {
      rows.forEach((row) => {
        const dots = [...row.querySelectorAll("[data-fits]")];
        dots.forEach((dot) => dot.toggleAttribute("hidden", !fits(dot)));
        row.hidden = dots.every((dot) => dot.hasAttribute("hidden"));
      });
      const shown = rows.filter((row) => !row.hidden).length;
      if (count) count.textContent = shown + " of " + rows.length + " causes can be there.";
    }
    selects.forEach((select) => select.addEventListener("change", filter));
    filters.hidden = false;
    filter();
  }

  const causes = part("causes");
  if (causes) offerTables(causes);
  const filters = part("filters");
  if (filters) offerFilters(filters);
})();
