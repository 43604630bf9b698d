// What TestShipped looks for in a page. It is evaluated there by the debugger,
// and each function gives a list of complaints.
var sweep = (function () {
  "use strict";
  const css = e => getComputedStyle(e);
  const all = selector => [...document.querySelectorAll(selector)];
  const seen = e => e.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && e.getClientRects().length > 0;
  const controls = "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]:not([tabindex='-1'])";

  // name says which element is meant.
  function name(e) {
    const text = e.textContent.trim().replace(/\s+/g, " ").slice(0, 40);
    return e.tagName.toLowerCase() + (e.id ? "#" + e.id : "") + (e.getAttribute("class") ? "." + e.getAttribute("class").split(" ").join(".") : "") + (text ? " \u201c" + text + "\u201d" : "");
  }

  // hidden from sight on purpose, for those who listen
  const aside = e => e.closest(".skip:not(:focus)") !== null || css(e).position === "absolute" && e.offsetWidth <= 1;
  const scrolls = e => ["auto", "scroll"].includes(css(e).overflowX);

  function scroller(e) {
    for (; e && e !== document.body && e !== document.documentElement; e = e.parentElement) if (scrolls(e)) return e;
    return null;
  }

  // lines gives every line of text that is seen: its element and its box.
  function lines(root) {
    const out = [], walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const node = walker.currentNode, e = node.parentElement;
      if (!node.data.trim() || !e || e.closest("script, title, desc, style, option, annotation") || aside(e) || !seen(e)) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      // In code, blanks at the end of a line may hang out of the window.
      const rects = !e.closest("pre") ? [...range.getClientRects()] : [...node.data.matchAll(/\S+/g)].flatMap(word => {
        range.setStart(node, word.index);
        range.setEnd(node, word.index + word[0].length);
        return [...range.getClientRects()];
      });
      for (const r of rects) if (r.width > 1 && r.height > 1) out.push({ e, r });
    }
    return out;
  }

  // wide: nothing has to be scrolled sideways but what scrolls by itself.
  function wide() {
    const doc = document.documentElement, width = doc.clientWidth;
    if (doc.scrollWidth <= width) return [];
    const out = all("body *").filter(e => seen(e) && e.getBoundingClientRect().right > width + 0.5 && (!scroller(e.parentElement)));
    return ["the page is " + doc.scrollWidth + " px wide in " + width + " px: " + out.slice(0, 4).map(name).join("; ")];
  }

  // cut: no line of text is cut off by a box around it or by the window's side.
  function cut() {
    const out = new Set();
    for (const { e, r } of lines(document.body)) {
      if (scroller(e)) continue;
      if (r.left < -1 || r.right > document.documentElement.clientWidth + 1) out.add("beside the window: " + name(e));
      for (let p = e; p && p !== document.body; p = p.parentElement) {
        const s = css(p);
        if (p.tagName === "text" || p.tagName === "g" || p.tagName === "tspan" || s.display === "inline") continue;
        if (s.overflowX === "visible" && s.overflowY === "visible") continue;
        const box = p.getBoundingClientRect();
        if (box.width <= 1 || box.height <= 1) break; // only for those who listen
        // A line's box has some room above and below its letters.
        const room = r.height * 0.2;
        if (r.left < box.left - 1.5 || r.right > box.right + 1.5 || s.overflowY !== "auto" && (r.top < box.top - room || r.bottom > box.bottom + room))
          out.add("cut off by " + name(p) + ": " + name(e));
      }
    }
    return [...out];
  }

  const crossing = (a, b) => [Math.min(a.right, b.right) - Math.max(a.left, b.left), Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top)];

  // open is what can be reached: all, or the question that lies over it
  const open = () => document.querySelector("dialog:modal") || document;

  // crossed: no two controls and no two lines of text lie over each other.
  function crossed() {
    const out = [];
    const boxes = [...open().querySelectorAll(controls)].filter(e => seen(e) && !aside(e)).flatMap(e => [...e.getClientRects()].map(r => ({ e, r })));
    boxes.sort((a, b) => a.r.top - b.r.top);
    for (let i = 0; i < boxes.length; i++) for (let k = i + 1; k < boxes.length && boxes[k].r.top < boxes[i].r.bottom; k++) {
      const a = boxes[i], b = boxes[k];
      if (a.e === b.e || a.e.contains(b.e) || b.e.contains(a.e) || css(a.e).display === "inline" && css(b.e).display === "inline") continue;
      const [w, h] = crossing(a.r, b.r);
      if (w > 2 && h > 2) out.push("over each other: " + name(a.e) + " and " + name(b.e));
    }
    const texts = lines(open().body || open()).filter(({ e }) => !e.closest("math, svg, sup, sub"));
    texts.sort((a, b) => a.r.top - b.r.top);
    for (let i = 0; i < texts.length; i++) for (let k = i + 1; k < texts.length && texts[k].r.top < texts[i].r.bottom; k++) {
      const a = texts[i], b = texts[k];
      if (a.e === b.e || scroller(a.e) || scroller(b.e)) continue;
      const [w, h] = crossing(a.r, b.r);
      if (w > 3 && h > 0.4 * Math.min(a.r.height, b.r.height)) out.push("text over text: " + name(a.e) + " and " + name(b.e));
    }
    return out.slice(0, 6);
  }

  // about: what each page owes to those who read it by ear.
  function about(lang, kiosk) {
    const out = [], heads = all("h1").filter(seen);
    if (document.documentElement.lang !== lang) out.push("its language is " + document.documentElement.lang);
    if (!document.title.trim()) out.push("it has no title");
    if (kiosk ? heads.length > 1 : heads.length !== 1 || all("h1").length !== 1) out.push(heads.length + " first headings are seen");
    if (all("main").length !== 1) out.push("it has " + all("main").length + " main parts");
    for (const i of document.images) if (!i.complete || !i.naturalWidth) out.push("an image is missing: " + i.src);
    return out;
  }

  // hung: between two hazards stands a dot, which no line begins or ends with.
  // The dot stands in the room before a hazard; of the first in a line that
  // room lies outside the sign, which cuts it off.
  function hung() {
    const out = [];
    for (const row of all(".strip .row").filter(seen)) {
      const sign = row.parentElement.getBoundingClientRect(), edge = sign.left + parseFloat(css(row.parentElement).borderLeftWidth);
      let bottom = -Infinity;
      for (const e of row.children) {
        const r = e.getBoundingClientRect();
        if (r.top >= bottom - 1 && Math.abs(r.left + parseFloat(css(e).paddingLeft) - edge) > 1) out.push("a line of hazards does not begin at its edge: " + name(e));
        if (r.top >= bottom - 1) bottom = r.bottom;
      }
      if (css(row.parentElement).overflowX !== "clip") out.push("nothing cuts off a dot: " + name(row));
    }
    return out;
  }

  // fits: the page as it is, and with all text twice as large, as WCAG 2.2,
  // 1.4.4, asks for.
  async function fits() {
    const asked = () => [...wide(), ...cut(), ...crossed(), ...hung()].slice(0, 8);
    await settled();
    const out = asked();
    double(true);
    await settled();
    out.push(...asked().map(c => "with text twice as large: " + c));
    double(false);
    return out;
  }

  function double(on) {
    const root = document.documentElement;
    root.style.fontSize = "";
    if (on) root.style.fontSize = 2 * parseFloat(css(root).fontSize) + "px";
  }

  // printed: no caution is missing on paper, nor folded. A sheet for visitors has
  // all in one notice, a line each; a talk has its own in full and names the others.
  function printed(cautions) {
    const notices = all(".notice:not(.brief)").filter(n => seen(n) && lines(n).length >= 2).length
      + all(".notice.brief li, .talk .signals li").filter(n => seen(n) && n.textContent.trim()).length;
    return notices < cautions ? [notices + " of " + cautions + " cautions are seen"] : [];
  }

  // bare: without scripts nothing is missing but what is folded, and what a finder
  // has for paper, which stands folded above.
  function bare() {
    const out = [];
    for (const e of all("main :is(h1, h2, h3, p, li, dt, dd, td, th, figcaption, pre), main svg, main math")) {
      if (e.closest("details, dialog, [hidden], [aria-hidden=true], .finder .listed") && !e.closest("summary")) continue;
      if (!e.textContent.trim() && e.tagName !== "svg") continue;
      if (!seen(e)) out.push("not seen: " + name(e));
    }
    for (const e of all("main svg.plot")) {
      const drawn = [...e.querySelectorAll("path, line")].filter(p => p.getBoundingClientRect().width > 5);
      if (seen(e) && drawn.length < 3) out.push("an empty plot: " + name(e));
    }
    return out.slice(0, 6);
  }

  // What is changed and what moves, for those who asked for less motion.
  function moves(ms) {
    let changes = [];
    const observer = new MutationObserver(list => changes.push(...list));
    observer.observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
    return new Promise(done => setTimeout(() => {
      observer.disconnect();
      const out = [...new Set(changes.map(c => "changes by itself: " + name(c.target.nodeType === 1 ? c.target : c.target.parentElement)))];
      for (const a of document.getAnimations()) if (a.playState === "running") out.push("an animation runs: " + name(a.effect.target));
      for (const e of all("animate, animateTransform, animateMotion, set, marquee, blink")) out.push("moves by itself: " + name(e));
      done(out.slice(0, 6));
    }, ms));
  }

  // luminance and contrast of WCAG 2.2
  const numbers = colour => colour.match(/[\d.]+/g).map(Number);
  function luminance(rgb) {
    const [r, g, b] = rgb.map(c => c / 255).map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  }
  function contrast(a, b) {
    const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05);
  }
  function behind(e) {
    for (; e; e = e.parentElement) {
      const [r, g, b, alpha = 1] = numbers(css(e).backgroundColor);
      if (alpha > 0.5) return [r, g, b];
    }
    return [255, 255, 255];
  }

  // ring: how the focus is shown, which has to be 2 px wide and of 3:1
  // (WCAG 2.2, 2.4.7 and 1.4.11).
  function ring(e) {
    const s = css(e), width = parseFloat(s.outlineWidth), offset = parseFloat(s.outlineOffset);
    if (s.outlineStyle === "auto") return "";
    if (s.outlineStyle === "none" || !(width >= 2)) return "the focus is not shown";
    const on = behind(offset < 0 ? e : e.parentElement), c = contrast(numbers(s.outlineColor).slice(0, 3), on);
    return c >= 3 ? "" : "the focus is shown with " + c.toFixed(2) + ":1";
  }

  let awaited = new Map(), rings = new Map(), watching = false;
  function reach(e) {
    awaited.delete(e);
    if (e.type === "radio") for (const other of [...awaited.keys()]) if (other.type === "radio" && other.name === e.name) awaited.delete(other);
    const why = ring(e);
    if (why) rings.set(name(e), why);
    if (!seen(e)) rings.set(name(e), "it has the focus and is not seen");
    const r = e.getBoundingClientRect();
    if (r.bottom < 0 || r.top > innerHeight) rings.set(name(e), "it has the focus and is outside of the window");
  }

  // keys lists what the Tab key has to reach, and begins to watch it; how many
  // presses that takes at most is given.
  function keys() {
    awaited = new Map([...open().querySelectorAll(controls)].filter(e => seen(e) && !e.disabled && e.tabIndex >= 0).map(e => [e, true]));
    rings = new Map();
    if (!watching) document.addEventListener("focusin", e => reach(e.target));
    watching = true;
    document.activeElement.blur();
    window.scrollTo(0, 0);
    return awaited.size;
  }
  function missed() {
    const out = [...awaited.keys()].slice(0, 5).map(e => "the Tab key does not reach " + name(e));
    for (const [e, why] of [...rings].slice(0, 5)) out.push(why + ": " + e);
    return out;
  }

  // settled waits until the page is drawn, and ends what fades in.
  async function settled() {
    await document.fonts.ready;
    await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
    for (const a of document.getAnimations()) if (a.effect.getComputedTiming().endTime < Infinity) a.finish();
    return "";
  }

  // What lies far below a window is laid out when a reader comes near. Here all is
  // looked at, as it is then.
  const whole = new CSSStyleSheet();
  whole.replaceSync("* { content-visibility: visible !important; }");
  document.adoptedStyleSheets.push(whole);

  return { fits, wide, about, printed, bare, moves, keys, missed, settled };
})();
