package site

import (
	"encoding/csv"
	"strings"
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/site/publish"
)

// aCut is a list of two wires, one of them called as a formula begins.
func aCut(t *testing.T) ToCut {
	t.Helper()
	w := circuit.Wiring{
		Parts: []circuit.Part{{Name: "B", Kind: "battery"}, {Name: "L", Kind: "lamp"}},
		Wires: []circuit.Wire{{Name: "W1", From: "B.+", To: "L.X1"}, {Name: "=W2", From: "L.X2", To: "B.-", Evidence: "@SUM(1)"}},
	}
	p := cutting.Plan{
		Slack: 0.2, Step: 0.05, Lot: 5, Least: 0.75, Temperature: 20, Stock: []cutting.Stock{{Area: 0.75, Carries: 4, From: "common practice"}},
		Ends:   map[string]cutting.End{"battery": cutting.Lug, "lamp": cutting.Solder},
		Places: []cutting.Place{{Part: "B", Frame: "f", Across: 0.5}, {Part: "L", Frame: "f", Up: 1.5}},
		Groups: []cutting.Group{{Name: "g", Text: "<lamp>", Texts: map[string]string{"fr": "<lampe>"}, Wires: []string{"W1", "=W2"}, Colour: "WH", Before: true, Current: 0.04, From: "assumed", Voltage: 48, Drop: 0.03}},
	}
	list, flaws := cutting.Cut(w, p, make([]cutting.Amps, 2))
	if len(flaws) > 0 {
		t.Fatal(flaws)
	}
	return ToCut{list, p}
}

// The file is read by spreadsheets of either sort: fields and decimals as they
// have them, and no words that would be taken for a formula.
func TestCuttingCSV(t *testing.T) {
	for _, c := range []struct {
		language, length, group string
		comma                   rune
	}{{"en", "2.4", "<lamp>", ','}, {"fr", "2,4", "<lampe>", ';'}} {
		s := CuttingSheet(aCut(t), language.Of(c.language))
		in := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(s.CSV(c.comma)), "\ufeff")))
		in.Comma = c.comma
		rows, err := in.ReadAll()
		if err != nil || len(rows) != 3 {
			t.Fatal(err, rows)
		}
		if r := rows[1]; r[0] != "W1" || r[1] != c.group || r[4] != c.length || r[7] != "WH" || r[10] != "W1 B.+" || r[11] != "W1 L.X1" {
			t.Errorf("%s: %q", c.language, r)
		}
		if r := rows[2]; r[0] != "'=W2" || r[17] != "'@SUM(1)" {
			t.Errorf("%s: a spreadsheet takes %q for formulas", c.language, r)
		}
	}
}

// The page has each wire with its boxes, says what has no fuse, and writes no
// words as markup; a house without a plan has no page, and no sheet to print.
func TestCuttingPage(t *testing.T) {
	in := sampleInput(t)
	tree := built(t, in)
	if _, ok := tree[cuttingPath]; ok {
		t.Error("there is a page about no wire")
	}
	in.ToCut = aCut(t)
	tree = built(t, in)
	page := string(tree[cuttingPath])
	for _, want := range []string{"L.X1", "&lt;lamp&gt;", "No fuse stands before these wires", "2.40", "It is no wiring code", `href="cutting.csv"`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if n := strings.Count(page, `class="box"`); n != 8 {
		t.Errorf("the page has %d boxes, want 4 a wire", n)
	}
	if len(tree["course/cutting-list/cutting.csv"]) == 0 || !strings.Contains(string(tree["handout/index.html"]), "cutting-list") || !strings.Contains(string(tree["course/index.html"]), "cutting-list") {
		t.Error("the list as a file is missing, or no page leads to the page")
	}
	found := false
	for _, s := range Sheets(in) {
		found = found || s.Edition == cuttingSheet
	}
	if !found {
		t.Error("print knows no such sheet")
	}
}

func built(t *testing.T, in Input) publish.Tree {
	t.Helper()
	tree, messages := Build(in)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	return tree
}
