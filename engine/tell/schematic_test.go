package tell

import (
	"reflect"
	"strings"
	"testing"
)

// loop is a circuit of a battery, a contact and a lamp, with a second lamp
// beside the first.
func loop() Schematic {
	return Put("battery", "BAT", "", 0, 3).Turn(1).
		Put("make contact", "K1", "", 3, 0).Ends("13", "14").
		Put("lamp", "H1", "line", 6, 3).Turn(1).
		Put("lamp", "H2", "", 8, 3).Turn(1).
		Join("BAT.+", "0,0", "K1.13").
		Join("K1.14", "6,0", "H1.1").
		Join("H1.2", "6,6", "0,6", "BAT.-").
		Join("6,0", "8,0", "H2.1").
		Join("H2.2", "8,6", "6,6")
}

func TestLines(t *testing.T) {
	got, err := loop().Lines()
	if err != nil {
		t.Fatal(err)
	}
	if want := []Spot{{6, 0}, {6, 6}}; !reflect.DeepEqual(got.Dots, want) {
		t.Errorf("dots at %v, want %v", got.Dots, want)
	}
	if want := [][]string{{"BAT.+", "K1.13"}, {"K1.14", "H1.1", "H2.1"}, {"H1.2", "BAT.-", "H2.2"}}; !reflect.DeepEqual(got.Nets, want) {
		t.Errorf("joined %q, want %q", got.Nets, want)
	}
	if len(got.Crossings) != 0 {
		t.Errorf("crossings at %v", got.Crossings)
	}
	// A line that crosses others is joined to none of them.
	crossed, err := loop().Put("terminal", "X", "", 2, 2).Put("terminal", "Y", "", 10, 2).Put("terminal", "Z", "", 4, 2).
		Join("X.1", "2,1", "7,1", "7,2", "Y.1").Lines()
	if err == nil {
		t.Fatalf("a line over a lead is laid: %v", crossed)
	}
	crossed, err = loop().Put("terminal", "X", "", 2, 1).Put("terminal", "Y", "", 10, 1).Join("X.1", "Y.1").Lines()
	if err != nil {
		t.Fatal(err)
	}
	if want := []Spot{{6, 1}, {8, 1}}; !reflect.DeepEqual(crossed.Crossings, want) || len(crossed.Nets) != 4 {
		t.Errorf("crossings at %v, want %v; joined %q", crossed.Crossings, want, crossed.Nets)
	}
}

// A part turns clockwise, its ends with it.
func TestTurned(t *testing.T) {
	for turn, want := range [][]Spot{{{4, 5}, {6, 5}}, {{5, 4}, {5, 6}}, {{6, 5}, {4, 5}}, {{5, 6}, {5, 4}}} {
		ends, inner := Symbol{Kind: "resistor", Column: 5, Row: 5, Turned: turn}.Places()
		if !reflect.DeepEqual(ends, want) || !reflect.DeepEqual(inner, []Spot{{5, 5}}) {
			t.Errorf("turned by %d its ends are at %v, want %v; inside is %v", turn, ends, want, inner)
		}
	}
}

// What would be drawn wrongly, or read as what was not said, is refused.
func TestSchematicRefuses(t *testing.T) {
	lamp := func() Schematic { return Put("lamp", "H1", "", 2, 2) }
	many := Put("lamp", "H", "", 1, 0)
	for i := range 40 {
		many = many.Put("terminal", "T"+string(rune('a'+i%26))+string(rune('a'+i/26)), "", i%15, 2+i/15)
	}
	for text, d := range map[string]Schematic{
		"it has no part":                    {},
		"it has 41 parts":                   many,
		`no symbol for "flux"`:              Put("flux", "F", "", 2, 2),
		`cannot be called "H.1"`:            Put("lamp", "H.1", "", 2, 2),
		`cannot be called "K\u202e1"`:       Put("lamp", "K\u202e1", "", 2, 2),
		`cannot have the mark "Ω"`:          lamp().Ends("1", "Ω"),
		`cannot be called ""`:               Put("lamp", "", "", 2, 2),
		"has 25 letters, more than 24":      Put("lamp", strings.Repeat("H", 25), "", 2, 2),
		"have 101 letters, more than 100":   Put("lamp", "H1", strings.Repeat("é", 101), 2, 2),
		"is given 1 marks":                  lamp().Ends("a"),
		`cannot have the mark "a"`:          lamp().Ends("a", "a"),
		"turned by 4 quarters":              lamp().Turn(4),
		"partly outside the grid, at -1,2":  Put("lamp", "H1", "", 0, 2),
		"partly outside the grid, at 2,20":  Put("lamp", "H1", "", 3, 20),
		"H1 and H2 lie at one place, 2,2":   lamp().Put("lamp", "H2", "", 2, 2).Turn(1),
		"lies within H1, at 2,2":            lamp().Put("lamp", "H2", "", 2, 3).Turn(1),
		`two ends are called "H1.1"`:        lamp().Put("lamp", "H1", "", 6, 2),
		"H1.2 and H2.1 lie at one place":    lamp().Put("lamp", "H2", "", 4, 2),
		"names fewer than two places":       lamp().Join("H1.1"),
		`leads to "H1.3"`:                   lamp().Join("H1.1", "H1.3"),
		`leads to "H2.1"`:                   lamp().Join("H1.1", "H2.1"),
		`"1,b" is no place`:                 lamp().Join("H1.1", "1,b"),
		"15,2 is outside":                   lamp().Join("H1.2", "15,2"),
		"runs aslant from 3,2 to 5,4":       lamp().Join("H1.2", "5,4"),
		"ends at 5,2, where nothing is":     lamp().Join("H1.2", "5,2"),
		"leads over H1, at 2,2":             lamp().Join("H1.2", "H1.1"),
		"leads over H2, at 6,2":             lamp().Put("lamp", "H2", "", 6, 2).Turn(1).Put("lamp", "H3", "", 10, 2).Join("H1.2", "H3.1"),
		"leads over H2.1 and does not name": lamp().Put("lamp", "H2", "", 6, 3).Turn(1).Put("lamp", "H3", "", 10, 2).Join("H1.2", "H3.1"),
		"runs along another, from 3,2 to":   lamp().Put("lamp", "H2", "", 6, 2).Join("H1.2", "H2.1").Join("H1.2", "4,2", "4,4", "3,4", "4,4"),
		"turns back on itself at 4,2":       lamp().Put("lamp", "H2", "", 6, 2).Join("H1.2", "4,2", "3,2"),
	} {
		m := refusal(func() { new(Sheet).Schematic("d", d) })
		if !strings.Contains(m.Text, text) || !strings.HasPrefix(m.Text, `schematic "d": `) || m.Hint == "" {
			t.Errorf("want %q, got %+v", text, m)
		}
	}
	corner := lamp().Put("lamp", "H2", "", 8, 2).Put("terminal", "A", "", 5, 0).Put("terminal", "B", "", 5, 4).Put("terminal", "C", "", 6, 4).
		Join("H1.2", "H2.1").Join("A.1", "5,2", "6,2", "6,4")
	if m := refusal(func() { new(Sheet).Schematic("d", corner) }); !strings.Contains(m.Text, "runs along another") {
		t.Errorf("along another: %+v", m)
	}
	corner = Put("terminal", "A", "", 0, 2).Put("terminal", "B", "", 4, 2).Put("terminal", "C", "", 2, 0).Put("terminal", "D", "", 2, 4).Put("terminal", "E", "", 4, 4).
		Join("A.1", "2,2", "C.1").Join("D.1", "2,2", "B.1")
	if m := refusal(func() { new(Sheet).Schematic("d", corner) }); !strings.Contains(m.Text, "has its corner on another, at 2,2") {
		t.Errorf("two corners at one place: %+v", m)
	}
	if m := refusal(func() { Schematic{}.Turn(1) }); !strings.Contains(m.Text, "no part yet") {
		t.Errorf("turned nothing: %+v", m)
	}
	under := refusal(func() {
		new(Sheet).Knob("k", Range{To: 1, Steps: 2, Label: "k"}, func(float64) { (&Sheet{depth: 1}).Schematic("d", loop()) })
	})
	if !strings.Contains(under.Text, "under a knob") {
		t.Errorf("under a knob: %+v", under)
	}
}

// Building on a schematic leaves the one that was there as it was.
func TestSchematicShares(t *testing.T) {
	base := loop()
	a, b := base.Put("earth", "E", "", 3, 8), base.Put("frame", "F", "", 3, 8)
	_ = a.Turn(1)
	if a.Parts[4].Kind != "earth" || b.Parts[4].Kind != "frame" || a.Parts[4].Turned != 0 {
		t.Errorf("%+v and %+v share their last part", a.Parts[4], b.Parts[4])
	}
}
