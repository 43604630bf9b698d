package plot

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/tell"
)

var update = flag.Bool("update", false, "write the golden files anew, to be read before they are committed")

// TestGolden holds drawings and CSV against files that somebody has looked at.
// A file that is missing, or that no figure stands for, fails it.
func TestGolden(t *testing.T) {
	known := map[string]bool{}
	for _, f := range []tell.Figure{oneTurn(), lineAndMarks(), fan(), flat(), single(), slowing(), overlaid()} {
		d, err := Draw(f, Settings{ID: "figure." + f.Name, Title: "The figure " + f.Name})
		if err != nil {
			t.Fatal(err)
		}
		compare(t, known, f.Name+".svg", d.SVG)
		compare(t, known, f.Name+".csv", string(CSV(f)))
	}
	files, err := filepath.Glob(filepath.Join("testdata", "golden", "*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no golden files were found (%v)", err)
	}
	for _, file := range files {
		if !known[filepath.Base(file)] {
			t.Errorf("golden file %s has no figure", file)
		}
	}
}

func compare(t *testing.T, known map[string]bool, name, got string) {
	t.Helper()
	known[name] = true
	file := filepath.Join("testdata", "golden", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (go test ./render/plot -update writes golden files)", err)
	}
	if got == string(want) {
		return
	}
	a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range a {
		if i >= len(b) || a[i] != b[i] {
			t.Errorf("%s differs from line %d on:\n%.300s", name, i+1, a[i])
			return
		}
	}
	t.Errorf("%s is shorter than its golden file", name)
}
