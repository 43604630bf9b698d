// The kiosk's screens, one at a time. Without this script they follow each
// other down the page, and every link still works.
(function () {
  "use strict";
  document.addEventListener("contextmenu", function (e) { e.preventDefault(); });

  var all = Array.prototype.slice.call(document.querySelectorAll(".screen"));
  if (!all.length) return;
  var ids = all.map(function (s) { return s.id; });
  var at = -1;

  function show(i, quietly) {
    if (i < 0) {
      if (window.motion) motion.reset(document); // the page may come back as it was left
      location.replace(document.querySelector(".ask").getAttribute("data-home"));
      return;
    }
    if (i === at) return;
    if (at >= 0) all[at].classList.remove("shown");
    at = i;
    all[at].classList.add("shown");
    window.scrollTo(0, 0);
    if (!quietly) all[at].querySelector("h1, h2").focus({ preventScroll: true });
  }

  document.documentElement.classList.add("live");
  show(screens.place(location.hash, ids), true);

  // Links between screens do not go into the history, which would grow for
  // days.
  document.addEventListener("click", function (e) {
    var link = e.target.closest("a[href^='#']");
    if (!link) return;
    e.preventDefault();
    show(screens.place(link.getAttribute("href"), ids));
  });
  document.addEventListener("keydown", function (e) {
    if (e.defaultPrevented || e.altKey || e.ctrlKey || e.metaKey) return; // or a knob has taken it
    var to = screens.step(e.key, at, all.length);
    if (to === null) return;
    e.preventDefault();
    show(to);
  });
  window.addEventListener("hashchange", function () { show(screens.place(location.hash, ids)); });

  // Nobody there: ask, then go back to the map.
  var ask = document.querySelector(".ask"), stay = ask.querySelector("button");
  var leave = Number(ask.getAttribute("data-idle")) || 90; // seconds without a touch

  var touched = Date.now();
  ["pointerdown", "keydown", "wheel", "input"].forEach(function (name) {
    document.addEventListener(name, function () {
      touched = Date.now();
      ask.hidden = true;
    }, { passive: true });
  });
  setInterval(function () {
    var todo = screens.idle((Date.now() - touched) / 1000, leave - 15, leave);
    if (todo === "leave") show(-1);
    else if (todo === "ask" && ask.hidden) {
      ask.hidden = false;
      stay.focus();
    }
  }, 1000);
})();
