// Where a reader is in a page, so that the page in another language opens at
// the same section.
var places = (function () {
  "use strict";

  // nearest gives the index of the section that is being read: the last whose
  // heading, at a height of the window in pixels, is above the line; -1 above
  // the first.
  function nearest(heights, line) {
    var at = -1;
    heights.forEach(function (y, i) { if (y <= line) at = i; });
    return at;
  }

  // address leads to the section of an index, where the other page has as many
  // sections as this one.
  function address(href, sections, at, many) {
    var bare = href.replace(/#.*$/, "");
    return at < 0 || sections.length !== many ? bare : bare + "#" + sections[at];
  }

  return { nearest: nearest, address: address };
})();
