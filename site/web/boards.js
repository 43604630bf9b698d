// What can be done to a control board, and what then follows. render/motion
// writes the data: the states that the board was brought into, each with the acts
// that lead to it and from it, and a film of how it comes about (films.js). No
// page and no clock is needed here: each function gives its answer from what it
// is told, so that it can be tested by itself.
var boards = (function () {
  "use strict";

  function read(text) {
    var data = JSON.parse(text);
    data.states.forEach(function (s) { films.opened(s.film); });
    return data;
  }

  // acts lists what can ever be done, each act once, in the order of the states:
  // first what brings them about, then what puts them right.
  function acts(data) {
    var out = [];
    ["act", "undo"].forEach(function (way) {
      data.states.forEach(function (s) {
        if (s[way] && out.indexOf(s[way]) < 0) out.push(s[way]);
      });
    });
    return out;
  }

  // leads gives what an act does in a state: the state that it leads to, and
  // whether that is played. It gives null where the act cannot be done.
  function leads(data, at, act) {
    var i, s;
    for (i = 0; i < data.states.length; i++) {
      s = data.states[i];
      if (s.act === act && (s.from || []).indexOf(at) >= 0) return { to: i, plays: true };
    }
    return data.states[at].undo === act ? { to: data.states[at].leads, plays: false } : null;
  }

  // later gives the instant of a state's film a time in ms after another, as fast
  // as the machine, up to its end.
  function later(state, t, ms) { return Math.min(t + ms / 1000, state.film.span); }

  function ended(state, t) { return t >= state.film.span; }

  // clock says what has been done, and how long ago, in tenths of a second.
  function clock(data, at, t) {
    return data.words.clock.replace("#", t.toFixed(1).replace(".", data.words.mark)).replace("@", function () { return data.states[at].act; });
  }

  return { read: read, acts: acts, leads: leads, later: later, ended: ended, clock: clock };
})();
