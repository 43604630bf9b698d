// Where a finger on a dial turns its knob, and how the dial then looks. No page
// is needed here: each function gives its answer from what it is told, so that
// it can be tested by itself. render/page draws the dial, with the same sweep.
var dial = (function () {
  "use strict";
  var FROM = -135, SWEEP = 270; // degrees from the top, clockwise
  var LEAP = 0.75; // of the way: a finger that moves as far at once has crossed the gap
  var NEAR = 0.12; // of the dial's width: so near the middle a finger has no direction

  // part gives how far along the scale one of many positions is, from 0 to 1.
  function part(at, many) { return many > 1 ? at / (many - 1) : 0; }

  // angle and lit write what the drawing shows at one of many positions: the
  // pointer's angle in degrees, and how many hundredths of the scale are lit.
  function angle(at, many) { return short(FROM + SWEEP * part(at, many)); }
  function lit(at, many) { return short(100 * part(at, many)); }
  function short(x) { return String(Math.floor(100 * x + 0.5) / 100); }

  // under gives the position under a finger at x to the right of the middle and
  // y below it, on a dial so wide, and null where that has no direction. Below,
  // where the scale is open, the nearer end holds.
  function under(x, y, width, many) {
    var turn, along;
    if (Math.sqrt(x * x + y * y) < NEAR * width) return null;
    turn = Math.atan2(x, -y) * 180 / Math.PI; // -180 to 180 from the top
    along = Math.min(Math.max((turn - FROM) / SWEEP, 0), 1);
    return Math.round(along * (many - 1));
  }

  // drawn does that for a finger that came from a position without being
  // lifted: it does not leap over the gap from one end to the other.
  function drawn(x, y, width, many, from) {
    var to = under(x, y, width, many);
    if (to === null) return from;
    if (many > 2 && Math.abs(part(to, many) - part(from, many)) > LEAP) return to < from ? many - 1 : 0;
    return to;
  }

  return { angle: angle, lit: lit, under: under, drawn: drawn };
})();
