package main

import (
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/folder"
	"slipring/engine/lesson"
)

// A shipped cell is short enough to be read aloud beside its figure.
func TestShippedCellsAreShort(t *testing.T) {
	const most = 25 // lines
	lessons, messages := lesson.ReadAll(folder.Open(filepath.Join(root, "lessons")))
	if len(lessons) == 0 {
		t.Fatalf("no lesson was read: %v", messages)
	}
	for _, l := range lessons {
		if len(l.Cells) == 0 {
			t.Errorf("%s has no cell", l.Slug)
		}
		for _, c := range l.Cells {
			if n := strings.Count(strings.TrimRight(c.Source, "\n"), "\n") + 1; n > most {
				first, _, _ := strings.Cut(c.Source, "\n")
				t.Errorf("%s: the cell that begins with %q has %d lines, more than %d", l.Slug, first, n, most)
			}
		}
	}
}
