// Which screen of a lesson shows, where keys lead, and when a kiosk that nobody
// touches starts again. No page and no clock is needed here: each function
// gives its answer from what it is told, so that it can be tested by itself.
var screens = (function () {
  "use strict";

  // place gives the index of the screen that a link's fragment names, or 0.
  function place(fragment, ids) {
    return Math.max(0, ids.indexOf(fragment.replace(/^#/, "").replace(/~.*$/, "")));
  }

  // carry adds where the knobs of a page stand to a link to the same page in
  // another language, and carried reads them there: null where there are none
  // for each of how many knobs.
  function carry(href, at) {
    return at.length ? href.replace(/~.*$/, "") + "~" + at.join("~") : href;
  }
  function carried(fragment, many) {
    var at = fragment.split("~").slice(1).map(Number);
    return many > 0 && at.length === many && at.every(function (n) { return n >= 0 && n % 1 === 0; }) ? at : null;
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

  // swiped gives where a finger leads that moved so far to the right and down,
  // in px: 1 for on, -1 for back, and 0 where it moved less than least or not
  // clearly across.
  function swiped(x, y, least) {
    return Math.abs(x) < least || Math.abs(x) < 2 * Math.abs(y) ? 0 : x < 0 ? 1 : -1;
  }

  // sized adds to a link whether text is to be larger there.
  function sized(href, larger) {
    var parts = /^([^?#]*)(?:\?[^#]*)?(#.*)?$/.exec(href);
    return parts[1] + (larger ? "?larger" : "") + (parts[2] || "");
  }

  // among gives the one of many, in rows of how many columns, that a key leads
  // to from one of them; -1 stands for none yet. It gives null for a key that
  // means nothing here.
  function among(key, at, many, columns) {
    var by = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: columns, ArrowUp: -columns }[key];
    if (!many) return null;
    if (key === "Home") return 0;
    if (key === "End") return many - 1;
    if (!by) return null;
    if (at < 0) return 0;
    return at + by < 0 || at + by >= many ? at : at + by;
  }

  // idle says what to do after a time without a touch, all in seconds:
  // "stay", "ask" whether somebody is there, or "leave".
  function idle(still, ask, leave) {
    if (still >= leave) return "leave";
    return still >= ask ? "ask" : "stay";
  }

  return { place: place, carry: carry, carried: carried, step: step, swiped: swiped, sized: sized, among: among, idle: idle };
})();
