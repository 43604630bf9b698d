// What a page shows when its knobs are turned. render/page writes the data
// that are read here: every frame of every figure and number, computed when
// the page was made. No page is needed here: each function gives its answer
// from what it is told, so that it can be tested by itself.
var knobs = (function () {
  "use strict";

  // frame gives the index of a frame from where the knobs stand. by lists the
  // knobs that count, the last of which runs fastest.
  function frame(all, by, at) {
    var i, index = 0;
    for (i = 0; i < by.length; i++) {
      index = index * all[by[i]].text.length + at[by[i]];
    }
    return index;
  }

  // path writes the path data of one of a path's forms, which come as a first
  // point and the differences after it, in tenths of a px.
  function path(moving, form) {
    var steps = moving.steps[form], shape = moving.shape || "";
    var out = "M" + pair(steps[0], steps[1]) + shape, last = "", i, letter, words;
    for (i = 2; i < steps.length; i += 2) {
      if (shape) {
        out += "m" + pair(steps[i], steps[i + 1]) + shape;
        continue;
      }
      letter = steps[i + 1] === 0 ? "h" : steps[i] === 0 ? "v" : "l";
      words = letter === "h" ? tenth(steps[i]) : letter === "v" ? tenth(steps[i + 1]) : pair(steps[i], steps[i + 1]);
      if (letter !== last) out += letter;
      else if (words.charAt(0) !== "-") out += " ";
      out += words;
      last = letter;
    }
    return out;
  }

  // put gives the attributes of one of a moving thing's forms: of a path its
  // data, of a text where it begins.
  function put(moving, form) {
    var steps = moving.steps[form];
    return moving.text ? { x: tenth(steps[0]), y: tenth(steps[1]) } : { d: path(moving, form) };
  }

  function tenth(n) { return String(n / 10); }

  // pair writes two numbers; a minus parts them as well as a space does.
  function pair(x, y) { return tenth(x) + (y < 0 ? "" : " ") + tenth(y); }

  // step gives the position to go to when a key is pressed at one of many,
  // and null for a key that means nothing to a knob. Page keys go a tenth of
  // the way.
  function step(key, at, many) {
    var far = Math.max(1, Math.round((many - 1) / 10)), to;
    switch (key) {
      case "ArrowRight":
      case "ArrowUp":
        to = at + 1;
        break;
      case "ArrowLeft":
      case "ArrowDown":
        to = at - 1;
        break;
      case "PageUp":
        to = at + far;
        break;
      case "PageDown":
        to = at - far;
        break;
      case "Home":
        to = 0;
        break;
      case "End":
        to = many - 1;
        break;
      default:
        return null;
    }
    return Math.min(Math.max(to, 0), many - 1);
  }

  // turns lists what follows a knob: those of a list that have it in by.
  function turns(list, knob) {
    return list.filter(function (one) { return one.by.indexOf(knob) >= 0; });
  }

  return { frame: frame, put: put, step: step, turns: turns };
})();
