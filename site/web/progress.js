// How far a volunteer has come in the course. No page and no storage is needed
// here: each function gives its answer from what it is told, so that it can be
// tested by itself.
//
// What is kept is, for each lesson, the date of the revision that was read to
// the end, the names of cautions read, how the reader stands to each question
// by its name: "first", "later", "shown" or "tried" (see answers.js), and the
// day from which on it is to be asked again.
var progress = (function () {
  "use strict";

  // Days until a question is asked again. What is to be known for a year is best
  // met again after 5 to 10 % of it (Cepeda et al., Psychological Science 19,
  // 2008, second hand): four weeks are 8 %. Twelve weeks are the same part of the
  // three years for which a signature holds. A week for what was not known is
  // our choice.
  var FIRST = 28, THEN = 84, SOON = 7;

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

  // asking reads on which days questions are asked again. Earlier pages kept none.
  function asking(found) {
    var due = {};
    if (found === null || typeof found !== "object" || Array.isArray(found)) return due;
    Object.keys(found).forEach(function (name) { if (days.is(found[name])) due[name] = found[name]; });
    return due;
  }

  // read understands a kept text. What is damaged counts as never kept.
  function read(text) {
    var kept = {}, found = null;
    try { found = JSON.parse(text); } catch (e) { return kept; }
    if (found === null || typeof found !== "object" || Array.isArray(found)) return kept;
    Object.keys(found).forEach(function (lesson) {
      var of = found[lesson];
      if (of === null || typeof of !== "object") return;
      kept[lesson] = { read: typeof of.read === "string" ? of.read : null, cautions: list(of.cautions), answers: standing(of), due: asking(of.due) };
    });
    return kept;
  }

  function of(kept, lesson) {
    return Object.prototype.hasOwnProperty.call(kept, lesson) ? kept[lesson] : { read: null, cautions: [], answers: {}, due: {} };
  }

  // caution gives what is kept once a caution of a lesson was read, or was not.
  function caution(kept, lesson, name, on) {
    var one = of(kept, lesson);
    var names = one.cautions.filter(function (n) { return n !== name; });
    one.cautions = on ? names.concat(name) : names;
    kept[lesson] = one;
    return kept;
  }

  function has(names, name) { return Object.prototype.hasOwnProperty.call(names, name); }

  // stands gives how the reader stands to a question, "" at first.
  function stands(kept, lesson, name) {
    var had = of(kept, lesson).answers;
    return has(had, name) ? had[name] : "";
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

  // date gives each question of a lesson that was answered, or whose lesson was
  // read to its end, a day on which it is asked again, and takes it from others.
  // It says whether anything changed.
  function date(kept, facts, today) {
    if (!has(kept, facts.lesson)) return false;
    var one = kept[facts.lesson], changed = false;
    facts.questions.forEach(function (name) {
      var how = stands(kept, facts.lesson, name), met = how === "first" || how === "later";
      if (met || how === "shown" || one.read !== null) {
        if (has(one.due, name)) return;
        one.due[name] = days.after(today, how === "shown" ? SOON : FIRST);
      } else if (has(one.due, name)) {
        delete one.due[name];
      } else {
        return;
      }
      changed = true;
    });
    return changed;
  }

  // due lists the questions of a lesson that are to be asked again by a day.
  function due(kept, facts, today) {
    var when = of(kept, facts.lesson).due;
    return facts.questions.filter(function (name) { return has(when, name) && when[name] <= today; });
  }

  // next gives the first day on which a question of a lesson is asked again, ""
  // for none.
  function next(kept, facts) {
    var when = of(kept, facts.lesson).due;
    return facts.questions.filter(function (name) { return has(when, name); }).map(function (name) { return when[name]; }).sort()[0] || "";
  }

  // again notes what happened when a question that was due was asked again. What
  // follows on the same day changes nothing: the question is not due any more.
  function again(kept, facts, name, happened, today) {
    if (due(kept, facts, today).indexOf(name) < 0) return kept;
    if (happened === "right") kept[facts.lesson].due[name] = days.after(today, THEN);
    if (happened === "wrong" || happened === "shown") kept[facts.lesson].due[name] = days.after(today, SOON);
    return kept;
  }

  // state counts what is kept of a lesson as it is now: a caution or question
  // that has changed has another name, and is not counted.
  function state(kept, facts, today) {
    var one = of(kept, facts.lesson);
    function count(how) { return facts.questions.filter(function (n) { return stands(kept, facts.lesson, n) === how; }).length; }
    var s = {
      read: one.read === facts.revised,
      again: one.read !== null && one.read !== facts.revised,
      cautions: facts.cautions.filter(function (n) { return one.cautions.indexOf(n) >= 0; }).length, ofCautions: facts.cautions.length,
      first: count("first"), later: count("later"), shown: count("shown"), ofQuestions: facts.questions.length,
      due: due(kept, facts, today).length
    };
    s.answered = s.first + s.later + s.shown + count("tried") > 0;
    s.begun = s.read || s.again || s.cautions > 0 || s.answered;
    s.right = s.first + s.later === s.ofQuestions;
    s.through = s.read && s.cautions === s.ofCautions && s.right;
    return s;
  }

  // fill puts counts into a text with {n} and {of}.
  function fill(text, n, of) { return text.replace("{n}", String(n)).replace("{of}", String(of)); }

  return { read: read, caution: caution, stands: stands, answer: answer, end: end, date: date, due: due, next: next, again: again, state: state, fill: fill };
})();
