// The language switch of the course keeps the place. Without this script it
// leads to the top of the page.
(function () {
  "use strict";
  var headings = Array.prototype.slice.call(document.querySelectorAll(".text h2[id], .text h3[id], .text h4[id], .text h5[id], .text h6[id]"));

  Array.prototype.forEach.call(document.querySelectorAll("a[data-sections]"), function (link) {
    var bare = link.getAttribute("href");
    function aim() {
      var heights = headings.map(function (h) { return h.getBoundingClientRect().top; });
      var at = places.nearest(heights, window.innerHeight / 3);
      link.setAttribute("href", places.address(bare, link.getAttribute("data-sections").split(" "), at, headings.length));
    }
    // The switch stands at the top of the page. Whoever comes back up to it
    // was reading where the page last stood still.
    var timer = 0;
    window.addEventListener("scroll", function () {
      clearTimeout(timer);
      if (window.scrollY > window.innerHeight / 2) timer = setTimeout(aim, 200);
    }, { passive: true });
    if (location.hash) aim(); // else it is read from the top, and the link is right as it is
  });
})();
