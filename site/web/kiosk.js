// The kiosk's screens, one at a time. Without this script they follow each
// other down the page, and every link still works.
(function () {
  "use strict";
  var LOOKS = 250; // ms between two looks at the clock

  // Nothing is picked up, dragged or opened beside the kiosk.
  ["contextmenu", "selectstart", "dragstart", "auxclick"].forEach(function (name) {
    document.addEventListener(name, function (e) { e.preventDefault(); });
  });

  var all = Array.prototype.slice.call(document.querySelectorAll(".screen"));
  if (!all.length) return;
  var ids = all.map(function (s) { return s.id; });
  var ask = document.querySelector(".ask"), left = ask.querySelector(".left");
  // Screens beside the others are reached by links alone, and lead back to
  // where the visitor was.
  var many = all.filter(function (s) { return !s.classList.contains("beside"); }).length, from = 0;
  var at = -1, larger = /[?&]larger\b/.test(location.search);
  var sizes = Array.prototype.slice.call(document.querySelectorAll("button.larger"));

  function show(i, quietly) {
    if (i === at) return;
    if (at >= 0) all[at].classList.remove("shown");
    if (at >= 0 && at < many) from = at;
    at = i;
    if (all[at].classList.contains("attract")) enlarge(false); // for the next visitor
    all[at].classList.add("shown");
    window.scrollTo(0, 0);
    if (!quietly) all[at].querySelector("h1, h2").focus({ preventScroll: true });
  }

  // leave opens another page of the kiosk. It takes this one's place in the
  // history, which would grow for days.
  function leave(href) {
    // The page may come back as it was left.
    if (window.motion) motion.reset(document);
    document.querySelectorAll("details[open]").forEach(function (d) { d.open = false; });
    location.replace(href);
  }

  function enlarge(to) {
    larger = to;
    document.documentElement.classList.toggle("larger", larger);
    sizes.forEach(function (b) { b.setAttribute("aria-pressed", String(larger)); });
  }

  function back() { show(from); }

  // One screen at a time: the title of each is the first heading of what is seen.
  all.forEach(function (s) {
    var title = s.querySelector("h2");
    if (!title || s.querySelector("h1")) return;
    title.setAttribute("role", "heading");
    title.setAttribute("aria-level", "1");
  });
  document.documentElement.classList.add("live");
  sizes.forEach(function (b) {
    b.hidden = false;
    b.addEventListener("click", function () { enlarge(!larger); });
  });
  enlarge(larger);
  show(screens.place(location.hash, ids), true);
  if (window.turning) turning.put(screens.carried(location.hash, turning.places().length));

  document.addEventListener("click", function (e) {
    var link = e.target.closest("a[href]"), href;
    if (!link) return;
    e.preventDefault();
    href = link.getAttribute("href");
    if (link.closest(".beside .back")) back();
    else if (href.charAt(0) === "#") show(screens.place(href, ids));
    else leave(screens.sized(link.hreflang && window.turning ? screens.carry(href, turning.places()) : href, larger));
  });
  document.addEventListener("keydown", function (e) {
    var to;
    if (e.defaultPrevented || e.altKey || e.ctrlKey || e.metaKey || ask.open) return; // or a knob has taken it
    if (e.target.matches("input[type=radio]") && /^Arrow/.test(e.key)) return; // which choose among its like
    to = screens.step(e.key, at, many);
    if (to === null) return;
    e.preventDefault();
    if (at >= many) return back();
    if (to < 0) up();
    else show(to);
  });
  // A finger that moves across turns to the next screen, unless it began on
  // what moves under it.
  var finger = null;

  function slides(element) {
    for (; element && element !== document.body; element = element.parentElement) {
      if (element.matches(".dial, input, audio") || element.scrollWidth > element.clientWidth + 1 && getComputedStyle(element).overflowX === "auto") return true;
    }
    return false;
  }

  document.addEventListener("pointerdown", function (e) {
    finger = e.isPrimary && e.pointerType !== "mouse" && !ask.open && !slides(e.target) ? { id: e.pointerId, x: e.clientX, y: e.clientY } : null;
  }, { passive: true });
  document.addEventListener("pointercancel", function () { finger = null; });
  document.addEventListener("pointerup", function (e) {
    if (!finger || finger.id !== e.pointerId) return;
    var to = screens.swiped(e.clientX - finger.x, e.clientY - finger.y, 0.08 * Math.min(innerWidth, innerHeight)); // 24 mm on a screen of 24 inches
    finger = to ? { swiped: true } : null;
    if (!to) return;
    if (at >= many) back();
    else show(Math.min(Math.max(at + to, 0), many - 1));
  });
  // What is under a pen that has turned the screen was not meant.
  document.addEventListener("click", function (e) {
    if (!finger || !finger.swiped || !e.detail) return; // 0 for keys
    finger = null;
    e.preventDefault();
    e.stopImmediatePropagation();
  }, true);

  window.addEventListener("hashchange", function () { show(screens.place(location.hash, ids)); });

  // up leads to the map of all lessons, and from there to the first screen.
  function up() {
    var home = all[at].querySelector(".home");
    if (home) home.click();
  }

  // Nobody there: ask, then start again. A clock that is set meanwhile does
  // not matter.
  var idle = Number(ask.getAttribute("data-idle")), first = idle - Number(ask.getAttribute("data-ask"));
  var touched = performance.now();

  function stay() {
    touched = performance.now();
    if (ask.open) ask.close();
  }

  document.addEventListener("pointerdown", function () { touched = performance.now(); }, { passive: true });
  ["wheel", "input"].forEach(function (name) { document.addEventListener(name, stay, { passive: true }); });
  document.addEventListener("keydown", function () {
    touched = performance.now();
  }, true);
  // A touch anywhere is an answer. It is one when the finger is lifted, so
  // that it never reaches what lies below.
  ask.addEventListener("click", function (e) {
    if (e.target.closest(".again")) start();
    else stay();
  });

  function start() { leave(ask.getAttribute("data-home")); }

  function look() {
    var still = (performance.now() - touched) / 1000, todo = screens.idle(still, first, idle), rest;
    if (all[at].classList.contains("attract")) {
      touched = performance.now();
      return;
    }
    if (todo === "leave") {
      start();
    } else if (todo === "ask") {
      if (!ask.open) {
        ask.showModal();
        ask.querySelector(".stay").focus();
      }
      rest = String(Math.ceil(idle - still));
      if (left.textContent !== rest) left.textContent = rest;
    } else if (ask.open && still > 1) {
      stay(); // a finger that rests
    }
  }
  setInterval(look, LOOKS);
})();
