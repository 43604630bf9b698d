package site

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/tell"
)

// withSchematic is the sample of which one lesson draws a circuit.
func withSchematic(t *testing.T) Input {
	t.Helper()
	in := sampleInput(t)
	in.Lessons[0].Result.Schematics = []tell.Schematic{tell.Put("lamp", "H1", "line", 1, 1)}
	return in
}

// The chart has each kind in both styles, its name in each language of the house,
// and what to watch for; a house whose lessons draw no circuit has none.
func TestSymbolsChart(t *testing.T) {
	in := withSchematic(t)
	in.House.Languages = []string{"en"}
	tree, _ := Build(in)
	if strings.Contains(string(tree[symbolsPath]), "bobine de relais") {
		t.Error("the chart names parts in a language that the house does not have")
	}
	in.House.Languages = []string{"en", "fr"}
	tree, messages := Build(in)
	if len(messages) > 0 {
		t.Log(messages)
	}
	chart := string(tree[symbolsPath])
	if got, want := strings.Count(chart, `class="schematic-drawing"`), 2*len(tell.SymbolKinds()); got != want {
		t.Errorf("the chart has %d drawings, want %d", got, want)
	}
	for _, want := range []string{"relay coil", "bobine de relais", "The zigzag trap", "battery (Fig. 67), coil (Fig. 114)", "common practice, no source", "from memory", "licensed person prove it dead"} {
		if !strings.Contains(chart, want) {
			t.Errorf("the chart lacks %q", want)
		}
	}
	of := func(s Sheet) bool { return s.Edition == symbolsSheet }
	i := slices.IndexFunc(Sheets(in), of)
	if i < 0 || Sheets(in)[i].Name() != "symbols.chart" {
		t.Errorf("the sheets are %v", Sheets(in))
	}
	if !strings.Contains(string(tree["handout/index.html"]), `href="symbols.chart.html"`) {
		t.Error("no way leads to the chart")
	}
	without := sampleInput(t)
	tree, _ = Build(without)
	if tree[symbolsPath] != nil || slices.ContainsFunc(Sheets(without), of) {
		t.Error("a house that draws no circuit has a chart of symbols")
	}
}
