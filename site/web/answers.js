// Whether an answer to a question is right, and how a reader came by it. No
// page is needed here: each function gives its answer from what it is told, so
// that it can be tested by itself.
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

  // after gives how a reader stands to a question once something happened:
  // "right" or "wrong" as check gives them, or "shown", when the answer was.
  // had is how the reader stood before, "" at first. It becomes "first" when
  // the first answer is right, "tried" when it is wrong, and then "later" once
  // an answer is right, or "shown". Only "tried" and "" change any more: what
  // was shown never counts as answered.
  function after(had, happened) {
    if (had !== "" && had !== "tried") return had;
    switch (happened) {
    case "right": return had === "" ? "first" : "later";
    case "wrong": return "tried";
    case "shown": return "shown";
    }
    return had;
  }

  return { read: read, near: near, places: places, check: check, after: after };
})();
