// Package cell runs the cells of a lesson. In goes a lesson with its Go blocks;
// out comes what they told, or messages at their places.
//
// It is the front door of the packages below it, each of which knows only
// those before it:
//
//	goerrors  Go's messages in our words
//	assemble  the cells of a lesson as one file
//	symbols   the packages that cells may import
//	check     types, and what is known of each name
//	subset    what cells leave out, and why
//	rewrite   what the interpreter gets wrong, written so that it is right
//	child     the process that interprets, its limits and its answer
package cell

import (
	"context"
	"encoding/json"
	"math"
	"path/filepath"
	"slices"

	"slipring/engine/bench"
	"slipring/engine/cell/assemble"
	"slipring/engine/cell/check"
	"slipring/engine/cell/child"
	"slipring/engine/cell/rewrite"
	"slipring/engine/cell/subset"
	"slipring/engine/cell/symbols"
	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
)

// ChildMain must be the first call of main, and of each TestMain of a package
// that runs cells: cells are run by another process of the same program, and
// in that process ChildMain does the work and exits. Everywhere else it
// returns at once.
func ChildMain() { child.Main() }

// Limits bound what the cells of one lesson may use and hand over.
type Limits = child.Limits

// Defaults gives the limits that hold where nothing else is said.
func Defaults() Limits { return child.Defaults() }

// Call is one place in a cell that names something of the engine.
type Call = check.Call

// Program is the cells of one lesson as one Go file, checked and ready to run.
type Program struct {
	assemble.Program
	calls []Call
	told  []lesson.Told
}

// Run runs the program in a child process and gives what its cells told. The
// child is another process of this program (see ChildMain) with an empty
// environment and with limits; it can open no file and see no clock. When ctx
// ends, so does the child. Nothing of it is left when Run returns.
//
// Whatever goes wrong becomes one message: at the statement of the lesson at
// which the cells stood, as far as that is known.
func (p *Program) Run(ctx context.Context, cards []machine.Card, limits Limits) (tell.Result, []diag.Message) {
	result, _, messages := p.RunWithCache(ctx, cards, nil, limits)
	return result, messages
}

// RunWithCache is Run for a caller that keeps the machine's runs: known are those
// that earlier children handed back, of any lesson, and what comes back are
// the new ones. They save time, and change nothing else.
func (p *Program) RunWithCache(ctx context.Context, cards []machine.Card, known map[string]json.RawMessage, limits Limits) (tell.Result, map[string]json.RawMessage, []diag.Message) {
	return child.Run(ctx, &p.Program, cards, known, limits)
}

// Enter hands the program what was read off the house's sets, where its cells ask
// for that; otherwise its results do not depend on it. Where the folder lies
// they never do.
func (p *Program) Enter(all []reading.Reading) {
	if slices.ContainsFunc(p.calls, func(c Call) bool { return c.Name == "bench.Set.Readings" }) {
		p.Entered = slices.Clone(all)
		for i, r := range all {
			p.Entered[i].File = filepath.Base(r.File)
		}
	}
}

// Wire hands the program the house's wiring, where its cells ask for one.
func (p *Program) Wire(w *circuit.Wiring) {
	if p.asks("bench.Shelf.Wiring") || p.asks("bench.Shelf.Cutting") {
		p.Wiring = w
	}
}

// Plan hands the program what the house says of wire to cut, where its cells ask
// for that.
func (p *Program) Plan(of *cutting.Plan) {
	if p.asks("bench.Shelf.Cutting") {
		p.Cutting = of
	}
}

func (p *Program) asks(name string) bool {
	return slices.ContainsFunc(p.calls, func(c Call) bool { return c.Name == name })
}

// Draw hands the program what the house's drawings and continuity readings say,
// where its cells ask for that.
func (p *Program) Draw(all reconcile.Papers) {
	if !p.asks("bench.Wiring.Drawings") {
		return
	}
	p.Papers = &reconcile.Papers{Sheets: slices.Clone(all.Sheets), Readings: slices.Clone(all.Readings)}
	for i := range p.Papers.Sheets {
		p.Papers.Sheets[i].File = filepath.Base(p.Papers.Sheets[i].File)
	}
	for i := range p.Papers.Readings {
		r := &p.Papers.Readings[i]
		r.File = filepath.Base(r.File)
		if math.IsNaN(r.Ohms) { // which no child can be told; open or closed is all that counts
			r.Ohms = 0
		}
	}
}

// Calls gives where cells name something of the engine, in their order. What
// the standard library or the cells themselves declare is not among them. See
// symbols.Doc for what is said about each.
func (p *Program) Calls() []Call { return slices.Clone(p.calls) }

// Told gives what each number is made of that the cells tell, in their order.
func (p *Program) Told() []lesson.Told { return slices.Clone(p.told) }

// Assemble makes one program of all cells of a lesson: it splits them into
// declarations and statements, checks the whole against the packages that
// cells may import, refuses what the interpreter would get wrong, and writes
// it anew for the interpreter. Where it finds anything, the program is nil
// and each message stands at its line and column of the lesson.
func Assemble(l *lesson.Lesson) (*Program, []diag.Message) {
	s := assemble.New(l)
	parts := s.Parse()
	var m assemble.Merged
	var c check.Checked
	for _, step := range []func(){
		func() { subset.Syntax(s, parts) },
		func() { m = s.Merge(parts) },
		func() { c = check.Check(s, m, symbols.Importer()) },
		func() { subset.Meaning(s, c) },
	} {
		if len(s.Messages) == 0 {
			step()
		}
	}
	if len(s.Messages) > 0 {
		messages := diag.Sort(s.Messages)
		return nil, messages[:min(len(messages), maxMessages)]
	}
	calls, told := c.Calls(s), c.Told(s) // before the tree is written anew
	p := &Program{Program: *rewrite.Write(s, c), calls: calls, told: told}
	p.Beside = bench.Beside{Readings: readings(l), Captures: captures(l)}
	return p, nil
}

// maxMessages is how many findings about one lesson's cells are shown at
// once, the first ones in the text.
const maxMessages = 10
