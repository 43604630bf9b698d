// How far a volunteer has come in the course. No page and no storage is needed
// here: each function gives its answer from what it is told, so that it can be
// tested by itself.
//
// What is kept is, for each lesson, the date of the revision that was read to
// the end, and the names of cautions read and of questions answered right.
var progress = (function () {
  "use strict";

  function list(x) { return Array.isArray(x) ? x.filter(function (name) { return typeof name === "string"; }) : []; }

  // read understands a kept text. What is damaged counts as never kept.
  function read(text) {
    var kept = {}, found = null;
    try { found = JSON.parse(text); } catch (e) { return kept; }
    if (found === null || typeof found !== "object" || Array.isArray(found)) return kept;
    Object.keys(found).forEach(function (lesson) {
      var of = found[lesson];
      if (of === null || typeof of !== "object") return;
      kept[lesson] = { read: typeof of.read === "string" ? of.read : null, cautions: list(of.cautions), right: list(of.right) };
    });
    return kept;
  }

  function of(kept, lesson) {
    return Object.prototype.hasOwnProperty.call(kept, lesson) ? kept[lesson] : { read: null, cautions: [], right: [] };
  }

  // note gives what is kept once a name is added to a list ("cautions" or
  // "right") of a lesson, or taken from it.
  function note(kept, lesson, what, name, on) {
    var one = of(kept, lesson);
    var names = one[what].filter(function (n) { return n !== name; });
    one[what] = on ? names.concat(name) : names;
    kept[lesson] = one;
    return kept;
  }

  // end notes that a lesson was read to its end, as revised on a date, or that
  // it was not.
  function end(kept, lesson, revised, on) {
    var one = of(kept, lesson);
    one.read = on ? revised : null;
    kept[lesson] = one;
    return kept;
  }

  // state counts what is kept of a lesson as it is now: a caution or question
  // that has changed has another name, and is not counted.
  function state(kept, facts) {
    var one = of(kept, facts.lesson);
    function count(names, had) { return names.filter(function (n) { return had.indexOf(n) >= 0; }).length; }
    var s = {
      read: one.read === facts.revised,
      again: one.read !== null && one.read !== facts.revised,
      cautions: count(facts.cautions, one.cautions), ofCautions: facts.cautions.length,
      right: count(facts.questions, one.right), ofQuestions: facts.questions.length
    };
    s.begun = s.read || s.again || s.cautions > 0 || s.right > 0;
    return s;
  }

  // fill puts counts into a text with {n} and {of}.
  function fill(text, n, of) { return text.replace("{n}", String(n)).replace("{of}", String(of)); }

  return { read: read, note: note, end: end, state: state, fill: fill };
})();
