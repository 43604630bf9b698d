// What a voice is given to say, and in what order. No page and no voice is
// needed here: each function gives its answer from what it is told, so that it
// can be tested by itself.
var speech = (function () {
  "use strict";
  var LONGEST = 220; // letters at a time; some voices stop by themselves in longer texts

  // spoken writes a text so that a voice reads it out: units behind a number as
  // words, a minus as a word, no blanks that it does not know.
  function spoken(text, words) {
    var written = Object.keys(words.units).sort(function (a, b) { return b.length - a.length; });
    var units = written.map(function (u) { return u.replace(/[.*+?^${}()|[\]\\\/]/g, "\\$&"); }).join("|");
    text = text.replace(/[\s\u00a0\u202f\u2009]+/g, " ").replace(/\u00ad/g, "").trim();
    text = text.replace(/(^|[\s(])[\u2212\-](?=\d)/g, "$1" + words.minus + " ");
    if (units) {
      text = text.replace(new RegExp("(\\d)\\s?(" + units + ")(?![\\w\\u00b0-\\u024f/])", "g"), function (all, digit, unit) {
        return digit + " " + words.units[unit];
      });
    }
    return text;
  }

  // lines cuts texts into what is said at a time: sentences, and long ones at
  // commas.
  function lines(texts) {
    var out = [];
    texts.forEach(function (text) {
      text.replace(/([.!?\u2026](?:\s?["\u201d\u00bb)])*)\s+(?=[A-Z\u00c0-\u00de0-9\u00ab\u201c"(])/g, "$1\n").split("\n").forEach(function (sentence) {
        sentence = sentence.trim();
        while (sentence.length > LONGEST) {
          var cut = sentence.lastIndexOf(", ", LONGEST - 1);
          if (cut < LONGEST / 4) cut = sentence.lastIndexOf(" ", LONGEST - 1);
          if (cut < 1) break;
          out.push(sentence.slice(0, cut + 1).trim());
          sentence = sentence.slice(cut + 1).trim();
        }
        if (/[^\s.!?\u2026,;:]/.test(sentence)) out.push(sentence);
      });
    });
    return out;
  }

  // voice chooses a voice of this computer for a language, the one that the
  // system prefers first; null when there is none. A voice from elsewhere would
  // send the words there.
  function voice(voices, language) {
    var own = voices.filter(function (v) { return v.localService && v.lang.toLowerCase().split(/[-_]/)[0] === language; });
    return own.filter(function (v) { return v["default"]; })[0] || own[0] || null;
  }

  // reader says lines one after the other. lines gives them as they are at the
  // moment, say says one and calls back once it is said; silence stops what is
  // being said; changed is told whether the reader is reading.
  function reader(lines, say, silence, changed) {
    var at = -1, run = 0;
    function go(mine) {
      var all = lines();
      if (mine !== run) return;
      if (at >= all.length) return stop();
      say(all[at], function () {
        if (mine !== run) return; // it was stopped meanwhile
        at++;
        go(mine);
      });
    }
    function start() {
      stop();
      at = 0;
      changed(true);
      go(run);
    }
    function stop() {
      run++;
      if (at < 0) return;
      at = -1;
      silence();
      changed(false);
    }
    return { start: start, stop: stop, reading: function () { return at >= 0; } };
  }

  return { spoken: spoken, lines: lines, voice: voice, reader: reader };
})();
