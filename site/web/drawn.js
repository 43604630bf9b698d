// Which wires of a board are seen when a reader picks a part and a drawing. No page
// is needed here: each function gives its answer from what it is told, so that it
// can be tested by itself.
var drawn = (function () {
  "use strict";

  // wire reads a wire: the parts at its ends, and the drawings that have it, by
  // their numbers, as in "0 2".
  function wire(from, to, on) {
    return { parts: [from.split(".")[0], to.split(".")[0]], on: on ? on.split(" ").map(Number) : [] };
  }

  function at(w, part) { return part === "" || w.parts.indexOf(part) >= 0; }

  // seen says whether a wire is seen at a part ("" for all) on a drawing (null for
  // all).
  function seen(w, part, sheet) { return at(w, part) && (sheet === null || w.on.indexOf(sheet) >= 0); }

  // count gives how many wires are seen, and how many there are at that part.
  function count(wires, part, sheet) {
    var n = 0, all = 0;
    wires.forEach(function (w) {
      if (at(w, part)) all++;
      if (seen(w, part, sheet)) n++;
    });
    return { n: n, all: all };
  }

  // said puts these numbers into words that have # and @ in their places.
  function said(words, counted) { return words.replace(/[#@]/g, function (c) { return c === "#" ? counted.n : counted.all; }); }

  return { wire: wire, seen: seen, count: count, said: said };
})();
