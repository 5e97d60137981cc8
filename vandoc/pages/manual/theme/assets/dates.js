// Compares due dates with the phone's clock and marks those that have passed. Pages are complete without it.
(() => {
  "use strict";
  const now = new Date();
  const two = number => String(number).padStart(2, "0");
  const today = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  const aYearAgo = `${now.getFullYear() - 1}${today.slice(4)}`;
  for (const day of document.querySelectorAll("time.due")) {
    if (day.dateTime >= today) continue;
    const year = day.dateTime <= aYearAgo ? { year: "numeric" } : {};
    const month = new Intl.DateTimeFormat(document.documentElement.lang, { month: "long", timeZone: "UTC", ...year })
      .format(new Date(day.dateTime));
    day.append(" ", Object.assign(document.createElement("strong"),
      { className: "passed", textContent: day.dataset.passed.replace("#", month) }));
    const line = day.closest(".when-passed");
    if (line) line.hidden = false;
  }
})();
