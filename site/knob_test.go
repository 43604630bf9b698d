package site

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/dop251/goja"
	"golang.org/x/net/html"

	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
	"slipring/render/page"
	"slipring/render/plot"
)

// script runs knobs.js without a browser.
func script(t *testing.T) *goja.Runtime {
	t.Helper()
	source, err := web.ReadFile("web/knobs.js")
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	if _, err := vm.RunScript("knobs.js", string(source)); err != nil {
		t.Fatal(err)
	}
	return vm
}

func run(t *testing.T, vm *goja.Runtime, code string) goja.Value {
	t.Helper()
	v, err := vm.RunString(code)
	if err != nil {
		t.Fatalf("%s: %v", code, err)
	}
	return v
}

// knobData reads what a page keeps for its script.
func knobData(t *testing.T, d *document) string {
	t.Helper()
	for _, n := range d.tags("script") {
		if attr(n, "id") == page.KnobData {
			if attr(n, "type") != "application/json" {
				t.Errorf("%s: the data are of type %q", d.path, attr(n, "type"))
			}
			return n.FirstChild.Data
		}
	}
	t.Fatalf("%s has no data for knobs", d.path)
	return ""
}

// moving lists the path data that knobs change, and the places of names, as a
// drawing has them.
func moving(root *html.Node) []string {
	var out []string
	for n := range root.Descendants() {
		switch {
		case attr(n, "data-moves") == "":
		case n.Data == "text":
			out = append(out, attr(n, "x")+" "+attr(n, "y"))
		default:
			out = append(out, attr(n, "d"))
		}
	}
	return out
}

// The script writes for each frame, to the last character, the path data that
// the drawing of that frame alone on the same axes has.
func TestKnobsWriteWhatIsDrawn(t *testing.T) {
	pages := documents(t, knobbedTree(t))
	r := turnedResult()
	for _, c := range []struct {
		page     string
		settings plot.Settings
		tallest  map[int]float64 // by the number of knobs
	}{
		{"course/third/index.html", plot.Settings{Width: 400, Height: 300, Text: 14}, nil},
		{"kiosk/third.html", plot.Settings{Width: 740, Text: 22.75}, map[int]float64{1: 460, 2: 395}},
	} {
		vm := script(t)
		run(t, vm, "var data = "+knobData(t, pages[c.page]))
		for i, f := range r.Figures {
			for k := 0; k < len(f.Frames); k += 8 {
				alone := f
				alone.Panes = f.Frames[k]
				if most := c.tallest[len(f.Knobs)]; most > 0 {
					c.settings.Height, c.settings.Tallest = most, most
				}
				drawing, err := plot.Draw(alone, c.settings)
				if err != nil {
					t.Fatal(err)
				}
				root, err := html.Parse(strings.NewReader(drawing.SVG))
				if err != nil {
					t.Fatal(err)
				}
				want := moving(root)
				var got []string
				code := fmt.Sprintf("data.figures[%d].paths.map(function (p) { var put = knobs.put(p, p.form[%d]); return put.d || put.x + \" \" + put.y; })", i, k)
				if err := vm.ExportTo(run(t, vm, code), &got); err != nil {
					t.Fatal(err)
				}
				if len(want) < 2 || !slices.Equal(got, want) {
					t.Fatalf("%s, %s, frame %d: the script writes\n%.300q, want\n%.300q", c.page, f.Name, k, got, want)
				}
				description := run(t, vm, fmt.Sprintf("data.texts[data.figures[%d].describe[%d]]", i, k)).String()
				if description != drawing.Description {
					t.Errorf("%s, frame %d is described as %q, alone as %q", f.Name, k, description, drawing.Description)
				}
			}
		}
	}
}

// Frames stand in the order of package tell.
func TestKnobFrames(t *testing.T) {
	vm := script(t)
	run(t, vm, "var data = "+knobData(t, documents(t, knobbedTree(t))["course/third/index.html"]))
	r := turnedResult()
	two := r.Figures[1]
	seen := map[int64]bool{}
	for heat := range 3 {
		for age := range 5 {
			var at []int
			for _, k := range r.Knobs {
				at = append(at, map[string]int{"load": 7, "heat": heat, "age": age}[k.Name])
			}
			text, err := json.Marshal(at)
			if err != nil {
				t.Fatal(err)
			}
			k := run(t, vm, "knobs.frame(data.knobs, data.figures[1].by, "+string(text)+")").ToInteger()
			seen[k] = true
			// The first line of the figure begins at the one, and goes on at the other.
			y := two.Frames[k][0].Lines[0].Y
			if wantHeat, wantAge := 20+20*float64(heat), 1-0.25*float64(age); y[0] != wantHeat || y[1] != wantAge {
				t.Errorf("frame %d is of heat %v and age %v, want %v and %v", k, y[0], y[1], wantHeat, wantAge)
			}
		}
	}
	if len(seen) != 15 {
		t.Errorf("%d frames are reached", len(seen))
	}
}

// The keys of a slider (WAI-ARIA Authoring Practices, slider pattern).
func TestKnobKeys(t *testing.T) {
	vm := script(t)
	for _, c := range []struct {
		key      string
		at, want int
	}{
		{"ArrowRight", 3, 4}, {"ArrowUp", 3, 4}, {"ArrowLeft", 3, 2}, {"ArrowDown", 3, 2},
		{"PageUp", 3, 7}, {"PageDown", 7, 3}, {"Home", 7, 0}, {"End", 7, 40},
		{"ArrowRight", 40, 40}, {"ArrowLeft", 0, 0}, {"PageDown", 2, 0}, {"PageUp", 39, 40},
	} {
		if got := run(t, vm, fmt.Sprintf("knobs.step(%q, %d, 41)", c.key, c.at)).ToInteger(); got != int64(c.want) {
			t.Errorf("%s at %d leads to %d, want %d", c.key, c.at, got, c.want)
		}
	}
	for _, key := range []string{"a", "Tab", "Escape", "Enter"} {
		if got := run(t, vm, fmt.Sprintf("knobs.step(%q, 3, 41)", key)); !goja.IsNull(got) {
			t.Errorf("%s leads to %v", key, got)
		}
	}
	if got := run(t, vm, `knobs.step("PageUp", 0, 2)`).ToInteger(); got != 1 {
		t.Errorf("of two positions, a page leads to %d", got)
	}
}

// What is bound follows in the form in which it was written.
func TestKnobTexts(t *testing.T) {
	d := documents(t, knobbedTree(t))["course/third/index.html"]
	vm := script(t)
	run(t, vm, "var data = "+knobData(t, d))
	at := func(n *html.Node, frame int) (text, number string) {
		bound := "data.bound[" + attr(n, "data-bound") + "]"
		return run(t, vm, fmt.Sprintf("data.texts[%s.text[%d]]", bound, frame)).String(), run(t, vm, fmt.Sprintf("String(%s.number[%d])", bound, frame)).String()
	}
	var quotes, cells []*html.Node
	for n := range d.root.Descendants() {
		if attr(n, "data-bound") != "" {
			if n.Data == "data" && attr(n, "class") == "quote" {
				quotes = append(quotes, n)
			} else {
				cells = append(cells, n)
			}
		}
	}
	if len(quotes) != 3 || len(cells) != 2 { // in the text, in a heading, and in the list of headings
		t.Fatalf("%d quotes and %d entries follow knobs", len(quotes), len(cells))
	}
	for _, q := range quotes {
		if attr(q, "data-bound") != attr(quotes[0], "data-bound") {
			t.Error("the same quote is kept twice")
		}
		for frame, want := range map[int][2]string{0: {"20.00\u00a0Hz", "20"}, 10: {"19.90\u00a0Hz", "19.9"}, 40: {"19.60\u00a0Hz", "19.6"}, 1: {"19.99\u00a0Hz", "19.99"}} {
			text, number := at(q, frame)
			if strings.ReplaceAll(text, " ", "\u00a0") != want[0] || number != want[1] {
				t.Errorf("frame %d reads %q with %s, want %q", frame, text, number, want)
			}
		}
	}
	for i, want := range []map[int]string{{0: "20.00", 40: "19.60"}, {10: "0.2", 19: "0.3", 20: "<heavy>", 40: "<heavy>"}} {
		for frame, want := range want {
			if got, _ := at(cells[i], frame); got != want {
				t.Errorf("entry %d in frame %d reads %q, want %q", i, frame, got, want)
			}
		}
	}
	for i, want := range [][]string{{"0.00\u00a0N m", "0.05\u00a0N m"}, {"20\u00a0\u00b0C", "40\u00a0\u00b0C", "60\u00a0\u00b0C"}, {"1.00", "0.75", "0.50", "0.25", "0.00"}} {
		k := slices.IndexFunc(turnedResult().Knobs, func(k tell.Knob) bool { return k.Name == []string{"load", "heat", "age"}[i] })
		var got []string
		if err := vm.ExportTo(run(t, vm, fmt.Sprintf("data.knobs[%d].text.map(function (i) { return data.texts[i]; })", k)), &got); err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got[:len(want)], want) {
			t.Errorf("a knob stands at %q, want %q", got, want)
		}
	}
}

// A page that has only some of what can follow knobs works as well.
func TestKnobsOfLittle(t *testing.T) {
	for _, body := range []string{"![Under load](figure:turned)\n", "![Readings](table:turned.table)\n\nIt makes [19.90 Hz][turned.speed].\n"} {
		tree := treeOf(t, inputOf(t, [][2]string{{"third", "```lesson\ntitle = \"Little\"\n```\n\n" + body}}))
		root, err := html.Parse(strings.NewReader(string(tree["course/third/index.html"])))
		if err != nil {
			t.Fatal(err)
		}
		vm := script(t)
		run(t, vm, "var data = "+knobData(t, &document{path: "course/third/index.html", root: root}))
		run(t, vm, `["knobs", "texts", "bound", "figures"].forEach(function (name) { knobs.turns(data[name].filter(function (one) { return one.by; }), 0); })`)
	}
}

// Each page has the knobs of what it shows, with all that a listener needs,
// and shows the start when nothing runs; paper has none.
func TestKnobsOnPages(t *testing.T) {
	controls := func(n *html.Node) []string {
		var out []string
		for d := range n.Descendants() {
			if d.Data != "div" || attr(d, "class") != "knob" {
				continue
			}
			said, id, name := "", "", ""
			for e := range d.Descendants() {
				switch e.Data {
				case "label":
					name, id = text(e), attr(e, "for")
				case "data":
					said = text(e)
				case "input":
					if attr(e, "id") != id || attr(e, "type") != "range" || attr(e, "step") != "1" || attr(e, "min") != "0" || strings.Join(strings.Fields(attr(e, "aria-valuetext")), " ") != said {
						t.Errorf("%s is turned by %v", name, e.Attr)
					}
					if !slices.ContainsFunc(e.Parent.Attr, func(a html.Attribute) bool { return a.Key == "hidden" }) {
						t.Errorf("%s shows a control without a script", name)
					}
					said += " " + attr(e, "value") + "/" + attr(e, "max")
				}
			}
			out = append(out, strings.ReplaceAll(name+" "+said, "\u00a0", " "))
		}
		return out
	}
	load, heat, age := "load 0.50 N m 10/40", "heat 40 \u00b0C 1/2", "age of the brushes 0.75 1/4"
	pages := documents(t, knobbedTree(t))
	if got, want := controls(pages["course/third/index.html"].root), []string{load, heat, age, load}; !slices.Equal(got, want) {
		t.Errorf("the course has the knobs %q, want %q", got, want)
	}
	screens := pages["kiosk/third.html"].tags("section")
	for i, want := range [][]string{nil, {load}, {heat, age}} {
		if got := controls(screens[i]); !slices.Equal(got, want) {
			t.Errorf("screen %d has the knobs %q, want %q", i+1, got, want)
		}
	}
	for name, d := range pages {
		knobbed := name == "course/third/index.html" || name == "kiosk/third.html"
		loads := false
		for _, n := range d.tags("script") {
			loads = loads || strings.HasSuffix(attr(n, "src"), "/knob.js")
		}
		if loads != knobbed {
			t.Errorf("%s loads the script of knobs: %v", name, loads)
		}
		if !knobbed && len(d.tags("input")) > 0 {
			t.Errorf("%s has a control", name)
		}
		if strings.HasPrefix(name, "handout/third.") && !strings.Contains(strings.ReplaceAll(text(d.root), "\u00a0", " "), "Load 0.50 N m") {
			t.Errorf("%s does not say where its knob stands", name)
		}
	}
}

// The numbers of all frames are beside the page.
func TestKnobsInFiles(t *testing.T) {
	tree := knobbedTree(t)
	for name, want := range map[string][2]string{
		"course/third/figure-two.csv":         {"heat (\u00b0C),age of the brushes,", "\r\n60,0,,,0.5,4\r\n"},
		"course/third/table-turned.table.csv": {"load (N m),who,speed (Hz),other\r\n0,first,20,0\r\n", "\r\n2,first,19.6,<heavy>\r\n"},
	} {
		if text := string(tree[name]); !strings.HasPrefix(text, want[0]) || !strings.HasSuffix(text, want[1]) {
			t.Errorf("%s holds\n%s", name, text)
		}
	}
}

// Values have an entry for each frame, by the positions of their knobs.
func TestValuesUnderKnobs(t *testing.T) {
	var s tell.Sheet
	s.Value("before", 1, "A")
	s.Knob("load", tell.Range{From: 10, To: 2, Steps: 2, Start: 2, Label: "load"}, func(load float64) {
		s.Knob("gap", tell.Range{From: 0, To: 0.3, Steps: 2, Start: 0, Label: "gap"}, func(gap float64) {
			s.Value("speed", load+gap, "Hz")
		})
		s.Claim("high", load > 5)
	})
	text, err := valuesJSON(page.Input{Checked: proof.Checked{Lesson: &lesson.Lesson{Body: &lesson.Node{}}, Result: s.Result()}})
	if err != nil {
		t.Fatal(err)
	}
	var got, want any
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(`[
		{"name": "before", "kind": "value", "value": 1, "unit": "A", "frame": null},
		{"name": "high", "kind": "claim", "value": false, "unit": "", "frame": [2]},
		{"name": "high", "kind": "claim", "value": true, "unit": "", "frame": [10]},
		{"name": "speed", "kind": "value", "value": 2, "unit": "Hz", "frame": [2, 0]},
		{"name": "speed", "kind": "value", "value": 2.3, "unit": "Hz", "frame": [2, 0.3]},
		{"name": "speed", "kind": "value", "value": 10, "unit": "Hz", "frame": [10, 0]},
		{"name": "speed", "kind": "value", "value": 10.3, "unit": "Hz", "frame": [10, 0.3]}
	]`), &want); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("the list is\n%s", text)
	}
}
