package machine_test

import (
	"os"
	"path/filepath"
	"testing"

	"slipring/engine/card"
	"slipring/engine/machine"
)

func readCard(t testing.TB, name string) machine.Card {
	t.Helper()
	file := filepath.Join("testdata", name+".toml")
	source, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, messages := card.Read(file, source)
	for _, m := range messages {
		t.Fatal(m)
	}
	return c
}
