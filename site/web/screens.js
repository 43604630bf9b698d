// Which screen of a lesson shows, and when a kiosk that nobody touches goes
// back. No page and no clock is needed here: each function gives its answer
// from what it is told, so that it can be tested by itself.
var screens = (function () {
  "use strict";

  // place gives the index of the screen that a link's fragment names, or 0.
  function place(fragment, ids) {
    return Math.max(0, ids.indexOf(fragment.replace(/^#/, "")));
  }

  // step gives the index to go to when a key is pressed at a screen of how
  // many, -1 for the map of all lessons, and null for a key that means
  // nothing here.
  function step(key, at, many) {
    switch (key) {
      case "ArrowRight":
      case "PageDown":
        return Math.min(at + 1, many - 1);
      case "ArrowLeft":
      case "PageUp":
        return Math.max(at - 1, 0);
      case "Home":
        return 0;
      case "End":
        return many - 1;
      case "Escape":
        return -1;
    }
    return null;
  }

  // idle says what to do after a time without a touch, all in seconds:
  // "stay", "ask" whether somebody is there, or "leave".
  function idle(still, ask, leave) {
    if (still >= leave) return "leave";
    return still >= ask ? "ask" : "stay";
  }

  return { place: place, step: step, idle: idle };
})();
