/* Says beside a review's date that it is overdue: the site itself knows no clock, the reader's browser does. */
(function () {
  "use strict";
  const DAY_MS = 24 * 60 * 60 * 1000;
  document.querySelectorAll("time[data-review-days]").forEach((time) => {
    const held = Number(time.getAttribute("data-review-days")) * DAY_MS;
    const reviewed = Date.parse(time.getAttribute("datetime") || "");
    if (!(Date.now() > reviewed + held)) return;
    const words = document.createElement("strong");
    words.textContent = " (overdue for review)";
    time.append(words);
  });
})();
