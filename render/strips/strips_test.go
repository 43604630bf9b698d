package strips

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/tell"
	"slipring/render/words"
)

// board has wires of every verdict, two at one terminal of another part, and bows.
func board() tell.Strips {
	marks := func(n int) (out []string) {
		for i := range n {
			out = append(out, strconv.Itoa(i+1))
		}
		return out
	}
	s := tell.Strips{
		Sheets: []tell.StripSheet{{Name: "a", Date: "1911"}, {Name: "b"}},
		Parts:  []tell.StripPart{{Name: "TS1", Marks: marks(12)}, {Name: "changeover", Marks: []string{"13", "14"}}, {Name: "K1", Marks: []string{"A1", "A2", "13"}}},
	}
	for i, w := range [][3]string{
		{"TS1.1", "K1.A1", tell.WireFound}, {"TS1.2", "K1.A1", tell.WireQuestion}, {"TS1.12", "K1.A1", tell.WireNotThere}, {"K1.A2", "TS1.3", tell.WireLikely},
		{"TS1.4", "TS1.8", tell.WireLikely}, {"TS1.5", "TS1.6", tell.WireQuestion}, {"TS1.7", "TS1.10", tell.WireNotThere}, {"TS1.11", "TS1.10", tell.WireFound},
		{"changeover.13", "TS1.4", tell.WireQuestion}, {"changeover.14", "TS1.1", tell.WireLikely}, {"TS1.6", "H1.X1", tell.WireQuestion}, {"TS1.6", "H1.X2", tell.WireFound},
	} {
		s.Wires = append(s.Wires, tell.StripWire{From: w[0], To: w[1], Verdict: w[2], Chance: 0.5, Drawn: []int{i % 2}})
	}
	return s
}

// element is a start tag with its attributes and the wire that it stands in.
type element struct {
	name, wire string
	attr       map[string]string
}

func elements(t *testing.T, svg string) (all []element) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	wire, deep := "", 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			return all
		}
		if err != nil {
			t.Fatalf("%v in %s", err, svg)
		}
		switch e := token.(type) {
		case xml.StartElement:
			one := element{name: e.Name.Local, attr: map[string]string{}}
			for _, a := range e.Attr {
				one.attr[a.Name.Local] = a.Value
			}
			if deep++; one.attr["data-wire"] != "" {
				wire, deep = one.attr["data-wire"], 0
			}
			one.wire = wire
			all = append(all, one)
		case xml.EndElement:
			if deep--; deep < 0 {
				wire = ""
			}
		}
	}
}

// Each wire at a part is drawn once in its picture, as sure as it is said to be, and
// no other wire is.
func TestDrawnAsSaid(t *testing.T) {
	s := board()
	for i, p := range s.Parts {
		picture, err := Draw(s, i, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		drawn := map[string]string{}
		marked := map[string]string{}
		for _, e := range elements(t, picture.SVG) {
			if e.name == "g" {
				if drawn[e.wire] != "" {
					t.Errorf("%s: wire %s is drawn twice", p.Name, e.wire)
				}
				drawn[e.wire] = strings.TrimPrefix(e.attr["class"], "wire ")
			}
			if class := e.attr["class"]; e.wire != "" && (class == "mark" || class == "cross") {
				marked[e.wire] = class
			}
		}
		for k, w := range s.Wires {
			want, mark := map[string][2]string{
				tell.WireFound: {"found", ""}, tell.WireLikely: {"likely", ""}, tell.WireQuestion: {"unsure", "mark"}, tell.WireNotThere: {"gone", "cross"},
			}[w.Verdict], strconv.Itoa(k)
			if !w.At(p.Name) {
				want = [2]string{}
			}
			if got := [2]string{drawn[mark], marked[mark]}; got != want {
				t.Errorf("%s: wire %d, %s to %s, %s, is drawn as %q", p.Name, k, w.From, w.To, w.Verdict, got)
			}
		}
		for _, v := range []string{"found", "likely", "open question", "not there"} {
			n := 0
			for _, w := range s.Wires {
				if w.At(p.Name) && w.Verdict == v {
					n++
				}
			}
			if n > 0 && !strings.Contains(picture.Description, fmt.Sprintf("%s %d", v, n)) {
				t.Errorf("%s: %q does not count %d %s", p.Name, picture.Description, n, v)
			}
		}
	}
}

// Every wire begins and ends where a terminal of its name is, no two marks lie on one
// another, and all of it lies within the picture.
func TestLayout(t *testing.T) {
	s := board()
	number := regexp.MustCompile(`-?[0-9.]+`)
	for i, p := range s.Parts {
		for _, set := range []Settings{{}, {Width: 448, Text: 18}, {Width: 360, Text: 18}} {
			picture, err := Draw(s, i, set)
			if err != nil {
				t.Fatal(err)
			}
			all := elements(t, picture.SVG)
			var box [4]float64
			for k, x := range number.FindAllString(all[0].attr["viewBox"], -1) {
				box[k], _ = strconv.ParseFloat(x, 64)
			}
			get := func(e element, name string) float64 {
				x, err := strconv.ParseFloat(e.attr[name], 64)
				if err != nil {
					t.Fatalf("%s %s: %v", e.name, name, err)
				}
				return x
			}
			studs := map[[2]float64]bool{}
			var marks [][2]float64
			ends := map[string][][2]float64{}
			for _, e := range all {
				switch {
				case e.attr["class"] == "stud":
					studs[[2]float64{get(e, "cx"), get(e, "cy")}] = true
				case e.attr["class"] == "ground":
					marks = append(marks, [2]float64{get(e, "cx"), get(e, "cy")})
				case e.name == "path" && e.attr["class"] == "":
					ends[e.wire] = pathEnds(t, e.attr["d"])
				case e.name == "rect":
					if x, y := get(e, "x")+get(e, "width"), get(e, "y")+get(e, "height"); get(e, "x") < 0 || get(e, "y") < 0 || x > box[2] || y > box[3] {
						t.Errorf("%s: a part reaches from %v, %v to %v, %v in %v", p.Name, get(e, "x"), get(e, "y"), x, y, box)
					}
				}
			}
			for wire, both := range ends {
				for _, end := range both {
					if !studs[end] || end[0] < 0 {
						t.Errorf("%s: wire %s ends at %v, where no terminal is", p.Name, wire, end)
					}
				}
			}
			text := set.Text
			if text == 0 {
				text = 14
			}
			for k, a := range marks {
				for _, b := range marks[:k] {
					if math.Hypot(a[0]-b[0], a[1]-b[1]) < 1.1*text {
						t.Errorf("%s at %v: marks at %v and %v", p.Name, set, a, b)
					}
				}
			}
		}
	}
	s.Parts[1].Name = strings.Repeat("long", 15)
	for i := range s.Wires {
		for _, end := range []*string{&s.Wires[i].From, &s.Wires[i].To} {
			*end = strings.Replace(*end, "changeover", s.Parts[1].Name, 1)
		}
	}
	if _, err := Draw(s, 0, Settings{}); err == nil {
		t.Error("names without room are drawn")
	}
}

// pathEnds gives the first and the last point of a path of M, L, H, V and Q.
func pathEnds(t *testing.T, d string) [][2]float64 {
	t.Helper()
	var at, first [2]float64
	for k, one := range regexp.MustCompile(`[MLHVQ][^MLHVQ]*`).FindAllString(d, -1) {
		var xs []float64
		for _, f := range strings.Fields(one[1:]) {
			x, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatalf("%q: %v", d, err)
			}
			xs = append(xs, x)
		}
		switch one[0] {
		case 'H':
			at[0] = xs[0]
		case 'V':
			at[1] = xs[0]
		default:
			at = [2]float64{xs[len(xs)-2], xs[len(xs)-1]}
		}
		if k == 0 {
			first = at
		}
	}
	return [][2]float64{first, at}
}

// Reasons and drawings are said in each language.
func TestSaid(t *testing.T) {
	s := board()
	en, err := words.In("en")
	if err != nil {
		t.Fatal(err)
	}
	fr, err := words.In("fr")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		got, want string
	}{
		{Why(tell.StripReason{}, en), "the drawings alone"},
		{Why(tell.StripReason{Kind: tell.ByClosed, From: "K1.A1", To: "TS1.1"}, en), "K1.A1 to TS1.1 closed"},
		{Why(tell.StripReason{Kind: tell.ByOpen, From: "K1.A1", To: "TS1.1", With: "K2 held", When: "2026-09-12"}, en), "K1.A1 to TS1.1 open with K2 held, 12 September 2026"},
		{Why(tell.StripReason{Kind: tell.ByOther, From: "K1.A1", To: "TS1.1", Wire: "W7"}, en), "it is W7 (K1.A1 to TS1.1) instead"},
		{Why(tell.StripReason{Kind: tell.ByOther, From: "K1.A1", To: "TS1.1"}, fr), "c’est K1.A1 à TS1.1 à la place"},
		{Drawn(s, tell.StripWire{Drawn: []int{0}, Missing: []int{1}}, en), "a; not on b"},
		{Drawn(s, tell.StripWire{Drawn: []int{0, 1}}, en), "a, b"},
		{Drawn(s, tell.StripWire{}, fr), "aucun"},
	} {
		if c.got != c.want {
			t.Errorf("said %q, want %q", c.got, c.want)
		}
	}
	for _, w := range []*words.Words{en, fr} {
		var all []string
		for _, kind := range tell.StripReasons() {
			all = append(all, Why(tell.StripReason{Kind: kind, From: "K1.A1", To: "TS1.1"}, w))
		}
		if slices.Sort(all); len(slices.Compact(all)) != len(tell.StripReasons()) {
			t.Errorf("reasons are said alike: %q", all)
		}
	}
	if table := Table(s, en); len(table.Rows) != len(s.Wires) || table.Rows[1][3].Text != "open question" {
		t.Errorf("%+v", table)
	}
}
