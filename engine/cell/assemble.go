package cell

import (
	"go/token"
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
	s := &source{lesson: l, files: token.NewFileSet()}
	parts := s.parse()
	if len(s.messages) > 0 {
		return nil, s.messages
	}
	s.syntax(parts)
	if len(s.messages) > 0 {
		return nil, diag.Sort(s.messages)
	}
	m := s.merge(parts)
	if len(s.messages) > 0 {
		return nil, diag.Sort(s.messages)
	}
	c := s.check(m, imp)
	if len(s.messages) > 0 {
		return nil, diag.Sort(s.messages)
	}
	s.meaning(c)
	if len(s.messages) > 0 {
		return nil, diag.Sort(s.messages)
	}
	return s.write(c), nil
}
