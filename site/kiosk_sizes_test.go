package site

import (
	"encoding/json"
	"math"
	"strings"
)

// measured is what a browser finds on one screen of the kiosk: sizes in px, and
// what has them.
type measured struct {
	Smallest, Needed, Target float64 // in the order of what they are of
	Of                       [3]string
	Top, Bottom              float64 // of the controls
	Edges                    [2]string
}

// measure looks at the screen that is shown. The line of origin is what visitors
// do not need.
const measure = `(() => {
	const name = e => String(e.textContent.trim() || e.id || e.className).slice(0, 30);
	const texts = [...document.querySelectorAll("body *")].filter(e => e.checkVisibility({visibilityProperty: true, opacityProperty: true}) && e.getClientRects().length > 0 &&
		[...e.childNodes].some(n => n.nodeType === 3 && n.data.trim() !== "") && !e.closest("desc, title, script, .unseen"));
	const size = e => parseFloat(getComputedStyle(e).fontSize) * (e.ownerSVGElement ? e.getScreenCTM().a : 1);
	const least = (list, of) => list.reduce((a, e) => of(e) < a[0] ? [of(e), name(e)] : a, [1e9, ""]);
	// The numbers in the map's drawing lead where its tiles do (WCAG 2.2, 2.5.8: an equivalent).
	const twin = e => e.ownerSVGElement && [...document.querySelectorAll(".choices a")].some(a => a.getAttribute("href") === e.getAttribute("href"));
	const controls = [...document.querySelectorAll("a[href], button, input, [role=slider]")].filter(e => !twin(e) && e.getBoundingClientRect().height > 0 && e.checkVisibility({visibilityProperty: true}));
	const box = e => e.getBoundingClientRect();
	const all = least(texts, size), needed = least(texts.filter(e => !e.closest(".source")), size);
	const target = least(controls, e => Math.min(box(e).width, box(e).height));
	const top = least(controls, e => box(e).top), bottom = least(controls, e => -box(e).bottom);
	return JSON.stringify({Smallest: all[0], Needed: needed[0], Target: target[0], Of: [all[1], needed[1], target[1]],
		Top: top[0], Bottom: -bottom[0], Edges: [top[1], bottom[1]]});
})()`

// sizes holds the screen that is shown against what screens are reckoned with.
func (v *visit) sizes(id string, size [2]int64) {
	v.t.Helper()
	wide, high := size[0], size[1]
	zone, rem := controls(high > wide), kioskShare*float64(min(wide, high))
	var m measured
	if err := json.Unmarshal([]byte(v.value(measure)), &m); err != nil {
		v.t.Fatal(err)
	}
	for i, c := range []struct {
		what string
		got  float64
		want float64
	}{{"text", m.Smallest, kioskSmallest}, {"text that is needed", m.Needed, kioskNeeded}, {"target", m.Target, kioskTarget}} {
		if c.got < c.want*rem-0.1 {
			v.t.Errorf("%s: %s of %.1f px (%.3f rem), %q, is smaller than the %.2f rem that screens are reckoned with", id, c.what, c.got, c.got/rem, m.Of[i], c.want)
		}
	}
	if strings.HasPrefix(id, "kiosk.attract") { // begins by a touch anywhere
		return
	}
	if m.Top < math.Floor(zone.Top*float64(high)) || m.Bottom > math.Ceil(zone.Bottom*float64(high)) {
		v.t.Errorf("%s: controls stand from %.0f px, %q, to %.0f px, %q, beyond the %.0f to %.0f px that screens are reckoned with",
			id, m.Top, m.Edges[0], m.Bottom, m.Edges[1], zone.Top*float64(high), zone.Bottom*float64(high))
	}
}
