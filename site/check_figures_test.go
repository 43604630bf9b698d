package site

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

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
		text, err := os.ReadFile(filepath.Join(dir, path))
		if err != nil {
			t.Fatal(err)
		}
		root, err := html.Parse(strings.NewReader(string(text)))
		if err != nil {
			t.Fatal(err)
		}
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
