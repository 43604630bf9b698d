// Moving drawings: plays each in slow motion, with a button and a slider, and
// keeps the cursor of a plot beside it in step. Without this script the reader
// sees a still. films.js says what a drawing looks like; here it gets there.
var motion = (function () {
  "use strict";
  var STEPS = 1000; // of the slider
  var LONGEST = 100; // ms that one frame may take; the rest is forgotten
  var SVG = "http://www.w3.org/2000/svg";

  var players = [], frame = 0, before = 0;

  // start finds the moving drawings below a node that have no controls yet.
  function start(below) {
    each(below.querySelectorAll("figure.motion"), function (figure) {
      if (!playerOf(figure)) players.push(player(figure));
    });
  }

  function playerOf(figure) {
    for (var i = 0; i < players.length; i++) {
      if (players[i].figure === figure) return players[i];
    }
    return null;
  }

  function player(figure) {
    var film = films.read(figure.querySelector("script.motion-data").textContent);
    var p = {
      figure: figure, film: film, t: film.still, playing: false, seen: true,
      parts: {}, now: {}, plot: null, button: null, slider: null, again: null
    };
    each(figure.querySelectorAll("[data-part]"), function (e) {
      p.parts[e.getAttribute("data-part")] = e;
    });
    p.plot = plotOf(figure);
    controls(p);
    watch(p);
    show(p, p.t);
    if (figure.hasAttribute("data-autoplay") && !calm()) play(p);
    return p;
  }

  // plotOf finds the plot that a figure names, and the line that is its cursor.
  function plotOf(figure) {
    var svg = document.getElementById(figure.getAttribute("data-plot") || "");
    if (!svg) return null;
    function read(name) { return parseFloat(svg.getAttribute("data-" + name)); }
    var line = svg.querySelector(".cursor");
    if (!line) {
      line = document.createElementNS(SVG, "line");
      line.setAttribute("class", "cursor");
      line.setAttribute("stroke", "currentColor");
      line.setAttribute("y1", read("top"));
      line.setAttribute("y2", read("bottom"));
      svg.appendChild(line);
    }
    return { line: line, axis: { from: read("x-from"), to: read("x-to"), left: read("left"), right: read("right") } };
  }

  function controls(p) {
    var words = p.film.words, box = document.createElement("div");
    box.className = "motion-controls";
    p.button = document.createElement("button");
    p.button.type = "button";
    p.button.className = "motion-button";
    p.button.textContent = words.play;
    p.button.addEventListener("click", function () {
      if (p.playing) pause(p); else play(p);
    });
    p.slider = document.createElement("input");
    p.slider.type = "range";
    p.slider.className = "motion-slider";
    p.slider.min = "0";
    p.slider.max = String(STEPS);
    p.slider.setAttribute("aria-label", words.position);
    p.slider.addEventListener("input", function () {
      var t = p.slider.value / STEPS * p.film.span;
      pause(p);
      show(p, t);
    });
    // The keys that move the slider are not for the page around it.
    p.slider.addEventListener("keydown", function (e) {
      if (/^(Arrow|Page|Home|End)/.test(e.key)) e.stopPropagation();
    });
    box.appendChild(p.button);
    box.appendChild(p.slider);
    if (p.film.ends) {
      p.again = document.createElement("span");
      p.again.className = "motion-again";
      p.again.textContent = words.again;
      p.again.hidden = true;
      box.appendChild(p.again);
    }
    p.figure.querySelector("svg.motion-drawing").insertAdjacentElement("afterend", box);
  }

  // watch keeps a drawing that nobody can see from being drawn.
  function watch(p) {
    if (!window.IntersectionObserver) return;
    new IntersectionObserver(function (entries) {
      p.seen = entries[entries.length - 1].isIntersecting;
      if (p.seen) run();
    }).observe(p.figure);
  }

  // show draws an instant.
  function show(p, t) {
    p.t = t;
    each(films.at(p.film, t), function (set) {
      var part = p.parts[set[0]], key = set[0] + " " + set[1];
      if (!part || p.now[key] === set[2]) return;
      p.now[key] = set[2];
      if (set[2] === null) part.removeAttribute(set[1]);
      else part.setAttribute(set[1], set[2]);
    });
    p.slider.value = String(Math.round(STEPS * t / p.film.span));
    if (!p.playing) p.slider.setAttribute("aria-valuetext", films.words(p.film, t));
    if (p.again) p.again.hidden = !films.held(p.film, t);
    if (p.plot) cursor(p.plot, p.film.from + Math.min(t, p.film.span));
  }

  function cursor(plot, t) {
    var x = films.along(plot.axis, t);
    if (x === null) {
      plot.line.setAttribute("display", "none");
      return;
    }
    plot.line.removeAttribute("display");
    plot.line.setAttribute("x1", x.toFixed(1));
    plot.line.setAttribute("x2", x.toFixed(1));
  }

  function play(p) {
    p.playing = true;
    p.button.textContent = p.film.words.pause;
    run();
  }

  function pause(p) {
    p.playing = false;
    p.button.textContent = p.film.words.play;
    show(p, p.t);
  }

  // run asks for the next frame, as long as any drawing plays in sight.
  function run() {
    if (!frame && players.some(runs)) {
      before = 0;
      frame = requestAnimationFrame(step);
    }
  }

  function runs(p) { return p.playing && p.seen; }

  function step(now) {
    var ms = before ? Math.min(now - before, LONGEST) : 0;
    before = now;
    frame = 0;
    each(players, function (p) {
      if (runs(p)) show(p, films.later(p.film, p.t, ms));
    });
    if (players.some(runs)) frame = requestAnimationFrame(step);
  }

  // reset puts the drawings below a node back to how the page began.
  function reset(below) {
    each(players, function (p) {
      if (!below.contains(p.figure)) return;
      pause(p);
      show(p, p.film.still);
      if (p.figure.hasAttribute("data-autoplay") && !calm()) play(p);
    });
  }

  // forget drops the drawings below a node that is about to be replaced.
  function forget(below) {
    players = players.filter(function (p) { return !below.contains(p.figure); });
  }

  var wish = window.matchMedia ? matchMedia("(prefers-reduced-motion: reduce)") : { matches: false };

  // calm says whether the reader asked for less motion. Play still plays then,
  // but nothing moves by itself.
  function calm() { return wish.matches; }

  if (wish.addEventListener) {
    wish.addEventListener("change", function () {
      if (calm()) each(players, pause);
    });
  }

  function each(list, f) {
    for (var i = 0; i < list.length; i++) f(list[i]);
  }

  start(document);

  return {
    start: start,
    reset: reset,
    forget: forget,
    // for other scripts of the page: shows an instant in s from the beginning
    show: function (figure, t) {
      var p = playerOf(figure);
      if (p) {
        pause(p);
        show(p, t);
      }
    }
  };
})();
