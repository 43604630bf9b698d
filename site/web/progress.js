// How far a volunteer has come in the course. No page and no storage is needed
// here: each function gives its answer from what it is told, so that it can be
// tested by itself.
//
// What is kept is, for each lesson, the date of the revision that was read to
// the end, the names of cautions read, and how the reader stands to each
// question by its name: "first", "later", "shown" or "tried" (see answers.js).
var progress = (function () {
  "use strict";

  function list(x) { return Array.isArray(x) ? x.filter(function (name) { return typeof name === "string"; }) : []; }

  // standing reads how the reader stands to questions. Earlier pages kept the
  // names of those answered right, whatever went before: the first answer is
  // past, and whether one was shown is not known.
  function standing(of) {
    var stands = {}, found = of.answers;
    list(of.right).forEach(function (name) { stands[name] = "tried"; });
    if (found === null || typeof found !== "object" || Array.isArray(found)) return stands;
    Object.keys(found).forEach(function (name) {
      if (["first", "later", "shown", "tried"].indexOf(found[name]) >= 0) stands[name] = found[name];
    });
    return stands;
  }

  // read understands a kept text. What is damaged counts as never kept.
  function read(text) {
    var kept = {}, found = null;
    try { found = JSON.parse(text); } catch (e) { return kept; }
    if (found === null || typeof found !== "object" || Array.isArray(found)) return kept;
    Object.keys(found).forEach(function (lesson) {
      var of = found[lesson];
      if (of === null || typeof of !== "object") return;
      kept[lesson] = { read: typeof of.read === "string" ? of.read : null, cautions: list(of.cautions), answers: standing(of) };
    });
    return kept;
  }

  function of(kept, lesson) {
    return Object.prototype.hasOwnProperty.call(kept, lesson) ? kept[lesson] : { read: null, cautions: [], answers: {} };
  }

  // caution gives what is kept once a caution of a lesson was read, or was not.
  function caution(kept, lesson, name, on) {
    var one = of(kept, lesson);
    var names = one.cautions.filter(function (n) { return n !== name; });
    one.cautions = on ? names.concat(name) : names;
    kept[lesson] = one;
    return kept;
  }

  // stands gives how the reader stands to a question, "" at first.
  function stands(kept, lesson, name) {
    var had = of(kept, lesson).answers;
    return Object.prototype.hasOwnProperty.call(had, name) ? had[name] : "";
  }

  // answer notes how the reader stands to a question.
  function answer(kept, lesson, name, stands) {
    var one = of(kept, lesson);
    if (stands !== "") one.answers[name] = stands;
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
    function count(how) { return facts.questions.filter(function (n) { return stands(kept, facts.lesson, n) === how; }).length; }
    var s = {
      read: one.read === facts.revised,
      again: one.read !== null && one.read !== facts.revised,
      cautions: facts.cautions.filter(function (n) { return one.cautions.indexOf(n) >= 0; }).length, ofCautions: facts.cautions.length,
      first: count("first"), later: count("later"), shown: count("shown"), ofQuestions: facts.questions.length
    };
    s.answered = s.first + s.later + s.shown + count("tried") > 0;
    s.begun = s.read || s.again || s.cautions > 0 || s.answered;
    s.right = s.first + s.later === s.ofQuestions;
    s.through = s.read && s.cautions === s.ofCautions && s.right;
    return s;
  }

  // fill puts counts into a text with {n} and {of}.
  function fill(text, n, of) { return text.replace("{n}", String(n)).replace("{of}", String(of)); }

  return { read: read, caution: caution, stands: stands, answer: answer, end: end, state: state, fill: fill };
})();
