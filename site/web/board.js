// A control board that visitors try: buttons for what can be done to it, and its
// lamps and needles as they then follow. Without this script its states stand
// beside one another. boards.js knows what follows; here it is shown.
(function () {
  "use strict";
  var LONGEST = 100; // ms that one frame may take; the rest is forgotten

  var all = [], frame = 0, before = 0;
  var wish = window.matchMedia ? matchMedia("(prefers-reduced-motion: reduce)") : { matches: false };

  function each(list, f) { Array.prototype.forEach.call(list, f); }

  function made(figure) {
    var data = boards.read(figure.querySelector("script.board-data").textContent);
    var b = { figure: figure, data: data, at: 0, t: data.states[0].film.span, parts: {}, now: {}, says: figure.querySelector(".says"), buttons: [],
      what: figure.querySelector(".says .what"), reads: figure.querySelector(".says .reads") };
    each(figure.querySelectorAll(".front [data-part]"), function (e) { b.parts[e.getAttribute("data-part")] = e; });
    var box = document.createElement("div");
    box.className = "acts";
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", data.words.group);
    boards.acts(data).forEach(function (act) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = act;
      button.addEventListener("click", function () { press(b, act); });
      box.appendChild(button);
      b.buttons.push({ act: act, button: button });
    });
    b.says.insertAdjacentElement("afterend", box);
    figure.classList.add("live");
    show(b);
    return b;
  }

  function ended(b) { return boards.ended(b.data.states[b.at], b.t); }

  // press does an act, where it can be done and nothing else is under way.
  function press(b, act) {
    var next = ended(b) && boards.leads(b.data, b.at, act);
    if (!next) return;
    b.at = next.to;
    b.t = next.plays && !wish.matches ? 0 : b.data.states[b.at].film.span;
    show(b);
    run();
  }

  // show draws the instant at which a board is. What is read aloud is said once
  // it has come about.
  function show(b) {
    var state = b.data.states[b.at], done = ended(b);
    each(films.at(state.film, b.t), function (set) {
      var part = b.parts[set[0]], key = set[0] + " " + set[1];
      if (!part || b.now[key] === set[2]) return;
      b.now[key] = set[2];
      if (set[2] === null) part.removeAttribute(set[1]);
      else part.setAttribute(set[1], set[2]);
    });
    b.says.setAttribute("aria-live", done ? "polite" : "off");
    write(b.what, done ? state.says : boards.clock(b.data, b.at, b.t));
    write(b.reads, done ? state.reads : "");
    b.figure.classList.toggle("playing", !done);
    b.buttons.forEach(function (one) {
      var can = done && boards.leads(b.data, b.at, one.act) !== null;
      if (one.can === can) return;
      one.can = can;
      one.button.setAttribute("aria-disabled", String(!can));
    });
  }

  function write(element, text) { if (element.textContent !== text) element.textContent = text; }

  // run asks for the next frame, as long as anything is under way.
  function run() {
    if (frame || all.every(ended)) return;
    before = 0;
    frame = requestAnimationFrame(step);
  }

  function step(now) {
    var ms = before ? Math.min(now - before, LONGEST) : 0;
    before = now;
    frame = 0;
    all.forEach(function (b) {
      if (ended(b)) return;
      b.t = boards.later(b.data.states[b.at], b.t, ms);
      show(b);
    });
    if (!all.every(ended)) frame = requestAnimationFrame(step);
  }

  function first(b) {
    b.at = 0;
    b.t = b.data.states[0].film.span;
    show(b);
  }

  // Paper shows the first state large, and all of them in small.
  window.addEventListener("beforeprint", function () { all.forEach(first); });
  // The next visitor finds everything as it was, even on a page that the browser
  // kept.
  window.addEventListener("pageshow", function (e) { if (e.persisted) all.forEach(first); });

  each(document.querySelectorAll("figure.board"), function (figure) { all.push(made(figure)); });
})();
