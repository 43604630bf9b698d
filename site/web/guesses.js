// How a guess stands. No page is needed here: each function gives its answer
// from what it is told, so that it can be tested by itself.
var guesses = (function () {
  "use strict";

  // after gives how a guess stands once something happened. It stands "open",
  // or at the option that was chosen, or "shown" to who would not guess. What
  // happens is the choice of an option, "skip", or "leave": the next visitor
  // guesses anew. A first choice stays, so that nobody tries until it is right.
  function after(stands, happened) {
    if (happened === "leave") return "open";
    if (stands !== "open") return stands;
    return happened === "skip" ? "shown" : happened;
  }

  // among gives the answer of many that a key leads to from one of them, or
  // null for a key that means nothing here: those to the sides lead from screen
  // to screen.
  function among(key, at, many) {
    var by = { ArrowDown: 1, ArrowUp: -1 }[key];
    return by ? Math.min(Math.max(at + by, 0), many - 1) : null;
  }

  return { after: after, among: among };
})();
