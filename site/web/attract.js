// The kiosk's first page: a touch anywhere on the screen that calls visitors
// begins, and arrow keys lead from lesson to lesson on the map. Without this
// script its links do.
(function () {
  "use strict";
  var call = document.querySelector(".attract"), begin = call.querySelector(".begin a:not([hreflang])");
  var lessons = Array.prototype.slice.call(document.querySelectorAll(".choices a"));

  call.addEventListener("click", function (e) {
    if (!e.target.closest("a, button, input")) begin.click();
  });

  // columns counts the lessons in the first row.
  function columns() {
    var top = lessons.length && lessons[0].offsetTop;
    return lessons.filter(function (a) { return a.offsetTop === top; }).length;
  }

  document.addEventListener("keydown", function (e) {
    if (e.altKey || e.ctrlKey || e.metaKey || e.defaultPrevented || document.querySelector("dialog[open]")) return;
    if (call.offsetHeight > 0) {
      // Keys that do something to what has the focus are left to it.
      if (/^(Arrow|Page)/.test(e.key) || (e.key === "Enter" || e.key === " ") && !document.activeElement.matches("a, button, input")) {
        e.preventDefault();
        begin.click();
      }
      return;
    }
    if (!lessons.length || lessons[0].offsetHeight === 0) return; // beside the map
    var to = screens.among(e.key, lessons.indexOf(document.activeElement), lessons.length, columns());
    if (to === null) return;
    e.preventDefault();
    lessons[to].focus();
  });
})();
