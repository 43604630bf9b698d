// Says on the pages of the course whether to sign again, and on the sign-off
// sheet keeps in this browser what was signed for. Nothing is sent anywhere.
(function () {
  "use strict";

  var place = document.querySelector("[data-signed]");
  if (!place) return;
  var key = place.getAttribute("data-signed"), words = JSON.parse(place.getAttribute("data-words")), items = JSON.parse(place.getAttribute("data-items"));
  var noting = place.querySelector(".noting");

  try { // a browser may refuse to keep anything, or even to be asked
    window.localStorage.setItem(key + ".test", "1");
    window.localStorage.removeItem(key + ".test");
  } catch (e) { return; }

  function show() {
    var kept = signed.read(window.localStorage.getItem(key)), list = place.querySelector(".changed"), state = place.querySelector(".state");
    list.textContent = state.textContent = "";
    place.hidden = kept === null && !noting;
    place.classList.remove("again");
    if (kept === null) return;
    var changed = signed.changed(kept, items), old = signed.expired(kept.on, days.of(new Date()));
    place.classList.toggle("again", changed.length > 0 || old);
    state.textContent = (changed.length ? words.again : old ? words.expired : words.on).replace("{date}", days.inWords(kept.on, document.documentElement.lang));
    changed.forEach(function (title) {
      var li = document.createElement("li");
      li.textContent = title;
      list.appendChild(li);
    });
  }

  if (noting) noting.addEventListener("click", function () {
    try { window.localStorage.setItem(key, JSON.stringify(signed.note(items, days.of(new Date())))); } catch (e) { /* full, or forbidden since */ }
    show();
  });
  var clear = document.querySelector(".clearing .yes");
  if (clear) clear.addEventListener("click", function () {
    try { window.localStorage.removeItem(key); } catch (e) { /* then nothing is kept either */ }
    show();
  });
  show();
  window.addEventListener("storage", show);
  window.addEventListener("pageshow", show);
})();
