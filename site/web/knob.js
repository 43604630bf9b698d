// Turns the knobs of a page. Without this script they are not shown, and all
// stands as at their start. Nothing is drawn here: what is in the page stays,
// and only path data, places of names and texts are put in anew.
var turning = (function () {
  "use strict";
  var source = document.getElementById("knobs.data");
  if (!source) return null;
  var data = JSON.parse(source.textContent);
  var at = data.knobs.map(function (k) { return k.start; });

  function all(within, selector) { return Array.prototype.slice.call(within.querySelectorAll(selector)); }

  // What is to be changed is looked up once, and nothing is touched that is as
  // it should be.
  function words(element) {
    var node = element.firstChild;
    return function (text) { if (node && node.data !== text) node.data = text; };
  }
  function attribute(element, name) {
    return function (value) { if (element.getAttribute(name) !== value) element.setAttribute(name, value); };
  }

  var knobsAt = data.knobs.map(function () { return []; }); // the controls of each
  all(document, ".knob[data-knob]").forEach(function (box) {
    var input = box.querySelector("input"), setting = box.querySelector(".setting");
    knobsAt[Number(box.getAttribute("data-knob"))].push({
      input: input, dial: box.querySelector(".dial"), text: words(setting), number: attribute(setting, "value"), spoken: attribute(input, "aria-valuetext"),
      pointer: attribute(box.querySelector(".pointer"), "transform"), lit: attribute(box.querySelector(".lit"), "stroke-dasharray")
    });
  });

  all(document, "[data-bound]").forEach(function (element) {
    var bound = data.bound[Number(element.getAttribute("data-bound"))];
    (bound.at = bound.at || []).push({
      element: element, text: words(element), number: attribute(element, "value"), isNumber: element.localName === "data"
    });
  });

  data.figures.forEach(function (figure) {
    figure.at = figure["in"].map(function (id) {
      var svg = document.getElementById(id);
      return { paths: all(svg, "[data-moves]"), describe: words(svg.querySelector("desc")) };
    });
    // Attributes are written when they are first wanted, and kept.
    figure.paths.forEach(function (p) { p.written = []; });
  });

  function showBound(bound) {
    var i = knobs.frame(data.knobs, bound.by, at);
    (bound.at || []).forEach(function (place) {
      if (!bound.text) {
        place.element.classList.toggle("false", bound.number[i] === 0);
        return;
      }
      place.text(data.texts[bound.text[i]]);
      if (place.isNumber) place.number(String(bound.number[i]));
    });
  }

  function showFigure(figure) {
    var i = knobs.frame(data.knobs, figure.by, at);
    figure.paths.forEach(function (p, n) {
      var form = p.form[i];
      if (p.shown === form) return;
      p.shown = form;
      var put = p.written[form] = p.written[form] || knobs.put(p, form), name;
      for (name in put) {
        figure.at.forEach(function (place) { place.paths[n].setAttribute(name, put[name]); });
      }
    });
    figure.at.forEach(function (place) { place.describe(data.texts[figure.describe[i]]); });
  }

  // A sound goes on at the new position when it was to be heard at the old one.
  function showSound(sound) {
    var file = sound.file[knobs.frame(data.knobs, sound.by, at)];
    sound["in"].forEach(function (id) {
      var audio = document.getElementById(id), playing = !audio.paused && !audio.ended;
      if (audio.getAttribute("src") === file) return;
      audio.setAttribute("src", file);
      if (playing) audio.play().catch(function () {});
    });
  }

  function turn(k, to) {
    var knob = data.knobs[k], text = data.texts[knob.text[to]];
    at[k] = to;
    knobsAt[k].forEach(function (control) {
      if (control.input.value !== String(to)) control.input.value = String(to);
      control.text(text);
      control.number(String(knob.number[to]));
      control.spoken(text);
      control.pointer("rotate(" + dial.angle(to, knob.text.length) + " 120 104)"); // the middle of the drawing
      control.lit(dial.lit(to, knob.text.length) + " 200");
    });
    knobs.turns(data.bound, k).forEach(showBound);
    knobs.turns(data.figures, k).forEach(showFigure);
    knobs.turns(data.sounds, k).forEach(showSound);
  }

  // grasp lets a finger turn a dial in an arc, or touch where it should stand.
  function grasp(control, k) {
    var held = null, many = data.knobs[k].text.length;

    function follow(e, first) {
      var box = control.dial.getBoundingClientRect();
      // The middle of the knob, in a drawing of 240 by 216.
      var x = e.clientX - box.left - box.width * 120 / 240, y = e.clientY - box.top - box.height * 104 / 216;
      var to = first ? dial.under(x, y, box.width, many) : dial.drawn(x, y, box.width, many, at[k]);
      if (to === null || to === at[k]) return;
      control.input.value = String(to);
      control.input.dispatchEvent(new Event("input", { bubbles: true }));
    }

    control.dial.addEventListener("pointerdown", function (e) {
      if (e.button > 0 || held !== null) return;
      held = e.pointerId;
      e.preventDefault();
      control.dial.setPointerCapture(held);
      control.input.focus({ preventScroll: true });
      follow(e, true);
    });
    control.dial.addEventListener("pointermove", function (e) { if (e.pointerId === held) follow(e, false); });
    ["pointerup", "pointercancel", "lostpointercapture"].forEach(function (name) {
      control.dial.addEventListener(name, function (e) { if (e.pointerId === held) held = null; });
    });
  }

  data.figures.forEach(function (figure) {
    var i = knobs.frame(data.knobs, figure.by, at);
    figure.paths.forEach(function (p) { p.shown = p.form[i]; });
  });

  knobsAt.forEach(function (controls, k) {
    controls.forEach(function (control) {
      var input = control.input;
      input.value = String(at[k]); // whatever the browser remembers
      control.dial.hidden = false;
      input.addEventListener("input", function () { turn(k, Number(input.value)); });
      grasp(control, k);
      input.addEventListener("keydown", function (e) {
        if (e.altKey || e.ctrlKey || e.metaKey) return;
        var to = knobs.step(e.key, at[k], data.knobs[k].text.length);
        if (to === null) return;
        // The same keys lead from screen to screen where no knob is held.
        e.preventDefault();
        turn(k, to);
      });
    });
  });

  function start() { data.knobs.forEach(function (knob, k) { turn(k, knob.start); }); }

  // Paper shows the start, as it does without this script.
  var before = null;
  window.addEventListener("beforeprint", function () {
    before = before || at.slice();
    start();
  });
  window.addEventListener("afterprint", function () {
    (before || []).forEach(function (to, k) { turn(k, to); });
    before = null;
  });

  // The next visitor finds everything as it was, even on a page that the
  // browser kept.
  window.addEventListener("pageshow", function (e) {
    if (e.persisted && document.documentElement.classList.contains("kiosk")) start();
  });

  return {
    // for other scripts of the page: where each knob stands
    places: function () { return at.slice(); },
    // puts all knobs where a list says; null leaves them
    put: function (list) {
      (list || []).forEach(function (to, k) { if (to < data.knobs[k].text.length) turn(k, to); });
    }
  };
})();
