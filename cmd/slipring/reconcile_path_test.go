package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/bench"
	"slipring/engine/card"
	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/machine"
	"slipring/engine/reconcile"
	"slipring/engine/sweeptest"
)

// A person's way, from four drawings typed in a spreadsheet to a board that
// starts: the answers of the sheets of tests are typed below each other, until no
// test would tell more, and then the wires are written. (How the sheets follow
// each other is TestDemoPath's, of engine/reconcile, which made the answers.)
func TestReconcileFromDrawingsToStart(t *testing.T) {
	if !sweeptest.All() {
		t.Skip("150 readings are weighed three times; SLIPRING_REQUIRE=sweeps does")
	}
	t.Parallel()
	const demo, answers = "../../lessons/wiring/", "../../engine/reconcile/testdata/demo/"
	files := map[string]string{"parts.toml": string(must(os.ReadFile(demo + "parts.toml")))}
	for i, name := range []string{"a", "b", "c", "d"} {
		files["sheets/"+name+".csv"] = asSpreadsheetSaves(t, must(os.ReadFile(demo+"sheets/"+name+".csv")), []rune(",;,\t,")[i])
	}
	typed := must(os.ReadFile(answers + "answers.csv"))
	few := bytes.Join(bytes.SplitAfterN(typed, []byte("\n"), 23)[:22], nil) // the first sheet of twenty
	files["continuity.csv"] = asSpreadsheetSaves(t, few, ';')
	dir := boardFolder(t, files)
	if code, out, errs := reconcileIn(t, dir, "-tests", "20"); code != exitWrong || errs != "" || strings.Count(out, "closed [ ]") != 20 {
		t.Errorf("after one sheet, exit code %d: %s%s", code, out, errs)
	}
	writeFile(t, filepath.Join(dir, "wiring", "continuity.csv"), []byte(asSpreadsheetSaves(t, typed, ';')))
	if _, out, errs := reconcileIn(t, dir, "-tests", "20"); errs != "" || !strings.Contains(out, "No test would tell more") {
		t.Errorf("after all sheets: %s%s", out, errs)
	}
	if _, out, errs := reconcileIn(t, dir, "-amend"); errs != "" {
		t.Fatal(out, errs)
	}

	read := func(file string) circuit.Wiring {
		t.Helper()
		w, messages := card.ReadWiring("parts.toml", []byte(files["parts.toml"]), filepath.Base(file), must(os.ReadFile(file)))
		if diag.HasError(messages) {
			t.Fatal(messages)
		}
		return w.Wiring
	}
	written, list := read(filepath.Join(dir, "wiring", "wires.csv")), read(demo+"wires.csv")
	ends := func(w circuit.Wiring) (out []string) {
		for _, one := range w.Wires {
			out = append(out, fmt.Sprint(min(one.From, one.To), " to ", max(one.From, one.To)))
		}
		slices.Sort(out)
		return out
	}
	sheet, messages := reconcile.ReadSheet("true", "true.csv", slices.Concat([]byte("# title As it is\n# covers all\n"), must(os.ReadFile(answers+"true.csv"))), list)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	var truth circuit.Wiring
	for _, w := range sheet.Wires {
		truth.Wires = append(truth.Wires, circuit.Wire{From: w.From, To: w.To})
	}
	if got, want := ends(written), ends(truth); !slices.Equal(got, want) {
		t.Errorf("the %d wires that were written are not the %d of the board", len(got), len(want))
	}
	starts(t, written, list)
}

// starts fails where a board does not start, or its lamps and relays are not at
// all times as another's.
func starts(t *testing.T, board, like circuit.Wiring) {
	t.Helper()
	in := folder.Open(shipped)
	defer in.Close()
	sheets, messages := readCards(in)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	var cards []machine.Card
	for _, s := range sheets {
		cards = append(cards, s.Card)
	}
	wired := func(w circuit.Wiring) *bench.Shelf {
		b := bench.New(cards)
		b.Wire(w)
		return b
	}
	ours, theirs := wired(board), wired(like)
	relays := 0
	for _, seconds := range []float64{0.7, 2.6, 5.5, 10} {
		got, want := ours.Wiring().Press("start").At(seconds), theirs.Wiring().Press("start").At(seconds)
		if !slices.Equal(got.Lit(), want.Lit()) {
			t.Errorf("at %g s: lit are %q, and by the shipped list %q", seconds, got.Lit(), want.Lit())
		}
		for _, relay := range []string{"K1", "K2", "K3", "K4"} {
			if got.Operated(relay) != want.Operated(relay) {
				t.Errorf("at %g s: %s is not as by the shipped list", seconds, relay)
			}
			if got.Operated(relay) {
				relays++
			}
		}
	}
	if up := ours.Wiring().Press("start").At(10); !up.Operated("K1") || relays < 4 {
		t.Errorf("the board does not start: relays were operated %d times", relays)
	}
}

// asSpreadsheetSaves gives a file as a spreadsheet saves it that a person typed it
// into: each line of words in one cell, lines ended as on Windows, every line
// with as many fields as the longest, and a mark before the first where fields
// are parted by semicolons.
func asSpreadsheetSaves(t *testing.T, text []byte, comma rune) string {
	t.Helper()
	var out bytes.Buffer
	if comma == ';' {
		out.WriteString("\ufeff")
	}
	w := csv.NewWriter(&out)
	w.Comma, w.UseCRLF = comma, true
	var rows [][]string
	columns := 0
	for line := range strings.SplitSeq(strings.TrimSuffix(string(text), "\n"), "\n") {
		cells := []string{line}
		if !strings.HasPrefix(line, "#") {
			var err error
			if cells, err = csv.NewReader(strings.NewReader(line)).Read(); err != nil {
				t.Fatal(err)
			}
		}
		rows, columns = append(rows, cells), max(columns, len(cells))
	}
	for _, cells := range rows {
		if err := w.Write(slices.Concat(cells, make([]string, columns-len(cells)))); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	return out.String()
}
