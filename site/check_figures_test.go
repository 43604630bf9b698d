package site

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/dop251/goja"
	"golang.org/x/net/html"

	"slipring/render/page"
	"slipring/render/plot"
)

// checkFigures looks at every figure of every page: the thin lines from points
// and lines to their names are short, at each position of a knob. The sweep
// sees to it that no two texts lie over each other.
func checkFigures(t *testing.T, dir string, pages []string) {
	const longest = 4.0 // in parts of the text's size
	number := regexp.MustCompile(`-?[0-9]+(\.[0-9])?`)
	figures, leaders := 0, 0
	for _, path := range pages {
		root := writtenPage(t, dir, path)
		var data struct {
			Figures []struct {
				In    []string      `json:"in"`
				Paths []plot.Moving `json:"paths"`
			} `json:"figures"`
		}
		for n := range root.Descendants() {
			if attr(n, "id") == page.KnobData {
				if err := json.Unmarshal([]byte(n.FirstChild.Data), &data); err != nil {
					t.Fatal(err)
				}
			}
		}
		for svg := range root.Descendants() {
			if svg.Data != "svg" || attr(svg, "class") != "plot" {
				continue
			}
			figures++
			id := attr(svg, "id")
			size, err := strconv.ParseFloat(attr(svg, "font-size"), 64)
			if err != nil {
				t.Fatal(err)
			}
			for n := range svg.Descendants() {
				if !strings.HasPrefix(attr(n, "class"), "leader ") {
					continue
				}
				leaders++
				// The data are a move and one line, of which a level or an
				// upright one has one number.
				var ways [][]float64
				way := []float64{}
				for _, s := range number.FindAllString(attr(n, "d"), -1) {
					x, err := strconv.ParseFloat(s, 64)
					if err != nil {
						t.Fatal(err)
					}
					way = append(way, x)
				}
				ways = append(ways, way[2:])
				for _, f := range data.Figures {
					if !slices.Contains(f.In, id) {
						continue
					}
					at, err := strconv.Atoi(attr(n, "data-moves"))
					if err != nil {
						t.Errorf("%s, %s: a thin line stands still where all moves", path, id)
						continue
					}
					for _, steps := range f.Paths[at].Steps {
						for i := 2; i < len(steps); i += 2 {
							ways = append(ways, []float64{float64(steps[i]) / 10, float64(steps[i+1]) / 10})
						}
					}
				}
				for _, way := range ways {
					sum := 0.0
					for _, x := range way {
						sum += x * x
					}
					if long := math.Sqrt(sum) / size; long > longest {
						t.Errorf("%s, %s: a thin line to a name is %.1f times as long as the text is high", path, id, long)
					}
				}
			}
		}
	}
	t.Logf("%d figures with %d thin lines", figures, leaders)
	if figures < 50 || leaders < 50 {
		t.Errorf("only %d figures with %d thin lines were looked at", figures, leaders)
	}
}

// checkMotions looks at every motion of every page: one that is played on from
// its end to its beginning looks alike at both, to a px or a degree; one that
// does not says that it ends. Dashes look alike after each whole pattern. A
// trace is wiped away and begins anew, with the pen that draws it.
func checkMotions(t *testing.T, dir string, pages []string) {
	source, err := web.ReadFile("web/films.js")
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	run(t, vm, string(source))
	run(t, vm, filmEnds)
	motions, end, traces := 0, 0, 0
	for _, path := range pages {
		root := writtenPage(t, dir, path)
		dashes := map[string]string{} // of the parts of drawings, as they stand in the page
		lines := map[string]string{}
		for n := range root.Descendants() {
			if part := attr(n, "data-part"); part != "" {
				dashes[part], lines[part] = attr(n, "stroke-dasharray"), attr(n, "d")
			}
			if attr(n, "class") != "motion-data" {
				continue
			}
			motions++
			var film struct{ Ends bool }
			if err := json.Unmarshal([]byte(n.FirstChild.Data), &film); err != nil {
				t.Fatal(err)
			}
			if film.Ends {
				end++
			}
			for name, of := range map[string]map[string]string{"dashes": dashes, "lines": lines} {
				if err := vm.Set(name, of); err != nil {
					t.Fatal(err)
				}
			}
			var told struct{ Jumps, Faults, Traces []string }
			if err := vm.ExportTo(run(t, vm, fmt.Sprintf("ends(%q)", n.FirstChild.Data)), &told); err != nil {
				t.Fatal(err)
			}
			traces += len(told.Traces)
			if film.Ends != (len(told.Jumps) > 0) {
				t.Errorf("%s: a motion that ends %v jumps at its beginning: %q", path, film.Ends, told.Jumps)
			}
			for _, fault := range told.Faults {
				t.Errorf("%s: %s", path, fault)
			}
			clear(dashes)
			clear(lines)
		}
	}
	t.Logf("%d motions, %d of which end, %d traces", motions, end, traces)
	if motions < 10 || end == 0 || traces < 4 {
		t.Errorf("only %d motions, %d of which end, with %d traces were looked at", motions, end, traces)
	}
}

// filmEnds compares the two ends of a film. dashes and lines hold the dashes and
// paths of the drawing's parts. A trace is a line that grows from nothing to
// its whole length and never shrinks; its pen is what stands at its tip
// throughout. Only these two may begin anew.
const filmEnds = `function ends(text) {
	"use strict";
	var film = films.read(text), first = films.at(film, 0), last = films.at(film, film.span), number = /-?[0-9]+(\.[0-9])?/g;
	var told = { Jumps: [], Faults: [], Traces: [] };
	if (first.length === 0) told.Jumps.push("nothing moves");
	function numbers(s) { return (String(s).match(number) || []).map(Number); }
	function sum(list) { return list.reduce(function (a, b) { return a + b; }, 0); }

	var trace = film.parts.filter(function (p) { return p.does === "trace"; })[0], tips = [];
	if (trace) {
		told.Traces.push(trace.part);
		var points = numbers(lines[trace.part]), long = [0], k;
		for (k = 2; k < points.length; k += 2) long.push(long[long.length - 1] + Math.hypot(points[k] - points[k - 2], points[k + 1] - points[k - 1]));
		var drawn = film.channels[trace.by], whole = long[long.length - 1];
		if (points.length < 20 || drawn[0] !== 0 || Math.abs(drawn[drawn.length - 1] - whole) > 1.1) told.Faults.push("the trace grows from " + drawn[0] + " to " + drawn[drawn.length - 1] + ", and is " + whole + " long");
		drawn.forEach(function (v, i) {
			if (i > 0 && v < drawn[i - 1]) told.Faults.push("the trace shrinks");
			for (k = 1; k < long.length - 1 && long[k] < v; k++);
			tips.push(points[2 * k - 2] + (points[2 * k] - points[2 * k - 2]) * (v - long[k - 1]) / (long[k] - long[k - 1]) - points[0]);
		});
	}
	function pen(part) {
		return part === "pen" && tips.length > 0 && film.parts.some(function (p) {
			return p.part === part && p.does === "shift" && p.x === 1 && !p.y && film.channels[p.by].every(function (v, i) { return Math.abs(v - tips[i]) <= 1.1; });
		});
	}

	first.forEach(function (a, i) {
		if (a[1] === "display") return; // a contact may just then close
		if (trace && a[0] === trace.part && a[1] === "stroke-dasharray" || pen(a[0])) return;
		var b = last[i], x = numbers(a[2]), y = numbers(b[2]);
		var far = String(a[2]).replace(number, "#") !== String(b[2]).replace(number, "#") || x.some(function (v, k) {
			var off = v - y[k], round = k === 0 && /^rotate/.test(a[2]) ? 360 : a[1] === "stroke-dashoffset" ? sum(numbers(dashes[a[0]])) : 0;
			if (round > 0) off -= round * Math.round(off / round);
			return Math.abs(off) > 1.1;
		});
		if (far) told.Jumps.push(a.join(" ") + ", and at the end " + b[2]);
	});
	return told;
}`

// writtenPage reads a page from the folder that holds the site.
func writtenPage(t *testing.T, dir, path string) *html.Node {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, path))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	root, err := html.Parse(f)
	if err != nil {
		t.Fatal(err)
	}
	return root
}
