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
  function today() { return days.of(new Date()); }
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
        change(function (k) {
          progress.date(progress.end(k, name, of.revised, on), of, today());
          return k;
        });
      }));
      end.hidden = false;
    });
    all(article, "[data-question][data-mark]").forEach(function (question) {
      question.setAttribute("data-stands", progress.stands(kept, name, question.getAttribute("data-mark")));
    });
    var ask = article.querySelector(".due"), asked = progress.due(kept, of, today());
    article.addEventListener("answered", function (e) {
      var mark = e.target.getAttribute("data-mark");
      change(function (k) {
        progress.again(k, of, mark, e.detail.what, today());
        progress.answer(k, name, mark, answers.after(progress.stands(k, name, mark) || e.detail.had, e.detail.what));
        progress.date(k, of, today());
        return k;
      });
      if (asked.length) list(ask, again(progress.due(load(), of, today())), words.nothing);
    });

    // What is due is asked as if for the first time.
    all(article, "[data-question][data-mark]").forEach(function (question) {
      if (asked.indexOf(question.getAttribute("data-mark")) < 0) return;
      var flag = document.createElement("p");
      flag.className = "flag";
      flag.textContent = words.flag;
      question.insertBefore(flag, question.firstChild);
      question.setAttribute("data-stands", "");
    });
    function again(names) {
      return names.map(function (mark) {
        var title = article.querySelector("[data-mark='" + mark + "'] .ask");
        return { text: title.textContent, href: "#" + title.id };
      });
    }
    if (asked.length) list(ask, again(asked), "");
  }

  // list shows what is due as links, or in its place what is said when nothing
  // is any more.
  function list(place, links, otherwise) {
    var items = place.querySelector("ul"), n = links.reduce(function (sum, link) { return sum + (link.n || 1); }, 0);
    place.hidden = links.length === 0 && otherwise === "";
    place.querySelector(".state").textContent = links.length ? progress.fill(words.due, n) : otherwise;
    items.textContent = "";
    links.forEach(function (link) {
      var li = document.createElement("li"), a = document.createElement("a");
      a.href = link.href;
      a.textContent = link.text;
      li.appendChild(a);
      items.appendChild(li);
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
    if (s.due) parts.push(progress.fill(words.dueHere, s.due));
    if (s.shown) parts.push(progress.fill(words.shown, s.shown, s.ofQuestions));
    return parts.join("; ");
  }

  function show() {
    var kept = load(), now = today(), lessons = all(document, "[data-lesson]");
    // What earlier pages kept has no days yet: they begin today.
    if (lessons.filter(function (e) { return progress.date(kept, facts(e), now); }).length) {
      change(function (k) {
        lessons.forEach(function (e) { progress.date(k, facts(e), now); });
        return k;
      });
    }
    if (!document.querySelector("article[data-lesson]")) { // a page about all lessons
      var map = document.querySelector(".due"), review = document.querySelector(".review .when");
      if (map) list(map, lessons.map(function (e) {
        var a = e.querySelector("h2 a"), n = progress.due(kept, facts(e), now).length;
        return { n: n, text: a.textContent + " (" + n + ")", href: a.getAttribute("href") + "#due.again" };
      }).filter(function (link) { return link.n; }), "");
      if (review) {
        var next = lessons.map(function (e) { return progress.next(kept, facts(e)); }).filter(Boolean).sort()[0];
        review.textContent = next ? days.inWords(next, document.documentElement.lang) : "";
      }
    }
    all(document, "[data-lesson] .far").forEach(function (p) {
      var s = progress.state(kept, facts(p.closest("[data-lesson]")), now);
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
