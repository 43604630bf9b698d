package card_test

import (
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/cutting"
)

const (
	somePlan = `slack = { value = 150, unit = "mm", from = "assumed" }
step = { value = 50, unit = "mm", from = "assumed" }
waste = { value = 10, unit = "%", from = "assumed" }
order-step = { value = 5, unit = "m", from = "assumed" }
temperature = { value = 60, unit = "C", from = "assumed" }
smallest = { value = 0.75, unit = "mm2", from = "assumed" }
stock = [{ size = "0.75 mm2", carries = { value = 4, unit = "A", from = "assumed" } },
  { size = "AWG 14", carries = { value = 9, unit = "A", from = "drawing" } }]
runs = [{ between = ["cellar", "hall"], length = { value = 6, unit = "m", from = "measured" } }]

[ends]
battery = "lug"
"L.X1" = "eye"
lamp = "solder"

[light]
text = "light"
wires = ["W1", "W2"]
colour = "WH"
unguarded = true
current = { value = 40, unit = "mA", from = "measured" }
voltage = { value = 48, unit = "V", from = "nameplate" }
drop = { value = 3, unit = "%", from = "assumed" }

[light.fr]
text = "lumière"

[lit]
text = "it is lit"
fail = ["W1 open"]
full-load = true

[lit.fr]
text = "elle est allumée"
`
	somePlaces = "# Measured by nobody.\npart,frame,across,up\nB,cellar,300,500\n,cellar,0,1800\nL,hall,\"40,5\",1200\n,hall,0,0\n"
)

func readCutting(t *testing.T, plan, places string) (card.Cutting, string) {
	t.Helper()
	w, messages := card.ReadWiring("parts.toml", []byte(someParts), "wires.csv", []byte(someWires))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	c, messages := card.ReadCutting("cutting.toml", []byte(plan), "places.csv", []byte(places), w)
	var all []string
	for _, m := range messages {
		if m.Hint == "" {
			t.Errorf("%v has no next step", m)
		}
		all = append(all, m.String())
	}
	return c, strings.Join(all, "\n")
}

func TestReadCutting(t *testing.T) {
	for _, separator := range []string{",", ";"} {
		places := somePlaces
		if separator == ";" { // as a spreadsheet with a decimal comma saves it
			places = strings.NewReplacer(`"40,5"`, "40,5", ",", ";").Replace(strings.ReplaceAll(places, `"40,5"`, "40.5"))
		}
		c, said := readCutting(t, somePlan, places)
		if said != "" {
			t.Fatal(said)
		}
		if c.Slack != 0.15 || c.Waste != 0.1 || c.Temperature != 60 || c.Least != 0.75 || len(c.Stock) != 2 || c.Stock[1].Gauge != "14" || c.Stock[1].From != "drawing" ||
			c.Runs[0].Length != 6 || c.Runs[0].Between != [2]string{"cellar", "hall"} || c.Ends["L.X1"] != cutting.Eye || c.Plan.Places[2].Across != 0.0405 || c.Plan.Places[3].Part != "" {
			t.Errorf("%+v", c.Plan)
		}
		g, s := c.Groups[0], c.States[0]
		if g.Current != 0.04 || g.From != "measured" || !g.Before || g.Drop != 0.03 || g.Texts["fr"] != "lumière" || g.Line != 16 || !s.Full || s.Fail[0] != "W1 open" || s.Texts["fr"] != "elle est allumée" {
			t.Errorf("%+v %+v", g, s)
		}
		if lacks := c.Lacks([]string{"fr", "de"}); len(lacks) != 2 {
			t.Error(lacks)
		}
	}
}

func TestCuttingMistakes(t *testing.T) {
	for _, c := range []struct{ was, is, want string }{
		{"slack = { value = 150", "slack = { value = -150", "cutting.toml:1:1: slack is -0.15 m"},
		{`slack = { value = 150, unit = "mm", from = "assumed" }` + "\n", "", "cutting.toml:1:1: the plan has no slack"},
		{`unit = "mm", from = "assumed" }` + "\nwaste", `unit = "inch", from = "assumed" }` + "\nwaste", `cutting.toml:2:29: "inch" is no unit for step`},
		{`"0.75 mm2", carries`, `"0.8 mm2", carries`, `cutting.toml:7:19: "0.8 mm2" is no cross-section of IEC 60228`},
		{`"AWG 14"`, `"AWG 77"`, `cutting.toml:8:12: "AWG 77" is not a wire gauge`},
		{`["cellar", "hall"]`, `["cellar"]`, "cutting.toml:9:11: a run leads between two frames"},
		{"value = 6,", "value = -6,", "cutting.toml:9:1: the run from cellar to hall is -6 m long"},
		{`"eye"`, `"knot"`, `an end at L.X1 is finished as "knot"`},
		{`colour = "WH"`, `colour = "white"`, `cutting.toml:16:1: the group light has the colour "white"`},
		{`wires = ["W1", "W2"]`, `wires = ["W1"]`, "wires.csv:4:1: the wire W2 is in no group"},
		{"unguarded = true\n", "", "cutting.toml:16:1: the group light has no fuse"},
		{"[lit]\ntext", "[lit]\ntext = \"x\"\n[other]\ntext", "[lit] is neither a group nor a state"},
		{"B,cellar,300,500", "Q,cellar,300,500", "places.csv:3:1: there is a place for Q, but no such part"},
		{"B,cellar,300,500\n", "", "parts.toml:1:1: the part B has no place in places.csv"},
		{"B,cellar,300,500", "B,cellar,-300,500", "places.csv:3:10: across is -300 mm, less than 0"},
		{"B,cellar,300,500", "B,cellar,far,500", `places.csv:3:10: across is "far", and no number of mm`},
		{"part,frame", "parts,frame", `places.csv:2:1: unknown column "parts"`},
	} {
		if strings.Count(somePlan+somePlaces, c.was) != 1 {
			t.Fatalf("%q stands %d times", c.was, strings.Count(somePlan+somePlaces, c.was))
		}
		_, said := readCutting(t, strings.Replace(somePlan, c.was, c.is, 1), strings.Replace(somePlaces, c.was, c.is, 1))
		if !strings.Contains(said, c.want) {
			t.Errorf("%q in the place of %q: %s; want %s", c.is, c.was, said, c.want)
		}
	}
}
