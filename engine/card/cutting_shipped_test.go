package card

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
)

// Whoever takes a wire out of the list of wires sees what lessons then say of the
// board: neither the parts nor the plan of wire to cut stand in the way.
func TestWireTakenOut(t *testing.T) {
	read := func(name string) []byte {
		content, err := os.ReadFile(filepath.Join("..", "..", "lessons", "wiring", name))
		if err != nil {
			t.Fatal(err)
		}
		return content
	}
	parts, plan, places := read("parts.toml"), read("cutting.toml"), read("places.csv")
	lines := bytes.SplitAfter(read("wires.csv"), []byte("\n"))
	var wires []int
	for i, line := range lines {
		if bytes.Contains(line, []byte(",W")) {
			wires = append(wires, i)
		}
	}
	if len(wires) < 100 {
		t.Fatalf("%d wires", len(wires))
	}
	for _, i := range sweeptest.Sample(t, wires, 20) {
		less := bytes.Join(append(lines[:i:i], lines[i+1:]...), nil)
		w, messages := ReadWiring("parts.toml", parts, "wires.csv", less)
		_, more := ReadCutting("cutting.toml", plan, "places.csv", places, w)
		if messages = append(messages, more...); diag.HasError(messages) || len(more) == 0 {
			t.Errorf("without %s: %v", lines[i], messages)
		}
	}
}
