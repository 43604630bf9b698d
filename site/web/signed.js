// Whether what a volunteer signed for is still the same. No page and no storage
// is needed here. What is kept is the day, and the digest of each thing then.
var signed = (function () {
  "use strict";

  // read understands a kept text; null stands for nothing, or damage.
  function read(text) {
    var found = null;
    try { found = JSON.parse(text); } catch (e) { return null; }
    if (found === null || typeof found !== "object" || !days.is(found.on)) return null;
    var digests = found.digests;
    return { on: found.on, digests: digests !== null && typeof digests === "object" ? digests : {} };
  }

  // note gives what is to be kept of things that are signed for on a day.
  function note(items, on) {
    var digests = {};
    items.forEach(function (item) { digests[item.name] = item.digest; });
    return { on: on, digests: digests };
  }

  // changed lists the titles of what was not so when it was signed for.
  function changed(kept, items) {
    return items.filter(function (item) {
      return !Object.prototype.hasOwnProperty.call(kept.digests, item.name) || kept.digests[item.name] !== item.digest;
    }).map(function (item) { return item.title; });
  }

  // expired says whether more than three years have passed.
  function expired(on, today) { return String(Number(on.slice(0, 4)) + 3) + on.slice(4) < today; }

  return { read: read, note: note, changed: changed, expired: expired };
})();
