// Keeps a volunteer's progress in this browser and shows it. Nothing is sent
// anywhere. Where the browser keeps nothing, as some do for pages from a disk,
// the pages stay as they are without this script.
(function () {
  "use strict";

  var place = document.querySelector("[data-keep]");
  if (!place) return;
  var key = place.getAttribute("data-keep"), words = JSON.parse(place.getAttribute("data-words"));

  function all(root, selector) { return Array.prototype.slice.call(root.querySelectorAll(selector)); }
  function facts(e) { return JSON.parse(e.getAttribute("data-lesson")); }
  function load() { return progress.read(window.localStorage.getItem(key)); }

  // change loads first, since the same course may be open in another window.
  function change(f) {
    try { window.localStorage.setItem(key, JSON.stringify(f(load()))); } catch (e) { /* full, or forbidden since */ }
  }

  try { // a browser may refuse to keep anything, or even to be asked
    window.localStorage.setItem(key + ".test", "1");
    window.localStorage.removeItem(key + ".test");
  } catch (e) { return; }

  function tick(label, on, changed) {
    var p = document.createElement("p"), l = document.createElement("label"), box = document.createElement("input");
    p.className = "tick";
    box.type = "checkbox";
    box.checked = on;
    box.setAttribute("autocomplete", "off");
    box.addEventListener("change", function () { changed(box.checked); });
    l.appendChild(box);
    l.appendChild(document.createTextNode(" " + label));
    p.appendChild(l);
    return p;
  }

  function lessonPage(article) {
    var of = facts(article), kept = load(), name = of.lesson;
    var had = kept[name] || { cautions: [] };
    all(article, ".notice[data-mark]").forEach(function (notice) {
      var mark = notice.getAttribute("data-mark");
      notice.parentNode.insertBefore(tick(words.caution, had.cautions.indexOf(mark) >= 0, function (on) {
        change(function (k) { return progress.caution(k, name, mark, on); });
      }), notice.nextSibling);
    });
    all(article, ".end").forEach(function (end) {
      end.appendChild(tick(words.end, progress.state(kept, of).read, function (on) {
        change(function (k) { return progress.end(k, name, of.revised, on); });
      }));
      end.hidden = false;
    });
    all(article, "[data-question][data-mark]").forEach(function (question) {
      question.setAttribute("data-stands", progress.stands(kept, name, question.getAttribute("data-mark")));
    });
    article.addEventListener("answered", function (e) {
      var mark = e.target.getAttribute("data-mark");
      change(function (k) { return progress.answer(k, name, mark, answers.after(progress.stands(k, name, mark) || e.detail.had, e.detail.what)); });
    });
  }

  // said gives a lesson's state in words.
  function said(s) {
    var parts = [];
    if (s.read) parts.push(words.read);
    if (s.again) parts.push(words.again);
    if (s.ofCautions) parts.push(progress.fill(words.cautions, s.cautions, s.ofCautions));
    if (s.ofQuestions) parts.push(progress.fill(words.questions, s.first, s.ofQuestions));
    if (s.later) parts.push(progress.fill(words.later, s.later, s.ofQuestions));
    if (s.shown) parts.push(progress.fill(words.shown, s.shown, s.ofQuestions));
    return parts.join("; ");
  }

  function show() {
    var kept = load();
    all(document, "[data-lesson] .far").forEach(function (p) {
      var s = progress.state(kept, facts(p.closest("[data-lesson]")));
      p.hidden = !s.begun;
      p.textContent = said(s);
      p.classList.toggle("through", s.through);
    });
    all(document, "tr[data-lesson]").forEach(function (row) {
      var s = progress.state(kept, facts(row));
      function tick(what, on) {
        var box = row.querySelector("." + what + " .box");
        if (box) box.classList.toggle("on", on);
        if (box) box.querySelector(".unseen").textContent = on ? words.done : words.open;
      }
      function count(what, n) {
        var number = row.querySelector(what + ".count");
        if (number) number.textContent = n;
      }
      tick("was-read", s.read);
      tick("was-cautions", s.cautions === s.ofCautions);
      tick("was-right", s.right);
      count(".was-cautions ", s.cautions || "");
      ["first", "later", "shown"].forEach(function (how) { count(".was-right ." + how, s.answered ? s[how] : ""); });
    });
  }

  function clearing(place) {
    var ask = place.querySelector(".ask"), sure = place.querySelector(".sure");
    function turn(asked) {
      ask.hidden = asked;
      sure.hidden = !asked;
      (asked ? sure.querySelector(".no") : ask).focus();
    }
    ask.addEventListener("click", function () { turn(true); });
    sure.querySelector(".no").addEventListener("click", function () { turn(false); });
    sure.querySelector(".yes").addEventListener("click", function () {
      try { window.localStorage.removeItem(key); } catch (e) { /* then nothing is kept either */ }
      turn(false);
      show();
    });
    place.hidden = false;
  }

  all(document, "article[data-lesson]").forEach(lessonPage);
  all(document, ".clearing").forEach(clearing);
  show();
  window.addEventListener("storage", show);
  // Back from a lesson, a browser may show the page as it was left.
  window.addEventListener("pageshow", show);
})();
