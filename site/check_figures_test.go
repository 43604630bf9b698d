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
// does not says that it ends.
func checkMotions(t *testing.T, dir string, pages []string) {
	source, err := web.ReadFile("web/films.js")
	if err != nil {
		t.Fatal(err)
	}
	vm := goja.New()
	run(t, vm, string(source))
	run(t, vm, `function jumps(text) {
		var film = films.read(text), first = films.at(film, 0), last = films.at(film, film.span), number = /-?[0-9]+(\.[0-9])?/g;
		if (first.length === 0) return ["nothing moves"];
		return first.map(function (a, i) {
			if (a[1] === "display") return ""; // a contact may just then close
			var b = last[i], x = String(a[2]).match(number) || [], y = String(b[2]).match(number) || [];
			var far = String(a[2]).replace(number, "#") !== String(b[2]).replace(number, "#") || x.some(function (v, k) {
				var off = v - y[k];
				if (k === 0 && /^rotate/.test(a[2])) off -= 360 * Math.round(off / 360);
				return Math.abs(off) > 1.1;
			});
			return far ? a.join(" ") + ", and at the end " + b[2] : "";
		}).filter(Boolean);
	}`)
	motions, end := 0, 0
	for _, path := range pages {
		root := writtenPage(t, dir, path)
		for n := range root.Descendants() {
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
			var jumps []string
			if err := vm.ExportTo(run(t, vm, fmt.Sprintf("jumps(%q)", n.FirstChild.Data)), &jumps); err != nil {
				t.Fatal(err)
			}
			if film.Ends != (len(jumps) > 0) {
				t.Errorf("%s: a motion that ends %v jumps at its beginning: %q", path, film.Ends, jumps)
			}
		}
	}
	t.Logf("%d motions, %d of which end", motions, end)
	if motions < 10 || end == 0 {
		t.Errorf("only %d motions, %d of which end, were looked at", motions, end)
	}
}

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
