package card_test

import (
	"reflect"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/diag"
)

const (
	someParts = `[B]
kind = "battery"
voltage = { value = 48, unit = "V", from = "nameplate" }
resistance = { value = 60, unit = "ohm", from = "assumed" }

[L]
kind = "lamp"
text = "burning"
colour = "white"
resistance = { value = 0.5, unit = "kohm", from = "assumed", note = "warm" }
voltage = { value = 48, unit = "V", from = "nameplate" }

[L.fr]
text = "allumée"
`
	someWires = "# Invented.\nfrom,to,wire,evidence,note\nB.+,L.X1,W1,seen,\nL.X2,B.-,W2,,red\n"
)

func TestReadWiring(t *testing.T) {
	for _, separator := range []string{",", ";", "\t"} {
		w, messages := card.ReadWiring("parts.toml", []byte(someParts), "wires.csv", []byte("\ufeff"+strings.ReplaceAll(strings.ReplaceAll(someWires, ",", separator), "\n", "\r\n")))
		if len(messages) > 0 {
			t.Fatal(messages)
		}
		l, _ := w.Part("L")
		if l.Values["resistance"] != (circuit.Value{SI: 500, Unit: "kohm", From: "assumed", Note: "warm"}) || l.Texts["fr"] != "allumée" || l.Line != 6 {
			t.Errorf("%+v", l)
		}
		if got := w.Wiring.Wires[1]; got != (circuit.Wire{Name: "W2", From: "L.X2", To: "B.-", Note: "red", Line: 4}) {
			t.Errorf("%+v", got)
		}
		if lacks := w.Lacks([]string{"fr", "de"}); len(lacks) != 1 || lacks[0].Line != 6 || lacks[0].Level != diag.Warning {
			t.Errorf("%v", lacks)
		}
	}
}

// Each finding is one message, with its file and line and what to do next.
func TestReadWiringSaysWhere(t *testing.T) {
	parts := func(from, to string) [2]string { return [2]string{strings.Replace(someParts, from, to, 1), someWires} }
	wires := func(from, to string) [2]string { return [2]string{someParts, strings.Replace(someWires, from, to, 1)} }
	for want, c := range map[string][2]string{
		`parts.toml:7:1: "lump" is no kind of part`:                                        parts(`"lamp"`, `"lump"`),
		`parts.toml:6:2: the lamp L has no voltage: voltage for which it is made`:          parts("voltage = { value = 48, unit = \"V\", from = \"nameplate\" }\n\n[L.fr]", "\n[L.fr]"),
		`parts.toml:10:1: resistance of the lamp L cannot be -500 ohm`:                     parts("0.5", "-0.5"),
		`parts.toml:10:36: "km" is no unit for resistance`:                                 parts(`"kohm"`, `"km"`),
		`parts.toml:10:1: a lamp has no "resistence"`:                                      parts("resistance = { value = 0", "resistence = { value = 0"),
		`parts.toml:6:2: the part L has no kind`:                                           parts("kind = \"lamp\"\n", ""),
		`parts.toml:13:2: the heading [B] stands twice, first on line 1`:                   parts("[L.fr]", "[B]"),
		`parts.toml:13:2: the part "M" is not above this translation of it`:                parts("[L.fr]", "[M.fr]"),
		`parts.toml:1:1: the key "x" stands above the first heading`:                       parts("[B]", "x = 1\n[B]"),
		`parts.toml:8:8: text is empty`:                                                    parts(`"burning"`, `" "`),
		`wires.csv:1:1: the first line does not say where the data come from`:              wires("# Invented.\n", ""),
		`wires.csv:2:6: unknown column "too"`:                                              wires("from,to", "from,too"),
		`wires.csv:4:1: no part has the terminal "L.X3": the lamp L has none of that mark`: wires("L.X2", "L.X3"),
		`wires.csv:4:1: no part has the terminal "M.X2": there is no part "M"`:             wires("L.X2", "M.X2"),
		`wires.csv:4:1: the wire W1 stands twice`:                                          wires("W2", "W1"),
		`wires.csv:4:1: the wire W2 leads from L.X2 to itself`:                             wires("L.X2,B.-", "L.X2,L.X2"),
		`wires.csv:4:1: the wire W2 joins what W1 joins already`:                           wires("L.X2,B.-", "L.X1,B.+"),
		`wires.csv:4:1: a wire has no name`:                                                wires("W2", ""),
		`parts.toml:1:2: the wire W3 shorts B: both of its terminals are joined, at rest`:  wires("red\n", "red\nB.-,B.+,W3,,\n"),
		`parts.toml:6:2: warning: the lamp L floats: no wire ends at its terminal X2`:      wires("L.X2,B.-,W2,,red\n", ""),
		`wires.csv:1:1: the file lists no wire`:                                            {someParts, "# Invented.\nfrom,to,wire\n"},
		`wires.csv:4:18: this line has 7 fields under 5 columns`:                           wires("red", "red,,"),
	} {
		w, messages := card.ReadWiring("parts.toml", []byte(c[0]), "wires.csv", []byte(c[1]))
		found := 0
		for _, m := range messages {
			if m.Hint != "" && strings.HasPrefix(m.String(), want) {
				found++
			}
		}
		if found != 1 {
			t.Errorf("%v, want %s (%d parts)", messages, want, len(w.Wiring.Parts))
		}
	}
}

// Parts can be read without their wires, and are held to the same.
func TestReadParts(t *testing.T) {
	w, messages := card.ReadParts("parts.toml", []byte(someParts))
	both, _ := card.ReadWiring("parts.toml", []byte(someParts), "wires.csv", []byte(someWires))
	if len(messages) > 0 || !reflect.DeepEqual(w.Parts, both.Wiring.Parts) || len(w.Wires) > 0 {
		t.Errorf("%+v %v", w, messages)
	}
	_, messages = card.ReadParts("parts.toml", []byte("[K1]\nkind = \"relay\"\n"))
	if len(messages) == 0 || messages[0].Line != 1 || messages[0].File != "parts.toml" {
		t.Errorf("a relay without constants: %v", messages)
	}
}
