package reconcile_test

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"slipring/engine/circuit"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/reconcile"
)

// small is a board of few parts: a strip, a relay, a key and a fuse.
func small() circuit.Wiring {
	value := func(x float64) circuit.Value { return circuit.Value{SI: x} }
	return circuit.Wiring{Parts: []circuit.Part{
		{Name: "TS1", Kind: "strip", Terminals: 20},
		{Name: "K1", Kind: "relay", Contacts: []string{"13-14", "21-22"}, Values: map[string]circuit.Value{
			"resistance": value(960), "pick-up": value(0.02), "release": value(0.01), "pick-up-time": value(0.02), "release-time": value(0.01)}},
		{Name: "S1", Kind: "key", Contacts: []string{"11-12"}},
		{Name: "F1", Kind: "fuse", Values: map[string]circuit.Value{"resistance": value(0.05), "melting-current": value(4), "melting-time": value(1)}},
	}}
}

const someSheet = "# title Drawing A\n# date 1911\n# covers TS1, K1, S1\n# Everything in it is invented.\nfrom,to,wire,note\nTS1.1,K1.A1,W1,red\nK1.A2,TS1.2,W2,\nTS1.3,S1.11,,\n"

const someReadings = "# Invented.\nfrom,to,reading,with,when,note\nTS1.1,K1.A1,closed,,2026-09-12,\nTS1.1,S1.11,open,,,dirty\nTS1.3,K1.13,0.4,K1 held + F1 out,2026-09-12,\n"

func TestReadSheet(t *testing.T) {
	want := []reconcile.Drawn{
		{From: "TS1.1", To: "K1.A1", Wire: "W1", Note: "red", Line: 6},
		{From: "K1.A2", To: "TS1.2", Wire: "W2", Line: 7},
		{From: "TS1.3", To: "S1.11", Line: 8},
	}
	for name, source := range map[string]string{
		"as it is":       someSheet,
		"semicolons":     strings.ReplaceAll(strings.Replace(someSheet, "TS1, K1, S1", `TS1 K1 S1`, 1), ",", ";"),
		"a spreadsheet":  strings.ReplaceAll(strings.ReplaceAll(someSheet, "\nfrom", ",,,\nfrom"), "\n", "\r\n"),
		"with a mark":    "\ufeff" + someSheet,
		"with colons":    strings.NewReplacer("title ", "Title: ", "date ", "date: ", "covers ", "covers: ").Replace(someSheet),
		"capital heads":  strings.Replace(someSheet, "from,to,wire", "From,To,WIRE", 1),
		"an empty line":  someSheet + ",,,\n",
		"quotation mark": strings.Replace(someSheet, "# title Drawing A", `"# title Drawing A"`, 1),
	} {
		t.Run(name, func(t *testing.T) {
			s, messages := reconcile.ReadSheet("a", "a.csv", []byte(source), small())
			for _, m := range messages {
				t.Error(m)
			}
			if s.Title != "Drawing A" || s.Date != "1911" || strings.Join(s.Covers, " ") != "TS1 K1 S1" || !reflect.DeepEqual(s.Wires, want) {
				t.Errorf("%+v", s)
			}
			if !s.Shows("TS1.1", "K1.A1") || s.Shows("TS1.1", "F1.1") {
				t.Error("it does not know what it shows")
			}
		})
	}
	s, messages := reconcile.ReadSheet("d", "d.csv", []byte("# title D\n# date undated\nfrom,to\nTS1.1,F1.1\n"), small())
	if len(messages) > 0 || s.Date != "" || s.Covers != nil || !s.Shows("TS1.1", "F1.1") || len(s.Wires) != 1 {
		t.Errorf("%+v %v", s, messages)
	}
}

func TestReadContinuity(t *testing.T) {
	for name, source := range map[string]string{
		"as it is":   someReadings,
		"semicolons": strings.ReplaceAll(strings.ReplaceAll(someReadings, ",", ";"), "0.4", "0,4"),
		"words":      strings.NewReplacer("closed", "Closed", "open", "OPEN", " + ", " and ", "0.4", "0.4 ohm").Replace(someReadings),
	} {
		t.Run(name, func(t *testing.T) {
			list, messages := reconcile.ReadContinuity("c.csv", []byte(source), small())
			for _, m := range messages {
				t.Error(m)
			}
			if len(list) != 3 {
				t.Fatalf("%+v", list)
			}
			if !list[0].Closed || list[1].Closed || !list[2].Closed || !math.IsNaN(list[0].Ohms) || list[2].Ohms != 0.4 {
				t.Errorf("%+v", list)
			}
			if h := list[2].Hold; !reflect.DeepEqual(h, circuit.Hold{Moved: []string{"K1"}, Out: []string{"F1"}}) || list[2].When != "2026-09-12" || list[2].At() != "c.csv:5" {
				t.Errorf("%+v", list[2])
			}
		})
	}
	for text, closed := range map[string]bool{"2": true, "2.0 Ω": true, "2,1": false, "1.5k": false, "0": true, "2 Mohm": false} {
		source := "# Invented.\nfrom;to;reading\nTS1.1;TS1.2;" + text + "\n"
		if list, messages := reconcile.ReadContinuity("c.csv", []byte(source), small()); len(messages) > 0 || list[0].Closed != closed {
			t.Errorf("%q: %v %v", text, list, messages)
		}
	}
}

// Each way in which a file can be wrong: the place, what is wrong, and a hint.
func TestReadSaysWhere(t *testing.T) {
	sheet := func(change ...string) func() []diag.Message {
		return func() []diag.Message {
			_, m := reconcile.ReadSheet("a", "a.csv", []byte(strings.NewReplacer(change...).Replace(someSheet)), small())
			return m
		}
	}
	reading := func(change ...string) func() []diag.Message {
		return func() []diag.Message {
			_, m := reconcile.ReadContinuity("c.csv", []byte(strings.NewReplacer(change...).Replace(someReadings)), small())
			return m
		}
	}
	for want, got := range map[string]func() []diag.Message{
		`a.csv:6:7: no part has the terminal "K9.A1": there is no part "K9"`: sheet("TS1.1,K1.A1", "TS1.1,K9.A1"),
		`a.csv:6:1: no part has the terminal "TS1.21": the strip TS1 has`:    sheet("TS1.1,K1.A1", "TS1.21,K1.A1"),
		`a.csv:6:7: this wire has no terminal under "to"`:                    sheet("TS1.1,K1.A1", "TS1.1,"),
		`a.csv:7:1: the wire from TS1.1 to K1.A1 stands twice, also in li`:   sheet("K1.A2,TS1.2", "TS1.1,K1.A1"),
		`a.csv:7:7: this wire leads from K1.A2 to itself`:                    sheet("K1.A2,TS1.2", "K1.A2,K1.A2"),
		`a.csv:7:13: two wires are called W1, this one and that of line 6`:   sheet("W2", "W1"),
		`a.csv:1:1: the sheet has no wires`:                                  sheet("TS1.1,K1.A1,W1,red\nK1.A2,TS1.2,W2,\nTS1.3,S1.11,,\n", ""),
		`a.csv:1:1: the sheet has no title`:                                  sheet("# title", "# name"),
		`a.csv:2:1: "spring" is no date of a sheet`:                          sheet("date 1911", "date spring"),
		`a.csv:2:1: "1911-13-01" is no date of a sheet`:                      sheet("date 1911", "date 1911-13-01"),
		`a.csv:2:1: the sheet does not say its date`:                         sheet("date 1911", "date"),
		`a.csv:2:1: the sheet says its title twice`:                          sheet("date 1911", "title B"),
		`a.csv:3:1: there is no part "S2"`:                                   sheet(", S1", ", S2", "TS1.3,S1.11", "TS1.3,K1.13"),
		`a.csv:8:1: the sheet does not cover both TS1 and S1`:                sheet(", S1", ""),
		`a.csv:5:1: unknown column "form"`:                                   sheet("from,to", "form,to"),
		`a.csv:5:6: unknown column "wires"`:                                  sheet("to,wire", "wires,to"),
		`a.csv:5:1: there is no column "to"`:                                 sheet("from,to,wire", "from,wire,"),
		`a.csv:5:9: two columns are headed "to"`:                             sheet("to,wire", "to,to"),
		`a.csv:6:20: this line has 5 fields under 4 columns`:                 sheet("red", "red,or brown"),
		`a.csv:6:14: a quotation mark stands alone in a field`:               sheet("W1", `W"1`),
		`c.csv:3:7: this reading leads from TS1.1 to itself`:                 reading("TS1.1,K1.A1", "TS1.1,TS1.1"),
		`c.csv:3:7: no part has the terminal "K1.A7": the relay K1 has none`: reading("K1.A1", "K1.A7"),
		`c.csv:3:13: this line has no reading`:                               reading("closed", ""),
		`c.csv:3:13: "beep" is no reading of a tester`:                       reading("closed", "beep"),
		`c.csv:5:13: no resistance is -0.4`:                                  reading("0.4", "-0.4"),
		`c.csv:5:13: "4 mohm" may be thousandths or millions`:                reading("0.4", "4 mohm"),
		`c.csv:5:17: "K1 pushed" does not say what was held or taken`:        reading("held", "pushed"),
		`c.csv:5:17: there is no part "F7"`:                                  reading("F1 out", "F7 out"),
		`c.csv:5:17: nobody can hold the fuse F1`:                            reading("F1 out", "F1 held"),
		`c.csv:5:17: K1 stands twice under with`:                             reading("F1 out", "K1 out"),
		`c.csv:3:21: "12.9.2026" is no day`:                                  reading("closed,,2026-09-12", "closed,,12.9.2026"),
		`c.csv:2:1: there is no column "reading"`:                            reading("reading,with", "note,with", "when,note", "when,"),
	} {
		messages := got()
		if len(messages) != 1 || !strings.HasPrefix(messages[0].String(), want) || messages[0].Hint == "" {
			t.Errorf("%v\nwant %s", messages, want)
		}
	}
}

func TestReadAll(t *testing.T) {
	dir := t.TempDir()
	read := func() ([]reconcile.Sheet, []reconcile.Reading, []diag.Message) {
		in := folder.Open(dir)
		defer in.Close()
		return reconcile.ReadAll(in, small())
	}
	if s, r, m := read(); len(s)+len(r)+len(m) > 0 {
		t.Errorf("of an empty folder: %v %v %v", s, r, m)
	}
	write := func(name, text string) {
		t.Helper()
		name = filepath.Join(dir, "wiring", name)
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("sheets/b.csv", someSheet)
	write("sheets/a.csv", someSheet)
	write("sheets/.~lock.a.csv", "x")
	write("sheets/words.txt", "x")
	write("continuity.csv", someReadings)
	if s, r, m := read(); len(s) != 2 || s[0].Name != "a" || s[1].Name != "b" || len(r) != 3 || len(m) > 0 {
		t.Errorf("%v %v %v", s, r, m)
	}
	write("sheets/b.csv", "# title B\nfrom,to\n")
	if _, _, m := read(); len(m) != 1 || !strings.Contains(m[0].String(), "b.csv:1:1: the sheet has no wires") {
		t.Errorf("%v", m)
	}
}
