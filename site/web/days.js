// Days as they are kept, such as 2026-11-30. No page is needed here. No day
// here comes from anywhere but the reader's own clock.
var days = (function () {
  "use strict";

  function is(day) { return typeof day === "string" && /^\d{4}-\d\d-\d\d$/.test(day); }

  // of gives the day of a date, where its reader is.
  function of(date) {
    function two(n) { return (n < 10 ? "0" : "") + n; }
    return date.getFullYear() + "-" + two(date.getMonth() + 1) + "-" + two(date.getDate());
  }

  function parts(day) { return day.split("-").map(Number); }

  // after gives the day a number of days after another.
  function after(day, n) {
    var p = parts(day);
    return new Date(Date.UTC(p[0], p[1] - 1, p[2] + n)).toISOString().slice(0, 10);
  }

  // inWords writes a day as the pages do: in English, the day comes first.
  function inWords(day, lang) {
    var p = parts(day);
    return new Date(p[0], p[1] - 1, p[2]).toLocaleDateString(lang === "en" ? "en-GB" : lang, { day: "numeric", month: "long", year: "numeric" });
  }

  return { is: is, of: of, after: after, inWords: inWords };
})();
