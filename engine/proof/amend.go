package proof

import (
	"bytes"
	"cmp"
	"slices"

	"slipring/engine/lesson"
)

// Amend gives the lesson's source with the numbers of the drifts in it, and
// every other byte as it was. The drifts are those that Check reported for
// this lesson.
func Amend(l *lesson.Lesson, drifts []Drift) []byte {
	sorted := slices.Clone(drifts)
	slices.SortFunc(sorted, func(a, b Drift) int { return cmp.Compare(a.Offset, b.Offset) })
	var out bytes.Buffer
	done := 0
	for _, d := range sorted {
		if d.Offset < done || d.End > len(l.Source) {
			continue // not of this lesson, or the same once more
		}
		out.Write(l.Source[done:d.Offset])
		out.WriteString(d.Number)
		done = d.End
	}
	out.Write(l.Source[done:])
	return out.Bytes()
}
