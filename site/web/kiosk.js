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
  var at = -1;

  function show(i, quietly) {
    if (i === at) return;
    if (at >= 0) all[at].classList.remove("shown");
    at = i;
    all[at].classList.add("shown");
    window.scrollTo(0, 0);
    if (!quietly) all[at].querySelector("h1, h2").focus({ preventScroll: true });
  }

  // leave opens another page of the kiosk. It takes this one's place in the
  // history, which would grow for days.
  function leave(href) {
    if (window.motion) motion.reset(document); // the page may come back as it was left
    location.replace(href);
  }

  document.documentElement.classList.add("live");
  show(screens.place(location.hash, ids), true);
  if (window.turning) turning.put(screens.carried(location.hash, turning.places().length));

  document.addEventListener("click", function (e) {
    var link = e.target.closest("a[href]"), href;
    if (!link) return;
    e.preventDefault();
    href = link.getAttribute("href");
    if (href.charAt(0) === "#") show(screens.place(href, ids));
    else leave(link.hreflang && window.turning ? screens.carry(href, turning.places()) : href);
  });
  document.addEventListener("keydown", function (e) {
    var to;
    if (e.defaultPrevented || e.altKey || e.ctrlKey || e.metaKey || ask.open) return; // or a knob has taken it
    to = screens.step(e.key, at, all.length);
    if (to === null) return;
    e.preventDefault();
    if (to < 0) up();
    else show(to);
  });
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
