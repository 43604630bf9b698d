package assemble

import (
	"slipring/engine/bench"
	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/diag"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
)

// Program is the cells of one lesson as one Go file, checked and ready to
// run. Source is package cells with the single entry
//
//	func Run(t *tell.Sheet, b *bench.Shelf, m func(int))
//
// Run calls m(n) before each statement of a cell, in loop bodies and in
// functions too, where n is an index into Marks. Whoever runs the program
// learns from the last n at which statement of the lesson it stands. Run may
// be called once in a process: the variables of the cells are variables of
// the package.
//
// The source is ordinary Go. Written to a file of its own folder within this
// module it compiles, which is how the interpreter's results are checked.
type Program struct {
	File         string // the lesson's path, as messages show it
	LessonSource []byte // the lesson's bytes, which Marks count in
	Source       []byte // one Go file, package cells
	Marks        []Mark
	Beside       bench.Beside // the lesson's data files and captures

	// Entered is what was read off the house's sets. Whoever runs the program puts
	// it there, when its cells ask for it (cell.Program.Enter).
	Entered []reading.Reading

	Wiring  *circuit.Wiring   // of the house, in the same way (cell.Program.Wire)
	Cutting *cutting.Plan     // of the house, in the same way (cell.Program.Plan)
	Papers  *reconcile.Papers // about the wiring, in the same way (cell.Program.Draw)
}

// Mark says where in the lesson the statement stands that follows a mark.
type Mark struct {
	Offset int // byte offset of its first byte in the lesson
}

// Place gives the lesson's line and column of the statement behind mark n,
// both from 1. An n that no mark has gives 0, 0.
func (p *Program) Place(n int) (line, column int) {
	if n < 0 || n >= len(p.Marks) {
		return 0, 0
	}
	return diag.Place(p.LessonSource, p.Marks[n].Offset)
}
