// What a moving drawing looks like at any instant. render/motion writes the
// data; here they are read, and turned into attributes for the parts of the
// drawing. No page and no clock is needed here: each function gives its
// answer from what it is told, so that it can be tested by itself.
var films = (function () {
  "use strict";

  // read takes the data as they stand in the page. A channel comes as its
  // first value and the differences after it, in tenths; it leaves here as
  // values in px or degrees, one a frame.
  function read(text) { return opened(JSON.parse(text)); }

  // opened does that with data that were parsed, once.
  function opened(film) {
    var name;
    for (name in film.channels) {
      film.channels[name] = sums(film.channels[name]);
    }
    return film;
  }

  function sums(differences) {
    var out = [], sum = 0, i;
    for (i = 0; i < differences.length; i++) {
      sum += differences[i];
      out.push(sum / 10);
    }
    return out;
  }

  // value gives a channel at an instant, on a straight line between frames.
  // Instants are in s from the first frame.
  function value(film, name, t) {
    var values = film.channels[name], last = values.length - 1;
    var x = Math.min(Math.max(t / film.span * last, 0), last);
    var i = Math.min(Math.floor(x), last - 1);
    return values[i] + (values[i + 1] - values[i]) * (x - i);
  }

  // state gives a switch at an instant: 0 or 1. A switch comes as its first
  // state and the instants at which it changes.
  function state(film, name, t) {
    var s = film.switches[name], i = 1;
    while (i < s.length && s[i] <= t) i++;
    return (s[0] + i - 1) % 2;
  }

  // at gives what every part has at an instant: [part, attribute, value],
  // with null for an attribute that it then has not.
  function at(film, t) {
    var out = [], i;
    for (i = 0; i < film.parts.length; i++) {
      add(out, film, film.parts[i], t);
    }
    return out;
  }

  function add(out, film, part, t) {
    var v, to;
    switch (part.does) {
      case "turn":
        out.push([part.part, "transform",
          "rotate(" + number(value(film, part.by, t)) + " " + number(part.x || 0) + " " + number(part.y || 0) + ")"]);
        break;
      case "shift":
        v = amount(film, part, part.by, t);
        out.push([part.part, "transform", move(v * (part.x || 0), v * (part.y || 0))]);
        break;
      case "orbit":
        to = place(film, part, t);
        out.push([part.part, "transform", move(to.x, to.y)]);
        break;
      case "point":
        to = place(film, part, t);
        out.push([part.part, "x2", number(to.x)], [part.part, "y2", number(to.y)]);
        break;
      case "bend":
        out.push([part.part, "d", bent(part.d, amount(film, part, part.by, t))]);
        break;
      case "thick":
        v = amount(film, part, part.by, t);
        out.push([part.part, "stroke-width", number((part.base || 0) + (part.factor || 0) * v)]);
        break;
      case "slide":
        out.push([part.part, "stroke-dashoffset", number((part.factor || 0) * value(film, part.by, t))]);
        break;
      case "trace":
        out.push([part.part, "stroke-dasharray", number(value(film, part.by, t)) + " 9999"]);
        break;
      case "fade":
        v = (part.base || 0) + (part.factor || 0) * value(film, part.by, t);
        out.push([part.part, "opacity", String(Math.floor(100 * Math.min(Math.max(v, 0), 1) + 0.5) / 100)]);
        break;
      case "over":
        out.push([part.part, "display", value(film, part.by, t) >= (part.base || 0) ? null : "none"]);
        break;
      case "show":
        out.push([part.part, "display", state(film, part.by, t) === (part.when || 0) ? null : "none"]);
        break;
    }
  }

  // amount gives a channel as a part takes it: all of it, or only what is
  // above 0.
  function amount(film, part, name, t) {
    var v = value(film, name, t);
    return part.past ? Math.max(v, 0) : v;
  }

  // place gives where a point of a turning part has come to.
  function place(film, part, t) {
    var a = value(film, part.by, t) * Math.PI / 180;
    var x = part.atx || 0, y = (part.aty || 0) + (part.out ? amount(film, part, part.out, t) : 0);
    return {
      x: (part.x || 0) + x * Math.cos(a) - y * Math.sin(a),
      y: (part.y || 0) + x * Math.sin(a) + y * Math.cos(a)
    };
  }

  // bent writes a path whose numbers move: text as it is, and pairs of a
  // number and what each px of the channel adds to it.
  function bent(path, v) {
    var out = "", i;
    for (i = 0; i < path.length; i++) {
      if (typeof path[i] === "string") {
        out += path[i];
      } else {
        out += number(path[i] + path[i + 1] * v);
        i++;
      }
    }
    return out;
  }

  function move(x, y) {
    return "translate(" + number(x) + " " + number(y) + ")";
  }

  // number writes tenths, halves upward, as the drawing was written.
  function number(x) {
    return String(Math.floor(10 * x + 0.5) / 10 + 0);
  }

  // HOLD is for how many ms a motion that ends stays at its end, before it
  // begins again.
  var HOLD = 2000;

  // later gives the instant that is shown a time in ms after another, in slow
  // motion and from the end on to the beginning. Instants behind the end are
  // those of the hold.
  function later(film, t, ms) {
    var all = film.span + (film.ends ? HOLD / 1000 / film.slow : 0);
    var to = (t + ms / 1000 / film.slow) % all;
    return to < 0 ? to + all : to;
  }

  // held says whether an instant is in the hold.
  function held(film, t) { return t > film.span; }

  // words says an instant for a listener: the angle in the turn, or the time,
  // and what the contact does.
  function words(film, t) {
    t = Math.min(t, film.span);
    var out = film.channels.angle ?
      String((Math.round(value(film, "angle", t)) % 360 + 360) % 360) + "°" :
      String(Math.round(10000 * t) / 10) + " ms";
    return film.say ? out + ", " + film.words.states[state(film, film.say, t)] : out;
  }

  // along gives where the cursor of a plot stands at an instant, in the plot's
  // own px, and null outside the plot. The axis runs over the instants from
  // and to, which stand at left and right.
  function along(axis, t) {
    var f = (t - axis.from) / (axis.to - axis.from);
    return f >= 0 && f <= 1 ? axis.left + f * (axis.right - axis.left) : null;
  }

  return { read: read, opened: opened, value: value, state: state, at: at, later: later, held: held, words: words, along: along };
})();
