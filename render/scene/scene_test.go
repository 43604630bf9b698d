package scene

import (
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
)

var update = flag.Bool("update", false, "write the golden files anew, to be read before they are committed")

func read(t testing.TB, source string) card.Scene {
	t.Helper()
	s, messages := card.ReadScene("scene.toml", []byte(source), Shapes(), Materials())
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return s
}

const small = `title = "A <small> set"
width = 400
height = 300
[lead]
draws = "wire"
at = [[20, 40], [200, 40]]
[bell]
draws = "bell"
at = [[100, 150], [300, 150]]
name = "bells & co"
lessons = ["ringing"]
[lamp]
draws = "lamp"
at = [200, 250]
lit = true
name = "lamp"
[quay]
draws = "box"
at = [350, 250]
gone = true
name = "quay"
lessons = ["other"]
`

// The golden file is a drawing that somebody has looked at: a part that is lit
// with its ring and number, others dimmed, a place for a finger.
func TestGolden(t *testing.T) {
	s := read(t, small)
	link := func(p card.ScenePart) string {
		if len(p.Lessons) == 0 {
			return ""
		}
		return p.Lessons[0].Slug + ".html"
	}
	got := Draw(s, Settings{ID: "golden", Language: "en", Description: "Bells & a lamp.", Lesson: "ringing", Marks: 30, Link: link})
	file := filepath.Join("testdata", "small.svg")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (go test ./render/scene -update writes golden files)", err)
	}
	if got != string(want) {
		t.Errorf("the drawing differs from %s:\n%s", file, got)
	}
	again := Draw(s, Settings{ID: "golden", Language: "en", Description: "Bells & a lamp.", Lesson: "ringing", Marks: 30, Link: link})
	if again != got {
		t.Error("drawn again, it is another")
	}
}

// Each shape draws something, at each size that a part may ask for, as sound
// XML with finite numbers, and each is of some material that the style sheet
// knows.
func TestEveryShape(t *testing.T) {
	css, err := os.ReadFile("../../site/web/scene.css")
	if err != nil {
		t.Fatal(err)
	}
	for _, material := range append(Materials(), "body", "glow", "spark", "cut", "thin", "flow") {
		if !strings.Contains(string(css), "."+material+" {") {
			t.Errorf("the style sheet does not know .%s", material)
		}
	}
	for _, shape := range Shapes() {
		for _, factor := range []float64{0.4, 1, 1.7} {
			part := fmt.Sprintf("[it]\ndraws = %q\nname = \"it\"\n", shape.Name)
			if shape.Line {
				part += "at = [[100, 100], [900, 500], [1200, 100]]\n"
			} else {
				part += fmt.Sprintf("at = [1200, 800]\nwidth = %v\nheight = %v\n", shape.Width*factor, shape.Height*factor)
			}
			for _, n := range []int{shape.Fewest, shape.Most} {
				source := "title = \"x\"\nwidth = 2400\nheight = 1600\n" + part
				if shape.Counts != "" {
					source += fmt.Sprintf("%s = %d\n", shape.Counts, n)
				}
				svg := Draw(read(t, source), Settings{})
				sound(t, svg)
				if strings.Count(svg, "<") < 8 || strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
					t.Errorf("%s: %s", shape.Name, svg)
				}
			}
		}
	}
}

func sound(t *testing.T, svg string) {
	t.Helper()
	for decoder := xml.NewDecoder(strings.NewReader(svg)); ; {
		if _, err := decoder.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatalf("%v: %s", err, svg)
		}
	}
}

// A thing moves only when it is told how it stands.
func TestStill(t *testing.T) {
	s := read(t, small)
	moves := Moves(s)
	if len(moves) != 3 || moves[0].Does != Slides || moves[1].By != ByHammer {
		t.Fatalf("%+v", moves)
	}
	if strings.Contains(Draw(s, Settings{}), "data-part") {
		t.Error("something moves without a film")
	}
	svg := Draw(s, Settings{Still: map[string][]string{moves[2].Part: {"transform", "rotate(9 1 2)"}}})
	if strings.Count(svg, "data-part") != 1 || !strings.Contains(svg, `data-part="`+moves[2].Part+`" transform="rotate(9 1 2)"`) {
		t.Error(svg)
	}
}

// A finger has room, within the sheet, and boxes that lead to the same place
// and lie over each other are one.
func TestTouched(t *testing.T) {
	s := read(t, strings.Replace(small, "[[100, 150], [300, 150]]", "[[100, 150], [190, 150]]", 1))
	all := Touched(s, func(p card.ScenePart) string { return strings.ToUpper(p.Name) })
	if len(all) != 3 || all[0].Box != [4]float64{48, 98, 194, 104} || all[2].Box != [4]float64{296, 196, 104, 104} {
		t.Errorf("%+v", all)
	}
}

// Numbers that would lie over each other stand apart, each with a line to its part.
func TestMarksApart(t *testing.T) {
	s := card.Scene{Title: "Three", Width: 600, Height: 400}
	for i, x := range []float64{200, 260, 300} {
		s.Parts = append(s.Parts, card.ScenePart{Label: strconv.Itoa(i), Number: i + 1, Draws: "lamp", At: [][2]float64{{x, 200}}, Width: 40, Height: 40})
	}
	svg := Draw(s, Settings{Marks: 50, Mark: func(one card.ScenePart) string { return strings.Repeat("8 ", 1+one.Number) }})
	var tags [][4]float64
	for _, m := range regexp.MustCompile(`class="tag" x="([^"]*)" y="([^"]*)" width="([^"]*)" height="([^"]*)"`).FindAllStringSubmatch(svg, -1) {
		var b [4]float64
		for k := range b {
			b[k], _ = strconv.ParseFloat(m[k+1], 64)
		}
		for _, other := range tags {
			if over(b, other) {
				t.Errorf("%v lies over %v", b, other)
			}
		}
		if b[0] < 0 || b[1] < 0 || b[0]+b[2] > s.Width || b[1]+b[3] > s.Height {
			t.Errorf("%v runs off the sheet", b)
		}
		tags = append(tags, b)
	}
	if len(tags) != 3 || strings.Count(svg, `class="leader"`) != 3 {
		t.Errorf("%d numbers and %d lines to parts", len(tags), strings.Count(svg, `class="leader"`))
	}
}

func TestAround(t *testing.T) {
	s := read(t, small)
	if b := Around(s, "nothing", 1); b != [4]float64{0, -50, 400, 400} {
		t.Errorf("a lesson about nothing shows %v", b)
	}
	b := Around(s, "ringing", 1)
	if b[2] != b[3] || b[0] > 100-32 || b[0]+b[2] < 100+32 || b[1] > 150-32 || b[1]+b[3] < 150+32 {
		t.Errorf("the bell at 100, 150 is not within %v", b)
	}
}
