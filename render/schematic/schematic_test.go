package schematic

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
	"slipring/render/markup"
	"slipring/render/words"
)

// sample has parts that lie and that stand, a joint, and a crossing.
func sample() tell.Schematic {
	d := tell.Put("battery", "BAT", "48 V", 1, 4).Turn(1).
		Put("fuse", "F1", "motor fuse", 3, 1).
		Put("relay coil", "K1", "contactor", 6, 4).Turn(1).Ends("A1", "A2").
		Put("make contact", "K1", "", 6, 1).Ends("13", "14").
		Put("resistor", "R1", "starting resistor", 9, 1).
		Put("armature", "motor", "", 12, 4).Turn(1).
		Join("BAT.+", "1,1", "F1.1").Join("F1.2", "4,1", "K1.13").Join("K1.14", "R1.1").
		Join("R1.2", "12,1", "motor.1").Join("motor.2", "12,7", "1,7", "BAT.-").
		Join("K1.A1", "2,3", "2,1").Join("K1.A2", "6,7").
		Join("7,1", "7,2", "4,2", "4,7")
	d.Name = "sample"
	return d
}

func drawn(t *testing.T, d tell.Schematic, s Settings) Drawing {
	t.Helper()
	got, err := Draw(d, s)
	if err != nil {
		t.Fatal(err)
	}
	for _, svg := range []string{got.Then, got.Now} {
		dec := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := dec.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%v in %s", err, svg)
			}
		}
	}
	return got
}

// Nothing but the symbols differs between the two, apart from the bow in which
// one line goes over another.
func TestOnlySymbolsDiffer(t *testing.T) {
	got := drawn(t, sample(), Settings{})
	lines := func(svg, class string) []string {
		return regexp.MustCompile(`(?m)^.*class="`+class+`".*$`).FindAllString(svg, -1)
	}
	for _, class := range []string{"name", "words", "dot"} {
		a, b := lines(got.Then, class), lines(got.Now, class)
		if len(a) == 0 || !slices.Equal(a, b) {
			t.Errorf("%s: then %q, now %q", class, a, b)
		}
	}
	bows := func(svg string) int { return strings.Count(strings.Join(lines(svg, "wire"), ""), "A") }
	if then, now := bows(got.Then), bows(got.Now); then != 1 || now != 0 {
		t.Errorf("%d bows then and %d now, want 1 and 0", then, now)
	}
}

// Two lines that are joined have a dot; those that cross have none.
func TestDots(t *testing.T) {
	if got := strings.Count(drawn(t, sample(), Settings{}).Now, `class="dot"`); got != 4 {
		t.Errorf("%d dots, want 4: at 2,1 and 7,1, and at 4,7 and 6,7", got)
	}
	// A terminal is a ring, in which no dot would be seen.
	d := tell.Put("terminal", "X", "", 5, 1).Put("lamp", "H1", "", 2, 1).Put("lamp", "H2", "", 8, 1).Put("lamp", "H3", "", 5, 4).Turn(1).
		Join("H1.2", "X.1").Join("X.1", "H2.1").Join("X.1", "H3.1")
	if strings.Contains(drawn(t, d, Settings{}).Now, `class="dot"`) {
		t.Error("a terminal has a dot in its ring")
	}
}

// boxes gives where the letters of each label stand, and where the lines run.
func TestLabelsLieFree(t *testing.T) {
	for _, s := range []Settings{{Width: 400, Text: 14}, {Width: 740, Text: 22.75, Tallest: 460}, {Width: 448, Text: 14}} {
		l, err := layOut(sample(), Settings{Width: s.Width, Text: s.Text, Tallest: s.Tallest, Told: func(a string) string { return a }})
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range l.labels {
			if a.at.left < 0 || a.at.right > s.Width || a.at.top < l.top || a.at.bottom > l.bottom {
				t.Errorf("the label %q is cut off", a.name)
			}
			for _, b := range l.labels[:i] {
				if a.at.touches(b.at) {
					t.Errorf("%q lies over %q", a.name, b.name)
				}
			}
			for _, p := range l.parts {
				if a.at.touches(p) {
					t.Errorf("%q lies over a part", a.name)
				}
			}
		}
		if s.Tallest > 0 && l.bottom-l.top > s.Tallest {
			t.Errorf("the drawing is %.0f px high, more than %.0f", l.bottom-l.top, s.Tallest)
		}
		// 12 px on a telephone of 390 px, which shows 350 of a drawing's 400.
		if px := s.Text * 350 / s.Width; s.Width == 400 && px < 12 {
			t.Errorf("letters are %.1f px high on a telephone", px)
		}
	}
}

// A label that finds no place is said to, and nothing is drawn over it.
func TestNoPlace(t *testing.T) {
	long := strings.Repeat("Wirbelstrombremsenwiderstand", 3)
	_, err := Draw(tell.Put("lamp", "H1", long, 2, 2), Settings{Width: 300})
	if err == nil || !strings.Contains(err.Error(), "the name of H1 finds no free place") {
		t.Errorf("got %v", err)
	}
}

// Every kind that can be told is drawn, then and now, otherwise where anything
// differs, and reaches its ends; and has its name and what to watch for.
func TestEveryKind(t *testing.T) {
	kinds := tell.SymbolKinds()
	if len(symbols()) != len(kinds) {
		t.Errorf("%d symbols for %d kinds", len(symbols()), len(kinds))
	}
	for _, k := range kinds {
		one, ok := symbolOf(k.Name)
		if !ok {
			t.Errorf("a %s is not drawn", k.Name)
			continue
		}
		if One(k.Name, Then) == One(k.Name, Now) {
			t.Errorf("a %s looks now as it looked then", k.Name)
		}
		for _, style := range []Style{Then, Now} {
			for turn := range 4 {
				var b strings.Builder
				p := &pen{out: &b, scale: 1, turn: turn, text: 14, reach: nothing()}
				one.draw(p, style)
				for _, e := range k.Ends {
					x, y := (&pen{out: &b, scale: 1, turn: turn}).at(20*float64(e.Column), 20*float64(e.Row))
					if !touches(b.String(), x, y) {
						t.Errorf("a %s, turned by %d in style %d, does not reach its end at %v, %v", k.Name, turn, style, x, y)
					}
				}
				if out := p.reach; out.left < -41 || out.right > 41 || out.top < -41 || out.bottom > 41 {
					t.Errorf("a %s is drawn as far as %v", k.Name, out)
				}
			}
		}
		for _, language := range []string{"en", "fr"} {
			w, err := words.In(language)
			if err != nil {
				t.Fatal(err)
			}
			for _, key := range []string{"symbol.", "symbol-watch."} {
				if w.Text(key+Key(k.Name)) == "" {
					t.Errorf("there is no text %s%s in %s", key, Key(k.Name), language)
				}
			}
		}
	}
}

// touches says whether a path of a drawing has a point there, or a ring lies
// around it.
func touches(svg string, x, y float64) bool {
	for _, m := range regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`).FindAllStringSubmatch(svg, -1) {
		a, _ := strconv.ParseFloat(m[1], 64)
		b, _ := strconv.ParseFloat(m[2], 64)
		if math.Hypot(a-x, b-y) < 0.11 {
			return true
		}
	}
	return strings.Contains(svg, fmt.Sprintf(`cx="%s" cy="%s"`, markup.Tenths(x), markup.Tenths(y)))
}

// The symbols of which a source says how they looked. Miller and McMeen,
// Cyclopedia of Telephony and Telegraphy, vol. 1 (American School of
// Correspondence), text of "Conventional Symbol" beside Fig. 67: a cell is a
// long thin line and a short heavy line side by side and parallel, a battery a
// number of such pairs, and the long thin line is the positively charged plate.
// "Conventional Symbols" beside Fig. 114: an induction coil is a pair of
// parallel zig-zag lines, one a winding.
func TestReadInPrint(t *testing.T) {
	battery := One("battery", Then)
	if n := strings.Count(battery, `class="heavy"`); n < 2 {
		t.Errorf("a battery has %d short heavy lines", n)
	}
	plate := regexp.MustCompile(`class="(thin|heavy)"[^>]*d="M(-?[\d.]+) (-?[\d.]+)L(-?[\d.]+) (-?[\d.]+)"`)
	least := map[string]float64{"thin": math.Inf(1), "heavy": math.Inf(1)}
	long := map[string]float64{}
	for _, m := range plate.FindAllStringSubmatch(battery, -1) {
		var x [4]float64
		for i := range x {
			x[i], _ = strconv.ParseFloat(m[i+2], 64)
		}
		if x[0] == x[2] && x[1] == -x[3] { // upright, across the line: a plate
			least[m[1]] = min(least[m[1]], x[0])
			long[m[1]] = max(long[m[1]], math.Abs(x[3]-x[1]))
		}
	}
	if long["heavy"] == 0 || long["thin"] <= long["heavy"] {
		t.Errorf("plates are %v long", long)
	}
	if k, _ := tell.SymbolKindOf("battery"); k.Marks[0] != "+" || least["thin"] >= least["heavy"] {
		t.Errorf("the plate next to %q is not the long thin one", k.Marks[0])
	}
	coil := regexp.MustCompile(`d="([^"]*)"`).FindAllStringSubmatch(One("coil", Then), -1)
	teeth, up := 0, 0.0
	for _, m := range coil {
		var last float64
		for _, p := range regexp.MustCompile(`[ML]-?[\d.]+ (-?[\d.]+)`).FindAllStringSubmatch(m[1], -1) {
			y, _ := strconv.ParseFloat(p[1], 64)
			if y != 0 && y*last <= 0 {
				teeth++
				up += y
			}
			last = y
		}
	}
	if teeth < 5 {
		t.Errorf("a coil of then has %d teeth", teeth)
	}
	read := map[string]string{"battery": "Fig. 67", "coil": "Fig. 114"}
	for _, k := range tell.SymbolKinds() {
		if got := ReadInPrint(k.Name); got != read[k.Name] {
			t.Errorf("a %s is said to be read in %q, want %q", k.Name, got, read[k.Name])
		}
	}
}

func TestDescription(t *testing.T) {
	got := drawn(t, sample(), Settings{Told: func(s string) string { return strings.ReplaceAll(s, "motor", "Motor") }})
	for _, want := range []string{
		"Parts: BAT: battery (48 V); F1: fuse (Motor fuse); K1 A1-A2: relay coil (contactor);",
		"Joined: BAT + – F1 1 – K1 A1; F1 2 – K1 13; K1 14 – R1 1 – Motor 2 – BAT - – K1 A2",
	} {
		if !strings.Contains(got.Description, want) {
			t.Errorf("%q lacks %q", got.Description, want)
		}
	}
	if got := string(CSV(sample())); !strings.HasPrefix(got, "from,to\r\nBAT.+,F1.1\r\nBAT.+,K1.A1\r\n") || !strings.Contains(got, "R1.2,motor.1\r\n") {
		t.Errorf("CSV:\n%s", got)
	}
}
