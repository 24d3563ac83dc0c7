/* The print button of a sheet. Without scripts the browser's own menu prints just as well. */
(function () {
  "use strict";
  document.querySelectorAll('[data-faultleaf="print"]').forEach((button) => {
    button.removeAttribute("hidden");
    button.addEventListener("click", () => window.print());
  });
})();
