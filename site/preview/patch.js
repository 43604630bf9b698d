// How a page that is open is changed into its new version. Three trees are
// held against each other: the page as it is open (live), which the page's own
// scripts may have changed; the page as it was sent (base); and the page as it
// is sent now (next). Only what differs between base and next is touched in
// live, so that listeners, the positions of knobs, what is unfolded, and the
// place in the text stay.

// align pairs two lists of strings: equal ones along a longest common
// subsequence, the others between them one to one as far as they go. A pair
// is [i, j], with -1 where there is no partner.
function align(before, after) {
  var pairs = [], start = 0, i, j;
  var endA = before.length, endB = after.length;
  while (start < endA && start < endB && before[start] === after[start]) {
    pairs.push([start, start]);
    start++;
  }
  while (endA > start && endB > start && before[endA - 1] === after[endB - 1]) {
    endA--;
    endB--;
  }
  // longest[i][j]: length of the longest common subsequence from i and j on.
  var longest = [];
  for (i = endA; i >= start; i--) {
    longest[i] = [];
    for (j = endB; j >= start; j--) {
      if (i === endA || j === endB) longest[i][j] = 0;
      else if (before[i] === after[j]) longest[i][j] = longest[i + 1][j + 1] + 1;
      else longest[i][j] = Math.max(longest[i + 1][j], longest[i][j + 1]);
    }
  }
  var left = [], right = [];
  function between() {
    while (left.length || right.length) {
      pairs.push([left.length ? left.shift() : -1, right.length ? right.shift() : -1]);
    }
  }
  i = start;
  j = start;
  while (i < endA || j < endB) {
    if (i < endA && j < endB && before[i] === after[j]) {
      between();
      pairs.push([i++, j++]);
    } else if (j === endB || (i < endA && longest[i + 1][j] >= longest[i][j + 1])) {
      left.push(i++);
    } else {
      right.push(j++);
    }
  }
  between();
  for (; endA < before.length; endA++, endB++) pairs.push([endA, endB]);
  return pairs;
}

// source gives a node as it was written, to compare by.
function source(node) {
  return node.nodeType === 1 ? node.outerHTML : node.nodeType + " " + node.nodeValue;
}

// isCode says whether an element is a script that runs, not a block of data.
function isCode(element) {
  return element.localName === "script" && /^(module|importmap|.*javascript.*|)$/i.test(element.type);
}

// weigh notes what it means for the page when an element comes, goes or changes
// its attributes. "fresh": the browser takes notice of it only when a page is
// loaded, or the policy of the page may forbid the new one. "wired": the page's
// scripts may have read it or may listen to it.
function weigh(element, plan) {
  weighContent(element, plan);
  if (/^(link|base)$/.test(element.localName) || element.httpEquiv) {
    plan.fresh = true;
  } else if (/^(input|select|canvas|audio|video|source|dialog)$/.test(element.localName)) {
    plan.wired = true;
  }
  for (var i = 0; i < element.attributes.length; i++) {
    if (element.attributes[i].name.indexOf("data-") === 0) plan.wired = true;
  }
}

// weighContent does the same for an element whose text changed.
function weighContent(element, plan) {
  if (isCode(element) || /^(style|noscript|template)$/.test(element.localName)) {
    plan.fresh = true;
  } else if (/^(script|button|option|textarea|output)$/.test(element.localName)) {
    plan.wired = true;
  }
}

function weighAll(node, plan) {
  if (node.nodeType !== 1) return;
  weigh(node, plan);
  for (var child = node.firstChild; child; child = child.nextSibling) weighAll(child, plan);
}

// compare adds to the plan the steps that bring live from base to next. All
// three are elements of the same name.
function compare(live, base, next, plan) {
  compareAttributes(live, base, next, plan);
  if (base.localName === "template" || base.localName === "noscript") {
    if (base.innerHTML !== next.innerHTML) plan.fresh = true;
    return;
  }
  var bases = Array.from(base.childNodes), nexts = Array.from(next.childNodes), lives = Array.from(live.childNodes);
  var before = bases.map(source), after = nexts.map(source);
  var same = before.length === after.length && before.every(function (s, i) { return s === after[i]; });
  if (same) return;
  weighContent(base, plan);
  var known = lives.length === bases.length && lives.every(function (node, i) { return node.nodeName === bases[i].nodeName; });
  if (!known) {
    // A script of the page built something here, and would have to again.
    plan.fresh = true;
    return;
  }
  var behind = null; // what the next new node goes in front of
  align(before, after).reverse().forEach(function (pair) {
    var i = pair[0], j = pair[1];
    if (i >= 0 && j >= 0 && before[i] === after[j]) {
      behind = lives[i];
      return;
    }
    if (i >= 0 && j >= 0 && alike(bases[i], nexts[j])) {
      if (bases[i].nodeType === 1) compare(lives[i], bases[i], nexts[j], plan);
      else plan.steps.push(function () { lives[i].nodeValue = nexts[j].nodeValue; });
      behind = lives[i];
      return;
    }
    if (i >= 0) {
      weighAll(bases[i], plan);
      plan.steps.push(function () { live.removeChild(lives[i]); });
    }
    if (j >= 0) {
      weighAll(nexts[j], plan);
      var copy = live.ownerDocument.importNode(nexts[j], true), front = behind;
      plan.steps.push(function () { live.insertBefore(copy, front); });
      behind = copy;
    }
  });
}

// alike says whether one node can be turned into the other.
function alike(a, b) {
  return a.nodeType === b.nodeType && a.nodeName === b.nodeName && a.id === b.id;
}

function compareAttributes(live, base, next, plan) {
  var names = {};
  Array.from(base.attributes).concat(Array.from(next.attributes)).forEach(function (a) { names[a.name] = true; });
  Object.keys(names).forEach(function (name) {
    var value = next.getAttribute(name);
    if (base.getAttribute(name) === value) return;
    weigh(base, plan);
    weigh(next, plan);
    plan.steps.push(function () {
      if (value === null) live.removeAttribute(name);
      else live.setAttribute(name, value);
    });
  });
}

// planFor compares two versions of a document and gives what is to be done to
// the open one: steps, and whether it is fresh or wired (see weigh).
function planFor(live, base, next) {
  var plan = { steps: [], fresh: false, wired: false };
  compareAttributes(live.documentElement, base.documentElement, next.documentElement, plan);
  compare(live.head, base.head, next.head, plan);
  compare(live.body, base.body, next.body, plan);
  return plan;
}

// choices lists what a reader can have set in a document: a map from a key,
// which finds the same control in another version of the page, to the control
// and its setting.
function choices(doc) {
  var found = {}, count = {};
  doc.querySelectorAll("input, select, textarea, details").forEach(function (element) {
    var kind = element.localName, type = kind === "input" ? element.type : "";
    if (/^(file|password|button|submit|reset|image|hidden)$/.test(type)) return;
    var ticked = type === "checkbox" || type === "radio";
    var key = element.id ? "#" + element.id : element.getAttribute("name") || "";
    if (kind === "details" && !element.id) {
      var summary = element.querySelector("summary");
      key += " " + (summary ? summary.textContent : "");
    }
    if (ticked) key += "=" + element.getAttribute("value");
    key = kind + " " + key;
    count[key] = (count[key] || 0) + 1;
    key += " " + count[key];
    var value = kind === "details" ? element.open : ticked ? element.checked : element.value;
    found[key] = { element: element, value: value };
  });
  return found;
}

// chosen lists what the reader set to something else than the page says.
function chosen(live, base) {
  var is = choices(live), was = choices(base), out = {};
  Object.keys(is).forEach(function (key) {
    if (was[key] && was[key].value !== is[key].value) out[key] = is[key].value;
  });
  return out;
}

// choose sets controls as the reader had them, and tells the page's scripts as
// if the reader had done it.
function choose(doc, wanted) {
  var are = choices(doc);
  Object.keys(wanted).forEach(function (key) {
    var control = are[key];
    if (!control || control.value === wanted[key]) return;
    var element = control.element;
    if (element.localName === "details") {
      element.open = wanted[key];
      return;
    }
    if (typeof wanted[key] === "boolean") element.checked = wanted[key];
    else element.value = wanted[key];
    ["input", "change"].forEach(function (name) {
      element.dispatchEvent(new Event(name, { bubbles: true }));
    });
  });
}

// footing remembers what is at the top of the window, and gives a function
// that brings it back there. Between two paragraphs there is only what holds
// them, which does not move with them: the first thing counts that fits into
// the window.
function footing(window) {
  var chain = [], element = null;
  for (var y = 1; y < window.innerHeight; y += 8) {
    var here = window.document.elementFromPoint(window.innerWidth / 2, y);
    element = element || here;
    if (here && here.getBoundingClientRect().height < window.innerHeight) {
      element = here;
      break;
    }
  }
  for (; element; element = element.parentElement) {
    chain.push({ element: element, top: element.getBoundingClientRect().top });
  }
  return function () {
    var held = chain.find(function (link) { return link.element.isConnected; });
    if (held) window.scrollBy({ left: 0, top: held.element.getBoundingClientRect().top - held.top, behavior: "instant" });
  };
}
