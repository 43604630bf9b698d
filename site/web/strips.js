// A board's wires, at one part after the other and on one drawing at a time. The
// page shows the first part; the others stand in a noscript element, which is read
// when a reader picks one of them. drawn.js knows what is seen; here it is shown.
// Paper has what the screen shows.
(function () {
  "use strict";

  function each(list, f) { Array.prototype.forEach.call(list, f); }

  // put leaves alone what is there already, so that a page that loads is laid out once.
  function put(into, list) {
    if (list.length !== into.children.length || list.some(function (e, i) { return e !== into.children[i]; })) into.replaceChildren.apply(into, list);
  }

  function made(figure) {
    var choices = figure.querySelector(".choices");
    if (!choices) return;
    var select = choices.querySelector("select"), radios = choices.querySelectorAll("input"), status = choices.querySelector(".shown");
    var place = figure.querySelector(".parts"), body = figure.querySelector(".both > .table:not(.sheets) tbody");
    var parts = [], wires = [], more = figure.querySelector("noscript");

    function read(from) {
      each(from.querySelectorAll(".part"), function (p) { parts.push(p); });
      each(from.querySelectorAll("tr[data-wire]"), function (row) {
        var w = drawn.wire(row.cells[0].textContent, row.cells[1].textContent, row.getAttribute("data-on"));
        w.row = row;
        wires[Number(row.getAttribute("data-wire"))] = w; // its place in the list of all
      });
    }

    function show() {
      var part = select.value, sheet = null;
      if (more && part !== parts[0].getAttribute("data-part")) {
        read(new DOMParser().parseFromString(more.textContent, "text/html"));
        more = null;
      }
      each(radios, function (r) { if (r.checked && r.value !== "") sheet = Number(r.value); });
      var shown = parts.filter(function (p) { return part === "" || p.getAttribute("data-part") === part; });
      put(place, shown);
      each(place.querySelectorAll("g[data-wire]"), function (g) {
        if (drawn.seen(wires[Number(g.getAttribute("data-wire"))], "", sheet)) g.removeAttribute("display");
        else g.setAttribute("display", "none");
      });
      var rows = [];
      wires.forEach(function (w) { if (drawn.seen(w, part, sheet)) rows.push(w.row); });
      put(body, rows);
      status.textContent = drawn.said(figure.getAttribute("data-shown"), drawn.count(wires, part, sheet));
    }

    function first() {
      each(select.options, function (o) { o.selected = o.defaultSelected; });
      each(radios, function (r) { r.checked = r.defaultChecked; });
      show();
    }

    read(figure);
    choices.hidden = false;
    select.addEventListener("change", show);
    each(radios, function (r) { r.addEventListener("change", show); });
    // The next reader finds all as it was, even on a page that the browser kept.
    window.addEventListener("pageshow", function (e) { if (e.persisted) first(); });
    first();
  }

  each(document.querySelectorAll("figure.strips"), made);
})();
