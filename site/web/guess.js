// Guesses of the kiosk: what a panel says and shows below its guess comes after
// the choice. Without this script it stands below the answers. What visitors
// are told stands in the page already, and is shown or hidden.
(function () {
  "use strict";

  function all(root, selector) { return Array.prototype.slice.call(root.querySelectorAll(selector)); }

  function prepare(guess) {
    var screen = guess.closest(".screen"), stands = "open";
    var offers = guess.querySelector(".offers"), right = guess.querySelector(".right"), pass = screen.querySelector(".pass");
    var buttons = all(offers, "button"), told = all(guess, ".told");

    function show() {
      var open = stands === "open", said = null;
      screen.setAttribute("data-guess", open ? "open" : "made");
      offers.hidden = pass.hidden = !open;
      all(screen, ".after").forEach(function (e) { e.hidden = open; }); // also to who has the panel read aloud
      right.hidden = stands !== "shown";
      if (!right.hidden) said = right;
      told.forEach(function (t) {
        t.hidden = t.getAttribute("data-option") !== stands;
        if (!t.hidden) said = t;
      });
      return said;
    }

    // The buttons are gone after the choice, so what is said has the focus: a
    // screen reader begins there, and the next key of a keyboard goes on from
    // there. What moves begins now.
    function happen(what) {
      var had = stands, said;
      stands = guesses.after(stands, what);
      if (stands === had) return;
      said = show();
      if (!said) return;
      if (window.motion) motion.reset(screen);
      said.focus({ preventScroll: true });
    }

    buttons.forEach(function (button, i) {
      button.disabled = false;
      button.addEventListener("click", function () { happen(button.getAttribute("data-option")); });
      button.addEventListener("keydown", function (e) {
        var to = e.altKey || e.ctrlKey || e.metaKey ? null : guesses.among(e.key, i, buttons.length);
        if (to === null) return;
        e.preventDefault();
        buttons[to].focus({ preventScroll: true });
      });
    });
    pass.querySelector("button").addEventListener("click", function () { happen("skip"); });

    // Whoever comes to this screen next guesses anew, also on a page that the
    // browser kept.
    new MutationObserver(function () {
      if (!screen.classList.contains("shown")) happen("leave");
    }).observe(screen, { attributes: true, attributeFilter: ["class"] });
    window.addEventListener("pageshow", function (e) {
      if (e.persisted) happen("leave");
    });

    show();
  }

  all(document, ".guess").forEach(prepare);
})();
