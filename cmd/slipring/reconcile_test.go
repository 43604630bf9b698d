package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/reconcile"
)

// A small board: a battery feeds a lamp through a key, and a strip has spare
// terminals.
const (
	boardParts = `[BAT]
kind = "battery"
voltage = { value = 48, unit = "V", from = "nameplate" }
resistance = { value = 0.1, unit = "ohm", from = "assumed" }
[S1]
kind = "key"
contacts = ["13-14"]
[H1]
kind = "lamp"
text = "lit"
colour = "white"
resistance = { value = 500, unit = "ohm", from = "assumed" }
voltage = { value = 48, unit = "V", from = "nameplate" }
[TS1]
kind = "strip"
terminals = 6
`
	boardA       = "# title Drawing A\n# date 1911\nfrom,to,wire,note\nBAT.+,S1.13,W1,red\nS1.14,H1.X1,W2,\nH1.X2,TS1.1,W3,\nTS1.1,BAT.-,W4,black\n"
	boardB       = "# title Drawing B\n# date 1919\nfrom;to;wire;note\nBAT.+;S1.13;W1;red\nS1.14;H1.X1;W2;\nH1.X2;TS1.2;W3;\nTS1.1;BAT.-;W4;black\nTS1.5;TS1.6;W5;\n"
	boardRead    = "# Invented for this test.\nfrom,to,reading,with,when,note\n"
	boardSettled = boardRead + "BAT.+,S1.14,closed,S1 held,2026-09-12,\nBAT.+,S1.13,closed,,2026-09-12,\nBAT.+,S1.13,closed,,2026-09-12,\nBAT.+,S1.14,open,,2026-09-12,\nS1.14,H1.X1,closed,,2026-09-12,\n" +
		"H1.X2,TS1.1,closed,,2026-09-12,\nH1.X2,TS1.1,closed,,2026-09-12,\nH1.X2,TS1.2,open,,2026-09-12,\nTS1.1,BAT.-,closed,,2026-09-12,\nS1.13,H1.X1,open,,2026-09-12,\nH1.X2,BAT.-,closed,,2026-09-12,\n"
)

// boardFolder makes a lessons folder of these files, and others below wiring.
func boardFolder(t *testing.T, files map[string]string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	all := map[string]string{"parts.toml": boardParts, "sheets/a.csv": boardA, "sheets/b.csv": boardB, "continuity.csv": boardRead}
	maps.Copy(all, files)
	for name, text := range all {
		if text == "" {
			continue
		}
		file := filepath.Join(dir, "wiring", filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o640); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func reconcileIn(t *testing.T, dir string, flags ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(t.Context(), slices.Concat([]string{"reconcile"}, flags, []string{dir}), &out, &errs)
	clean := strings.NewReplacer(dir+string(filepath.Separator), "")
	return code, clean.Replace(out.String()), clean.Replace(errs.String())
}

// The exit code says whether a wire that carries power is an open question; one
// between spare terminals may be.
func TestReconcileExits(t *testing.T) {
	code, out, errs := reconcileIn(t, boardFolder(t, nil))
	if code != exitWrong || errs != "" || !strings.Contains(out, "open question over which current can flow") || !strings.Contains(out, "carries power") {
		t.Errorf("%d\n%s%s", code, out, errs)
	}
	code, out, errs = reconcileIn(t, boardFolder(t, map[string]string{"continuity.csv": boardSettled}))
	if code != exitClean || errs != "" || strings.Contains(out, "current can flow") || !strings.Contains(out, "W5  TS1.5 to TS1.6") {
		t.Errorf("%d\n%s%s", code, out, errs)
	}
	for _, flags := range [][]string{{"-tests", "x"}, {"-tests", "-1"}, {"-amend", "-json"}, {"-amend", "-tests", "3"}, {"-bogus"}, {"no-such-folder"}} {
		var out, errs bytes.Buffer
		if code := run(t.Context(), append([]string{"reconcile"}, flags...), &out, &errs); code != exitUsage || out.Len() > 0 || strings.Count(errs.String(), "\n    ") != 1 {
			t.Errorf("%q: %d\n%s%s", flags, code, &out, &errs)
		}
	}
}

// The sheet has what is to be tested, room for answers, and the cautions.
func TestReconcileSheet(t *testing.T) {
	_, out, _ := reconcileIn(t, boardFolder(t, nil), "-tests", "2")
	if strings.Count(out, "closed [ ]   open [ ]   ______ ohm") != 2 || !strings.HasPrefix(out, testCautions) {
		t.Error(out)
	}
	for _, line := range strings.Split(out, "\n") {
		if len(line) > 96 {
			t.Errorf("no sheet is so wide: %s", line)
		}
	}
}

// What -json prints has these names and no others.
func TestReconcileJSON(t *testing.T) {
	_, out, _ := reconcileIn(t, boardFolder(t, map[string]string{"continuity.csv": boardRead + "H1.X2,TS1.1,open,,2026-09-12,\nH1.X2,TS1.1,closed,,2026-09-12,\n"}), "-json", "-tests", "3")
	var all map[string][]any
	if err := json.Unmarshal([]byte(out), &all); err != nil {
		t.Fatal(err)
	}
	names := func(m map[string]any) string { return strings.Join(slices.Sorted(maps.Keys(m)), ",") }
	if got := strings.Join(slices.Sorted(maps.Keys(all)), ","); got != "contradictions,fits,tests,wires" {
		t.Error(got)
	}
	for key, want := range map[string]string{"wires": "because,from,probability,to,verdict", "fits": "part,share,sheet"} {
		for _, one := range all[key] {
			if got := names(one.(map[string]any)); got != want {
				t.Errorf("%s: %s", key, got)
			}
		}
	}
	for _, one := range all["tests"] {
		m := one.(map[string]any)
		delete(m, "with") // where something is to be held
		if got := names(m); got != "from,gain,if closed,if open,to" {
			t.Error(got)
		}
	}
	verdicts := []string{string(reconcile.Found), string(reconcile.Likely), string(reconcile.Question), string(reconcile.NotThere)}
	for _, one := range all["wires"] {
		if v := one.(map[string]any)["verdict"].(string); !slices.Contains(verdicts, v) {
			t.Error(v)
		}
	}
	if len(all["contradictions"]) != 1 || len(all["contradictions"][0].([]any)) != 2 || len(all["wires"]) < 6 || len(all["tests"]) != 3 {
		t.Errorf("%d contradictions, %d wires, %d tests", len(all["contradictions"]), len(all["wires"]), len(all["tests"]))
	}
}

// Whatever is wrong with a file is one message with its place and a next step,
// and nothing is written.
func TestReconcileBadInput(t *testing.T) {
	for name, c := range map[string]struct{ file, text, want string }{
		"a terminal that no part has":   {"sheets/a.csv", strings.Replace(boardA, "H1.X1", "H1.X9", 1), "wiring/sheets/a.csv:5:7: no part has the terminal"},
		"a wire twice":                  {"sheets/a.csv", boardA + "H1.X1,S1.14,W9,\n", "wiring/sheets/a.csv:8:1: the wire from H1.X1 to S1.14 stands twice"},
		"a wire to itself":              {"sheets/a.csv", boardA + "H1.X1,H1.X1,W9,\n", "wiring/sheets/a.csv:8:7: this wire leads from H1.X1 to itself"},
		"a part twice":                  {"parts.toml", boardParts + "[S1]\nkind = \"key\"\ncontacts = [\"13-14\"]\n", "wiring/parts.toml:17:2: the heading [S1] stands twice"},
		"an unknown kind":               {"parts.toml", strings.Replace(boardParts, `"strip"`, `"stripe"`, 1), `wiring/parts.toml:15:1: "stripe" is no kind of part`},
		"a relay without release":       {"parts.toml", boardParts + "[K1]\nkind = \"relay\"\ncontacts = [\"13-14\"]\n" + strings.Join([]string{"resistance = { value = 1, unit = \"ohm\", from = \"assumed\" }", "pick-up = { value = 1, unit = \"A\", from = \"assumed\" }", "pick-up-time = { value = 1, unit = \"s\", from = \"assumed\" }", "release-time = { value = 1, unit = \"s\", from = \"assumed\" }"}, "\n"), "wiring/parts.toml:17:2: the relay K1 has no release"},
		"no parts":                      {"parts.toml", "", "wiring/parts.toml: the file that describes the parts"},
		"a reading of one terminal":     {"continuity.csv", boardRead + "TS1.1,TS1.1,open,,,\n", "wiring/continuity.csv:3:7: this reading leads from TS1.1 to itself"},
		"ohms below 0":                  {"continuity.csv", boardRead + "TS1.1,TS1.2,-3,,,\n", "wiring/continuity.csv:3:13: no resistance is -3"},
		"a sheet with no wires":         {"sheets/b.csv", "# title B\nfrom,to\n", "wiring/sheets/b.csv:1:1: the sheet has no wires"},
		"a list that stood there":       {"wires.csv", "# Mine.\nfrom,to,wire\nS1.13,S1.99,W1\n", "wiring/wires.csv:3:1: no part has the terminal"},
		"a list with a wire twice":      {"wires.csv", "# Mine.\nfrom,to,wire\nS1.13,BAT.+,W1\nBAT.+,S1.13,W2\n", "wiring/wires.csv:4:1: the wire W2 joins what W1 joins already"},
		"a list with an unknown column": {"wires.csv", "# Mine.\nfrom,to,wire,colour\nS1.13,BAT.+,W1,red\n", `wiring/wires.csv:2:14: unknown column "colour"`},
	} {
		t.Run(name, func(t *testing.T) {
			files := map[string]string{c.file: c.text, "continuity.csv": boardSettled}
			files[c.file] = c.text
			dir := boardFolder(t, files)
			before := contents(t, dir)
			code, _, errs := reconcileIn(t, dir, "-amend")
			if code != exitWrong || !strings.HasPrefix(filepath.ToSlash(errs), c.want) || strings.Count(errs, "wiring/")-strings.Count(errs, "such as wiring/") != 1 || !strings.Contains(errs, "\n    ") {
				t.Errorf("%d\n%s\nwant %s", code, errs, c.want)
			}
			if after := contents(t, dir); !maps.Equal(before, after) {
				t.Errorf("something was written: %v", after)
			}
		})
	}
	if code, _, errs := reconcileIn(t, boardFolder(t, map[string]string{"sheets/a.csv": "", "sheets/b.csv": ""})); code != exitWrong || !strings.HasPrefix(filepath.ToSlash(errs), "wiring/sheets: there is no drawing") {
		t.Errorf("%d %s", code, errs)
	}
}

// -amend writes one file, as it was written before, and what proof reads of it
// is sound.
func TestReconcileAmends(t *testing.T) {
	dir := boardFolder(t, map[string]string{"continuity.csv": boardSettled})
	before := contents(t, dir)
	code, out, errs := reconcileIn(t, dir, "-amend")
	if code != exitClean || errs != "" || !strings.HasSuffix(out, "wires.csv: 5 wires\n") {
		t.Errorf("%d\n%s%s", code, out, errs)
	}
	after := contents(t, dir)
	want := newWires + "from,to,wire,evidence,note\n" +
		"BAT.+,S1.13,W1,\"found: BAT.+ to S1.14 closed with S1 held, 2026-09-12\",red\n"
	if got := after["wiring/wires.csv"]; !strings.HasPrefix(got, want) || !strings.Contains(got, `H1.X2,TS1.1,W3,"found: H1.X2 to TS1.1 closed, 2026-09-12"`) {
		t.Errorf("%s", got)
	}
	delete(after, "wiring/wires.csv")
	if !maps.Equal(before, after) {
		t.Error("other files changed")
	}
	mine := "\ufeff# My own words;;\r\nfrom;to;wire;note;evidence\r\nS1.13;BAT.+;17;thick;\r\nS1.14;H1.X1;W2;;followed by eye\r\n"
	file := filepath.Join(dir, "wiring", "wires.csv")
	if err := os.WriteFile(file, []byte(mine), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(file, 0o600); err != nil {
		t.Fatal(err)
	}
	if code, out, errs = reconcileIn(t, dir, "-amend"); code != exitClean || errs != "" {
		t.Errorf("%d\n%s%s", code, out, errs)
	}
	wantMine := "\ufeff# My own words;;\r\nfrom;to;wire;evidence;note\r\nS1.13;BAT.+;17;found: BAT.+ to S1.14 closed with S1 held, 2026-09-12;thick\r\nS1.14;H1.X1;W2;followed by eye;\r\n"
	if got := contents(t, dir)["wiring/wires.csv"]; !strings.HasPrefix(got, wantMine) || !strings.Contains(out, "W3, TS1.1 to H1.X2: put in;") && !strings.Contains(out, "W3, H1.X2 to TS1.1: put in;") {
		t.Errorf("%q\n%s", got, out)
	}
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v %v", info, err)
	}
}

// What is believed may be a board that cannot work, such as one with a shorted
// battery. It is not written, and what stood there stays.
func TestReconcileKeepsWhatWorks(t *testing.T) {
	short := "# title Drawing A\n# date 1911\nfrom,to,wire\nBAT.+,TS1.1,W1\nTS1.1,BAT.-,W2\n"
	dir := boardFolder(t, map[string]string{"sheets/a.csv": short, "sheets/b.csv": strings.Replace(short, "1911", "1919", 1), "wires.csv": "# Mine.\nfrom,to,wire\nBAT.+,S1.13,W9\n",
		"parts.toml": strings.Replace(boardParts, "value = 0.1", "value = 0", 1)})
	before := contents(t, dir)
	code, _, errs := reconcileIn(t, dir, "-amend")
	if code != exitWrong || !strings.Contains(errs, "what is believed cannot stand there: ") || !strings.HasSuffix(errs, "nothing was amended\n") {
		t.Errorf("%d\n%s", code, errs)
	}
	if after := contents(t, dir); !maps.Equal(before, after) {
		t.Errorf("something was written: %v", after)
	}
}
