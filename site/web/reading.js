// Reads a screen of the kiosk to its visitor, with the browser's own voice. The
// button is there only where the browser has a voice of this computer for the
// page's language.
(function () {
  "use strict";
  var source = document.querySelector(".reading"), synthesis = window.speechSynthesis;
  if (!source || !synthesis) return;
  var words = JSON.parse(source.getAttribute("data-words")), language = document.documentElement.lang;
  var buttons = [];

  function all(within, selector) { return Array.prototype.slice.call(within.querySelectorAll(selector)); }
  function screen() { return all(document, ".screen").filter(function (s) { return s.offsetHeight > 0; })[0]; }

  var BLOCKS = /^(p|div|li|ol|ul|h[1-6]|figure|figcaption|blockquote|table|caption|tr)$/;
  var MUTE = "script, nav, .of, .strip, .motion-controls, .unseen, audio, input, .hear, .pass, .scene, .dial, .acts";

  // texts gives what is to be said of a screen as it is now, in the order of its
  // page. The script for a recording is made of the same (site/script.go).
  function texts(of) {
    var out = [], now = "";
    function end() {
      if (now.trim()) out.push(now.replace(/\s+/g, " ").trim());
      now = "";
    }
    function children(e) { Array.prototype.forEach.call(e.childNodes, walk); }
    function walk(n) {
      if (n.nodeType === 3) now += n.data;
      if (n.nodeType !== 1 || n.matches(MUTE) || n.hidden) return;
      if (n.localName === "svg") {
        var desc = n.querySelector("desc");
        end();
        if (desc) now = desc.textContent;
        return end();
      }
      if (n.offsetHeight === 0 && getComputedStyle(n).display !== "contents") return;
      if (n.matches(".knob")) {
        end();
        now = words.knob.replace("{knob}", n.querySelector(".called").textContent).replace("{setting}", n.querySelector(".setting").textContent);
        return end();
      }
      var block = BLOCKS.test(n.localName) || n.matches(".offers button");
      if (block) end();
      if (n.localName === "figure") { // what it shows, then what is drawn
        all(n, "figcaption").forEach(walk);
        Array.prototype.filter.call(n.childNodes, function (c) { return c.localName !== "figcaption"; }).forEach(walk);
      } else {
        children(n);
      }
      if (n.localName === "td" || n.localName === "th") now = now.trim() && now.trim() + (n.nextElementSibling ? ", " : "");
      if (block) end();
    }
    if (of) children(of);
    return out;
  }

  function lines() { return speech.lines(texts(screen()).map(function (t) { return speech.spoken(t, words); })); }

  function say(line, done) {
    var u = new SpeechSynthesisUtterance(line);
    u.voice = speech.voice(synthesis.getVoices(), language);
    u.lang = u.voice ? u.voice.lang : language;
    u.onend = done;
    u.onerror = function (e) { if (e.error !== "interrupted" && e.error !== "canceled") reader.stop(); };
    // Who listens is there, and is not asked whether somebody is.
    document.dispatchEvent(new Event("input"));
    synthesis.speak(u);
  }

  var reader = speech.reader(lines, say, function () { synthesis.cancel(); }, function (reading) {
    buttons.forEach(function (b) {
      b.textContent = reading ? words.stop : words.read;
      b.classList.toggle("on", reading);
    });
    if (reading) all(document, "audio").forEach(function (a) { a.pause(); }); // nothing sounds over it
  });

  function offer() {
    var can = speech.voice(synthesis.getVoices(), language) !== null;
    if (can && !buttons.length) {
      buttons = all(document, ".screen > .bar").map(function (bar) {
        var b = document.createElement("button"), before = bar.querySelector(".home");
        b.type = "button";
        b.className = "read";
        b.textContent = words.read;
        b.addEventListener("click", function () {
          if (reader.reading()) reader.stop();
          else reader.start();
        });
        bar.insertBefore(b, before ? before.nextSibling : bar.firstChild);
        return b;
      });
    }
    buttons.forEach(function (b) { b.hidden = !can; });
    if (!can) reader.stop();
  }

  offer();
  if (synthesis.addEventListener) synthesis.addEventListener("voiceschanged", offer);

  // Another screen, another sound, a page that is left, a question whether
  // somebody is there: the voice stops.
  var shows = new MutationObserver(function () { if (reader.reading()) reader.stop(); });
  all(document, ".screen").forEach(function (s) { shows.observe(s, { attributes: true, attributeFilter: ["class"] }); });
  document.addEventListener("play", function () { reader.stop(); }, true);
  window.addEventListener("pagehide", function () { reader.stop(); });
  all(document, ".ask").forEach(function (ask) {
    new MutationObserver(function () { if (ask.open) reader.stop(); }).observe(ask, { attributes: true, attributeFilter: ["open"] });
  });
  synthesis.cancel(); // of a page before this one
})();
