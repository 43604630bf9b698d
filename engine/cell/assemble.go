package cell

import (
	"go/types"

	"slipring/engine/cell/symbols"
	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// Assemble makes one program of all cells of a lesson: it splits them into
// declarations and statements, checks the whole against the packages that
// cells may import, refuses what the interpreter would get wrong, and writes
// it anew for the interpreter. Where it finds anything, the program is nil
// and each message stands at its line and column of the lesson.
func Assemble(l *lesson.Lesson) (*Program, []diag.Message) {
	return assemble(l, symbols.Importer())
}

// assemble is Assemble with the packages that cells may import given by imp.
func assemble(l *lesson.Lesson, imp types.Importer) (*Program, []diag.Message) {
	s := newSource(l)
	parts := s.parse()
	var m merged
	var c checked
	for _, step := range []func(){
		func() { s.syntax(parts) },
		func() { m = s.merge(parts) },
		func() { c = s.check(m, imp) },
		func() { s.meaning(c) },
	} {
		if len(s.messages) == 0 {
			step()
		}
	}
	if len(s.messages) > 0 {
		messages := diag.Sort(s.messages)
		return nil, messages[:min(len(messages), maxMessages)]
	}
	calls := s.calls(c) // before the tree is written anew
	p := s.write(c)
	p.calls = calls
	p.Readings = readings(l)
	return p, nil
}

// maxMessages is how many findings about one lesson's cells are shown at
// once, the first ones in the text.
const maxMessages = 10
