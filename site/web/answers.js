// Whether an answer to a question is right. No page is needed here: each
// function gives its answer from what it is told, so that it can be tested by
// itself.
var answers = (function () {
  "use strict";

  // read gives the number that somebody wrote, with or without its unit, or
  // null. A decimal comma is understood where the language has one, and a
  // decimal point everywhere.
  function read(text, unit, comma) {
    var s = text.replace(/[\s\u00a0\u202f]+/g, " ").trim().replace(/^[\u2212\u2013]/, "-");
    if (unit && s.slice(-unit.length) === unit) s = s.slice(0, -unit.length).trim();
    if (comma) s = s.replace(",", ".");
    return /^[-+]?(\d+(\.\d*)?|\.\d+)$/.test(s) ? parseFloat(s) : null;
  }

  // near says whether a number is right. A part in 10^9 is allowed more, for
  // what is lost between decimal and binary numbers at the very limit.
  function near(x, right, within) {
    return Math.abs(x - right) <= within + 1e-9 * Math.abs(right);
  }

  // places turns the place given to each item, counted from 0, into the items
  // in their order, or gives null where two have the same place or one none.
  function places(given) {
    var order = [];
    for (var i = 0; i < given.length; i++) {
      var at = given[i];
      if (at === "" || order[at] !== undefined) return null;
      order[at] = i;
    }
    return order;
  }

  // check judges what was given: the text of a number, the index of an option
  // (-1 for none), or the place of each item. It gives "right", "wrong", or
  // what is missing: "write", "choose", "place".
  function check(question, given) {
    if (question.kind === "number") {
      var x = read(given, question.unit, question.comma);
      if (x === null) return "write";
      return near(x, question.number, question.within) ? "right" : "wrong";
    }
    if (question.kind === "choice") {
      if (given < 0) return "choose";
      return question.right[0] === given ? "right" : "wrong";
    }
    var order = places(given);
    if (order === null) return "place";
    return order.join() === question.right.join() ? "right" : "wrong";
  }

  return { read: read, near: near, places: places, check: check };
})();
