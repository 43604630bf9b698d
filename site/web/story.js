// Opens, below its paragraph, where a number comes from. The stories stand at the
// end of the page; without this script numbers lead there.
(function () {
  "use strict";
  var list = document.querySelector(".stories");
  if (!list) return;
  var decimal = list.getAttribute("data-decimal");
  var open = null; // what is open: { by: the number, panel: what was put in }

  function named(link) { return document.getElementById(decodeURIComponent(link.getAttribute("href").slice(1))); }

  // the block that the panel comes below; a list's entry holds it inside
  function block(link) {
    return link.closest("p, dd, li, figure, table, blockquote, .notice, td") || link.parentNode;
  }

  function close(back) {
    if (!open) return;
    var by = open.by;
    open.panel.remove();
    by.setAttribute("aria-expanded", "false");
    by.removeAttribute("aria-controls");
    open = null;
    if (back) by.focus();
  }

  // the equations themselves, in the place of the ways to them
  function unfold(panel) {
    Array.prototype.slice.call(panel.querySelectorAll("a.main")).forEach(function (main) {
      var equation = named(main);
      if (!equation) return;
      var copy = document.createElement("div");
      copy.className = equation.className;
      copy.innerHTML = equation.innerHTML;
      main.parentNode.insertAdjacentElement("afterend", copy);
      main.remove();
    });
  }

  // A number that follows a knob shows what it is now.
  function refresh() {
    if (!open) return;
    var now = open.by.querySelector("data"), whole = open.panel.querySelector(".whole data");
    if (!now || !whole || !now.hasAttribute("data-bound")) return;
    whole.setAttribute("value", now.getAttribute("value"));
    whole.textContent = now.getAttribute("value").replace(".", decimal).replace("-", "\u2212");
    // the doubt is that of the number at first
    var doubt = open.panel.querySelector(".doubt");
    if (doubt) doubt.hidden = open.panel.getAttribute("data-value") !== now.getAttribute("value");
  }

  function show(link) {
    var source = named(link);
    if (!source) return;
    var inside = open && open.panel.contains(link) ? open.by : link; // one story out of another takes its place
    close(false);
    var at = block(inside), panel = document.createElement("div");
    panel.className = "opened";
    panel.id = "story-opened";
    panel.setAttribute("role", "region");
    panel.setAttribute("aria-label", document.getElementById("numbers.here").textContent);
    panel.innerHTML = source.innerHTML;
    var first = panel.querySelector(".whole data");
    if (first) panel.setAttribute("data-value", first.getAttribute("value"));
    unfold(panel);
    var button = document.createElement("button");
    button.type = "button";
    button.className = "close";
    button.setAttribute("aria-label", list.getAttribute("data-close"));
    button.textContent = "\u00d7";
    button.addEventListener("click", function () { close(true); });
    panel.insertBefore(button, panel.firstChild);
    ready(panel);
    if (/^(LI|DD|TD|DIV|BLOCKQUOTE)$/.test(at.tagName)) at.appendChild(panel); else at.insertAdjacentElement("afterend", panel);
    inside.setAttribute("aria-expanded", "true");
    inside.setAttribute("aria-controls", panel.id);
    open = { by: inside, panel: panel };
    if (inside === link) refresh(); else button.focus();
  }

  function ready(within) {
    Array.prototype.slice.call(within.querySelectorAll("a.told")).forEach(function (link) {
      if (!named(link)) return;
      link.setAttribute("role", "button");
      link.setAttribute("aria-expanded", "false");
      link.addEventListener("click", function (e) {
        if (e.ctrlKey || e.metaKey || e.shiftKey || e.button) return;
        e.preventDefault();
        if (open && open.by === link) close(false); else show(link);
      });
      link.addEventListener("keydown", function (e) {
        if (e.key === " ") { e.preventDefault(); link.click(); }
      });
    });
  }

  document.addEventListener("keydown", function (e) {
    if (e.key === "Escape" && open) close(true);
  });
  document.addEventListener("input", refresh);

  ready(document.querySelector(".text") || document);
  // A way from elsewhere into a story finds it open at its number.
  function arrive() {
    var to = location.hash.slice(1);
    if (to.indexOf("story.") !== 0) { list.hidden = to.indexOf("equation.") !== 0; return; }
    list.hidden = true;
    var link = document.querySelector('.text a.told[href="#' + to.replace(/["\\]/g, "") + '"]');
    if (!link) { list.hidden = false; return; }
    if (!open || open.by !== link) show(link);
    link.scrollIntoView({ block: "center" });
  }
  arrive();
  window.addEventListener("hashchange", arrive);
})();
