package preview

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"slipring/render/browser/browsertest"
)

// The script's own parts are tested in a browser, on its real trees.

// patched is what came of bringing one document to another.
type patched struct {
	Want, Got    string // the new document, and the open one after the steps
	Fresh, Wired bool
	Kept         string // ids of elements that are still the same ones
}

// patch runs planFor on documents with the given bodies and runs its steps on a
// copy of base, after change had its way with the copy. A text that begins
// with "<head>" is taken as the whole document.
func (p tab) patch(base, next, change string) (out patched) {
	p.t.Helper()
	quote := func(s string) string {
		q, err := json.Marshal(s)
		if err != nil {
			p.t.Fatal(err)
		}
		return string(q)
	}
	answer := p.do(`(() => {
		%s
		function read(text) { return new DOMParser().parseFromString("<!DOCTYPE html>" + text, "text/html"); }
		var live = read(%s), base = read(%[2]s), next = read(%s);
		var want = next.documentElement.outerHTML;
		live.querySelectorAll("[id]").forEach(e => { e.mark = e.id; });
		(document => { %s })(live);
		var plan = planFor(live, base, next);
		plan.steps.forEach(step => step());
		return JSON.stringify({
			want: want, got: live.documentElement.outerHTML, fresh: plan.fresh, wired: plan.wired,
			kept: Array.from(live.querySelectorAll("[id]")).filter(e => e.mark === e.id).map(e => e.id).join(" "),
		});
	})()`, patchJS, quote(base), quote(next), change)
	if err := json.Unmarshal([]byte(answer), &out); err != nil {
		p.t.Fatal(err)
	}
	return out
}

func TestPatch(t *testing.T) {
	p := open(t, browsertest.Start(t), "about:blank")
	for _, c := range []struct {
		name, base, next, change string
		kept                     string
		fresh, wired             bool
	}{
		{name: "nothing", base: "<p id=a>a<p id=b>b", next: "<p id=a>a<p id=b>b", kept: "a b"},
		{name: "words", base: "<p id=a>a<p id=b>b", next: "<p id=a>a<p id=b>c", kept: "a b"},
		{name: "inserted", base: "<p id=a>a</p><p id=b>b</p>", next: "<p id=a>a</p><p id=n>n</p><p id=b>b</p>", kept: "a b"},
		{name: "removed", base: "<p id=a>a</p><p id=n>n</p><p id=b>b</p>", next: "<p id=a>a</p><p id=b>b</p>", kept: "a b"},
		{name: "moved", base: "<p id=a>a</p><p id=b>b</p><p id=c>c</p>", next: "<p id=b>b</p><p id=c>c</p><p id=a>a</p>", kept: "b c"},
		{name: "deep", base: "<main id=m><section id=s class=x><p id=a>a</p><p id=b>b <em id=e>c</em></p></section></main><footer id=f>1</footer>",
			next: "<main id=m><section id=s class=x><p id=a>a</p><p id=b>b <em id=e>d</em></p></section></main><footer id=f>2</footer>", kept: "m s a b e f"},
		{name: "attribute", base: "<svg id=s><path id=p d=M0 /></svg>", next: "<svg id=s><path id=p d=M1 /></svg>", kept: "s p"},
		{name: "attribute gone", base: "<p id=a lang=fr title=x>a", next: "<p id=a title=y>a", kept: "a"},
		{name: "language of the page", base: "<html lang=en><body class=x>a", next: "<html lang=fr><body class=y>a"},
		{name: "other element", base: "<p id=a>a</p>", next: "<h2 id=a>a</h2>", kept: ""},
		{name: "title", base: "<head><title>a</title></head>", next: "<head><title>b</title></head>"},
		{name: "description", base: "<head><meta name=description content=a></head>", next: "<head><meta name=description content=b></head>"},

		{name: "style", base: "<head><style>a{}</style></head>", next: "<head><style>b{}</style></head>", fresh: true},
		{name: "policy", base: "<head><meta http-equiv=x content=a></head>", next: "<head><meta http-equiv=x content=b></head>", fresh: true},
		{name: "style sheet", base: "<head><link rel=stylesheet href=a></head>", next: "<head><link rel=stylesheet href=b></head>", fresh: true},
		{name: "code", base: "<script>a</script>", next: "<script>b</script>", fresh: true},
		{name: "new code", base: "<p>a", next: "<p>a<div><script src=x></script></div>", fresh: true},
		{name: "template", base: "<template>a</template>", next: "<template>b</template>", fresh: true},
		{name: "data", base: "<script type=application/json id=a>1</script>", next: "<script type=application/json id=a>2</script>", kept: "a", wired: true},
		{name: "new knob", base: "<p id=a>a</p>", next: "<p id=a>a</p><div><input></div>", kept: "a", wired: true},
		{name: "changed knob", base: "<input id=a max=3>", next: "<input id=a max=4>", kept: "a", wired: true},
		{name: "data attribute", base: "<p id=a data-x=1>a", next: "<p id=a data-x=2>a", kept: "a", wired: true},
		{name: "beside a data attribute", base: "<p id=a data-x=1>a", next: "<p id=a data-x=1>b", kept: "a"},
		{name: "beside a knob", base: "<div id=d><input id=a><p id=b>b</p></div>", next: "<div id=d><input id=a><p id=b>c</p></div>", kept: "d a b"},

		// A script of the page changed the open one since.
		{name: "script changed words elsewhere", base: "<p id=a>a</p><p id=b>b</p>", next: "<p id=a>n</p><p id=b>b</p>",
			change: "document.getElementById('b').textContent = 'moved'", kept: "a b"},
		{name: "script hid something", base: "<section id=s><p id=a>a</p></section>", next: "<section id=s><p id=a>n</p></section>",
			change: "document.getElementById('s').hidden = true", kept: "s a"},
		{name: "script built something", base: "<section id=s><p id=a>a</p></section>", next: "<section id=s><p id=a>n</p></section>",
			change: "document.getElementById('s').append(document.createElement('button'))", kept: "s a", fresh: true},
	} {
		got := p.patch(c.base, c.next, c.change)
		if got.Kept != c.kept || got.Fresh != c.fresh || got.Wired != c.wired {
			t.Errorf("%s: kept %q, fresh %v, wired %v, want %q, %v, %v", c.name, got.Kept, got.Fresh, got.Wired, c.kept, c.fresh, c.wired)
		}
		if !c.fresh && c.change == "" && got.Got != got.Want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got.Got, got.Want)
		}
	}
	// What the script did stays, and what changed comes.
	got := p.patch("<p id=a>a</p><p id=b>b</p>", "<p id=a>n</p><p id=b>b</p>", "document.getElementById('b').textContent = 'moved'")
	if !strings.Contains(got.Got, `<p id="a">n</p><p id="b">moved</p>`) {
		t.Errorf("beside a script's change: %s", got.Got)
	}

	// Whatever the two pages are, the steps lead from the one to the other.
	random := rand.New(rand.NewPCG(1, 2))
	for i := range 150 {
		base := tree(random, 3)
		next := base
		for range 1 + random.IntN(4) {
			next = edit(random, next)
		}
		if i%10 == 0 {
			next = tree(random, 3)
		}
		if got := p.patch(markup(base), markup(next), ""); got.Fresh || got.Got != got.Want {
			t.Fatalf("from %s\n  to %s\n got %s (fresh %v)", markup(base), got.Want, got.Got, got.Fresh)
		}
	}
}

// node is a random element, or a text when it has no name.
type node struct {
	name, text string
	inner      []node
}

func markup(n node) string {
	if n.name == "" {
		return n.text
	}
	var b strings.Builder
	fmt.Fprintf(&b, "<%s%s>", n.name, n.text)
	for _, c := range n.inner {
		b.WriteString(markup(c))
	}
	fmt.Fprintf(&b, "</%s>", n.name)
	return b.String()
}

func tree(r *rand.Rand, depth int) node {
	if depth == 0 || r.IntN(4) == 0 {
		return node{text: string(rune('a' + r.IntN(4)))}
	}
	n := node{name: []string{"div", "section", "span", "b"}[r.IntN(4)]}
	if r.IntN(3) == 0 {
		n.text = fmt.Sprintf(" class=%c", 'a'+r.IntN(3))
	}
	for range r.IntN(6) {
		n.inner = append(n.inner, tree(r, depth-1))
	}
	return n
}

// edit gives a copy with one random change somewhere.
func edit(r *rand.Rand, n node) node {
	inner := append([]node(nil), n.inner...)
	n.inner = inner
	at := r.IntN(len(inner) + 1)
	switch what := r.IntN(5); {
	case n.name == "" || at == len(inner) && what > 0:
		if n.name != "" {
			n.inner = append(inner, tree(r, 2))
		} else {
			n.text = string(rune('a' + r.IntN(4)))
		}
	case what == 0:
		n.text = fmt.Sprintf(" title=%c", 'a'+r.IntN(3))
	case what == 1:
		n.inner = append(inner[:at:at], inner[at+1:]...)
	case what == 2:
		n.inner = append(inner[:at:at], append([]node{tree(r, 2)}, inner[at:]...)...)
	default:
		inner[at] = edit(r, inner[at])
	}
	return n
}

// All short lists over a small alphabet: pairs are in order and name every place
// once, and as many are equal as a longest common subsequence has, which is
// counted here by trying every subsequence.
func TestAlign(t *testing.T) {
	p := open(t, browsertest.Start(t), "about:blank")
	p.want("checked 14641", fmt.Sprintf(`(() => {
		%s
		var lists = [[]];
		for (var i = 0; i < lists.length; i++) {
			if (lists[i].length < 4) ["a", "b", "c"].forEach(c => lists.push(lists[i].concat(c)));
		}
		function subsequences(list) {
			var all = new Set();
			for (var bits = 0; bits < 1 << list.length; bits++) all.add(list.filter((_, i) => bits >> i & 1).join(""));
			return all;
		}
		var subs = lists.map(subsequences), count = 0, bad = [];
		lists.forEach((a, x) => lists.forEach((b, y) => {
			var most = 0;
			subs[x].forEach(s => { if (s.length > most && subs[y].has(s)) most = s.length; });
			var pairs = align(a, b);
			var left = pairs.map(p => p[0]).filter(i => i >= 0), right = pairs.map(p => p[1]).filter(j => j >= 0);
			var equal = pairs.filter(p => p[0] >= 0 && p[1] >= 0 && a[p[0]] === b[p[1]]).length;
			if (left.join() !== a.map((_, i) => i).join() || right.join() !== b.map((_, j) => j).join() || equal !== most) bad.push([a, b, pairs]);
			count++;
		}));
		return bad.length ? JSON.stringify(bad[0]) : "checked " + count;
	})()`, patchJS))
}
