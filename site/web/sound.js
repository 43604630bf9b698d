// Sounds of the kiosk: a button for thumbs in place of the browser's controls,
// one sound at a time, and silence when the screen is left. Without this script
// the browser's controls stand there. Nothing sounds unless it is asked for.
var sound = (function () {
  "use strict";
  var all = [];

  function each(list, f) { for (var i = 0; i < list.length; i++) f(list[i]); }

  function stop(but) {
    each(all, function (one) {
      if (one.audio === but) return;
      one.audio.pause();
      show(one, false);
    });
  }

  function show(one, playing) {
    var words = one.audio.getAttribute(playing ? "data-stop" : "data-play");
    if (one.button.textContent !== words) one.button.textContent = words;
    one.button.setAttribute("aria-pressed", String(playing));
  }

  each(document.querySelectorAll("audio[data-play]"), function (audio) {
    var one = { audio: audio, button: document.createElement("button") };
    one.button.type = "button";
    one.button.className = "hear";
    one.button.setAttribute("aria-describedby", audio.getAttribute("aria-labelledby"));
    one.button.addEventListener("click", function () {
      if (!audio.paused && !audio.ended) {
        stop();
        return;
      }
      stop(audio);
      audio.currentTime = 0;
      show(one, true);
      audio.play().catch(function () { show(one, false); });
    });
    audio.addEventListener("ended", function () { show(one, false); });
    audio.addEventListener("error", function () { show(one, false); });
    audio.controls = false;
    audio.hidden = true;
    audio.parentNode.insertBefore(one.button, audio);
    all.push(one);
    show(one, false);
  });

  // The links and keys that change the screen, and the end of a visit.
  var was = shown();
  function shown() { return document.querySelector(".screen.shown"); }
  if (all.length && window.MutationObserver) {
    new MutationObserver(function () {
      if (shown() === was) return;
      was = shown();
      stop();
    }).observe(document.body, { subtree: true, attributes: true, attributeFilter: ["class"] });
  }
  window.addEventListener("pagehide", function () { stop(); });

  return { stop: stop };
})();
