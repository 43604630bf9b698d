// What an open page does while it is rehearsed: it listens for changes, brings
// itself up to date, and shows what is wrong. See patch.js for how it changes.

var own = document.currentScript;
var build = own.getAttribute("data-rehearse");
var uses = own.getAttribute("data-rehearse-uses");
var none = own.hasAttribute("data-rehearse-none");
// From here on the page is as it will be published.
own.remove();

var memory = "rehearse " + location.pathname; // where choices wait for a reload
var base = null;      // the page as it was sent
var latest = null;    // what the server said last
var busy = false;     // an update is under way
var again = false;    // and another has to follow
var gone = false;     // the page is no longer made
var lost = false;     // the server cannot be reached
var dismissed = "";   // the notice that the author has put aside
var stream = null, timer = 0;

function get() {
  return fetch(location.href.split("#")[0], { cache: "no-store" });
}

// load gets the page as it is sent now.
function load() {
  return get().then(function (answer) {
    return answer.text().then(function (text) {
      var doc = new DOMParser().parseFromString(text, "text/html");
      var script = doc.querySelector("script[data-rehearse]");
      if (!script) throw new Error("not a page of the rehearsal");
      script.remove();
      return {
        doc: doc,
        build: script.getAttribute("data-rehearse"),
        uses: script.getAttribute("data-rehearse-uses"),
        none: script.hasAttribute("data-rehearse-none"),
      };
    });
  });
}

// reload loads the page anew, with the reader's choices kept for it.
function reload(choice) {
  try {
    var focus = document.activeElement ? document.activeElement.id : "";
    sessionStorage.setItem(memory, JSON.stringify({ x: scrollX, y: scrollY, choice: choice, focus: focus }));
  } catch (e) {
    // No storage: the page is right, only the choices are lost.
  }
  location.reload();
}

// resume takes up the choices after a reload.
function resume() {
  var kept = null;
  try {
    kept = JSON.parse(sessionStorage.getItem(memory));
    sessionStorage.removeItem(memory);
  } catch (e) {
    // As above.
  }
  if (!kept) return;
  choose(document, kept.choice);
  refocus(kept.focus);
  scrollTo({ left: kept.x, top: kept.y, behavior: "instant" });
}

function refocus(id) {
  var element = id && document.getElementById(id);
  if (element && element !== document.activeElement) element.focus({ preventScroll: true });
}

// turn makes the open page into its new version.
function turn(next) {
  var choice = chosen(document, base.doc);
  var plan = planFor(document, base.doc, next.doc);
  if (plan.fresh || next.uses !== uses) return reload(choice);
  base = next;
  build = next.build;
  if (!plan.steps.length) return;
  var focus = document.activeElement ? document.activeElement.id : "";
  var stand = footing(window);
  plan.steps.forEach(function (step) { step(); });
  // A page whose scripts can take up changed parts says so by preventing the
  // default, which is to load the page anew when they may be concerned.
  var scripted = Array.from(document.scripts).some(isCode);
  var changed = new CustomEvent("rehearse-changed", { cancelable: true });
  if (document.dispatchEvent(changed) && plan.wired && scripted) return reload(choice);
  choose(document, choice);
  refocus(focus);
  stand();
}

// update brings the page up to date, one update at a time.
function update() {
  if (busy) {
    again = true;
    return;
  }
  busy = true;
  var wanted = latest.build;
  (none ? get().then(function (answer) {
    if (answer.ok) location.reload();
    else build = wanted;
  }) : load().then(function (next) {
    gone = next.none;
    if (gone) build = next.build;
    else turn(next);
  })).catch(function (e) {
    // The stream notices when the server is gone; anything else shows here.
    console.error("rehearse:", e);
  }).then(function () {
    busy = false;
    show();
    if (again) {
      again = false;
      if (latest.build !== build) update();
    }
  });
}

function listen() {
  clearTimeout(timer);
  // A browser opens few connections to a server, so a page that nobody sees
  // lets go of its own, and asks again when it is looked at.
  if (document.visibilityState !== "visible") {
    if (stream) stream.close();
    stream = null;
    return;
  }
  if (stream && stream.readyState !== EventSource.CLOSED) return;
  stream = new EventSource(location.origin + "/.rehearse/changes");
  stream.onmessage = function (event) {
    clearTimeout(timer);
    lost = false;
    latest = JSON.parse(event.data);
    show();
    if (latest.build !== build) update();
  };
  stream.onerror = function () {
    clearTimeout(timer);
    timer = setTimeout(function () {
      lost = true;
      show();
      listen();
    }, 1500);
  };
}

function start() {
  setTimeout(resume, 0);
  (none ? Promise.resolve(null) : load()).then(function (page) {
    // The site was made anew while this page was loading, or is gone.
    if (page && page.build !== build) return location.reload();
    base = page;
    listen();
    document.addEventListener("visibilitychange", listen);
  }, function () {
    setTimeout(start, 1500);
  });
}

// What is wrong is shown in a box of its own at the foot of the window, where
// neither the page's styles nor its scripts reach it. All of it is set as text.

var look =
  ":host { all: initial; }" +
  "section { position: fixed; inset: auto 0 0 0; z-index: 2147483647; max-height: 55vh; overflow: auto;" +
  " box-sizing: border-box; padding: 1rem 1.5rem 1.25rem; border-top: 4px solid #e0b040;" +
  " background: #1f2a36; color: #f7f3e8; font: 16px/1.45 sans-serif; user-select: text; touch-action: auto; }" +
  "h2 { margin: 0 0 .5rem; font-size: 1.125rem; }" +
  "ol { margin: 0; padding: 0; list-style: none; }" +
  "li { margin: .75rem 0 0; }" +
  "p { margin: 0; white-space: pre-wrap; overflow-wrap: anywhere; }" +
  ".place { color: #e0b040; font-family: monospace; }" +
  "pre { margin: .25rem 0; padding: .25rem .5rem; border-left: 3px solid #e0b040; background: #121a22;" +
  " overflow-x: auto; font: 15px/1.4 monospace; tab-size: 4; }" +
  ".hint::before { content: '\\2192\\00a0'; }" +
  "a { color: #e0b040; }" +
  "button { float: right; min-height: 2rem; padding: 0 .75rem; border: 1px solid #e0b040; border-radius: 4px;" +
  " background: none; color: inherit; font: inherit; cursor: pointer; }" +
  "button:focus-visible, a:focus-visible { outline: 3px solid #f7f3e8; outline-offset: 2px; }" +
  "@media print { section { display: none; } }";

var host = null;

function add(parent, name, text, kind) {
  var element = document.createElement(name);
  if (text) element.textContent = text;
  if (kind) element.className = kind;
  parent.appendChild(element);
  return element;
}

// show brings the box up to what is known.
function show() {
  var messages = latest ? latest.messages : [], notes = latest && latest.notes || [];
  var notice = JSON.stringify([gone, lost, messages, notes]);
  if (host && host.notice === notice) return;
  if (host) host.remove();
  host = null;
  if (!gone && !lost && !messages.length && !notes.length) dismissed = "";
  else if (notice !== dismissed) draw(notice, messages, notes);
}

function draw(notice, messages, notes) {
  host = document.createElement("rehearse-notice");
  host.notice = notice;
  var shadow = host.attachShadow({ mode: "open" });
  var sheet = new CSSStyleSheet();
  sheet.replaceSync(look);
  shadow.adoptedStyleSheets = [sheet];
  var box = add(shadow, "section");
  box.lang = "en";
  box.dir = "ltr";
  box.setAttribute("role", gone || lost || messages.length ? "alert" : "status");
  var hide = add(box, "button", "Hide");
  hide.type = "button";
  hide.onclick = function () {
    dismissed = notice;
    host.remove();
    host = null;
  };
  if (lost) {
    add(box, "h2", "The rehearsal cannot be reached");
    add(box, "p", "It may have ended. When it runs again at this address, this page comes up to date by itself.");
  }
  if (gone) {
    add(box, "h2", "This page is no longer made");
    var p = add(box, "p", "What it was last stays in view. ");
    add(p, "a", "To the start page").href = "/";
  }
  if (messages.length) {
    add(box, "h2", "This has to be mended");
    var list = add(box, "ol");
    messages.forEach(function (m) {
      var item = add(list, "li");
      if (m.place) add(item, "p", m.place, "place");
      if (m.source) add(item, "pre", m.source);
      add(item, "p", (m.warning ? "warning: " : "") + m.text, "text");
      if (m.hint) add(item, "p", m.hint, "hint");
    });
    if (latest.more) add(list, "li", "and " + latest.more + " more, listed in the terminal");
  }
  if (notes.length) {
    add(box, "h2", "What the cells printed");
    var printed = add(box, "ol");
    notes.forEach(function (m) {
      var item = add(printed, "li");
      if (m.place) add(item, "p", m.place, "place");
      add(item, "pre", m.hint);
    });
  }
  // Beside the body: what is inside the body is compared with the page.
  document.documentElement.appendChild(host);
}

if (document.readyState === "complete") start();
else addEventListener("load", start);
