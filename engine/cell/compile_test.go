package cell

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"slipring/engine/bench"
	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
)

// compiledTime is how long compiled programs may run, all together. Unlike the
// interpreter's children they have no watcher.
const compiledTime = 3 * time.Minute

// Outcome is what a program did when it was compiled.
type Outcome struct {
	Result  tell.Result
	Printed string
	Failed  bool // it panicked
	Reason  string
	Mark    int // the last mark, -1 for none
}

// Compiled runs assembled programs with the Go compiler instead of the
// interpreter, all of them in one build, and gives what each did. It is for
// holding the interpreter's results against: it needs Go and the module's
// folder root. The programs are built inside the module without writing
// there. For results that agree to the last bit, the build is for the
// processor's first level, on which no multiplication and addition are fused.
// A program that passes more than steps marks is made to fail; 0 is no limit.
func Compiled(root string, programs []*Program, cards []machine.Card, steps int) ([]Outcome, error) {
	root, err := filepath.Abs(root)
	if err != nil {
		return nil, err
	}
	work, err := os.MkdirTemp("", "cells")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(work)

	overlay := map[string]string{}
	put := func(name string, data []byte) error {
		real := filepath.Join(work, strings.ReplaceAll(name, "/", "_"))
		overlay[filepath.Join(root, "engine", "cell", "compiled", filepath.FromSlash(name))] = real
		return os.WriteFile(real, data, 0o600)
	}
	var imports, calls strings.Builder
	for i, p := range programs {
		if err := put(fmt.Sprintf("p%d/cells.go", i), p.Source); err != nil {
			return nil, err
		}
		fmt.Fprintf(&imports, "\tp%d \"slipring/engine/cell/compiled/p%d\"\n", i, i)
		fmt.Fprintf(&calls, "\tp%d.Run,\n", i)
	}
	if err := put("main.go", fmt.Appendf(nil, compiledMain, imports.String(), calls.String(), steps)); err != nil {
		return nil, err
	}
	list, err := json.Marshal(map[string]any{"Replace": overlay})
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(filepath.Join(work, "overlay.json"), list, 0o600); err != nil {
		return nil, err
	}
	shelf := shelfOf{Cards: cards}
	for _, p := range programs {
		shelf.Laid, shelf.Entered = append(shelf.Laid, p.Beside), append(shelf.Entered, p.Entered)
		shelf.Wirings = append(shelf.Wirings, p.Wiring)
		shelf.Plans, shelf.Papers = append(shelf.Plans, p.Cutting), append(shelf.Papers, p.Papers)
	}
	deck, err := json.Marshal(shelf)
	if err != nil {
		return nil, err
	}

	binary := filepath.Join(work, "compiled.exe")
	build := exec.Command("go", "build", "-overlay", filepath.Join(work, "overlay.json"), "-o", binary, "slipring/engine/cell/compiled")
	build.Dir = root
	build.Env = append(os.Environ(), "GOAMD64=v1")
	if out, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the assembled programs do not compile: %v\n%s", err, out)
	}
	ctx, cancel := context.WithTimeout(context.Background(), compiledTime)
	defer cancel()
	run := exec.CommandContext(ctx, binary, filepath.Join(work, "out"))
	run.Stdin = bytes.NewReader(deck)
	if out, err := run.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the compiled programs do not run: %v\n%s", err, out)
	}
	data, err := os.ReadFile(filepath.Join(work, "out"))
	if err != nil {
		return nil, err
	}
	var outcomes []Outcome
	return outcomes, json.Unmarshal(data, &outcomes)
}

// shelfOf is what the compiled programs find on their shelves: the same cards,
// and each its own readings.
type shelfOf struct {
	Cards   []machine.Card
	Laid    []bench.Beside
	Entered [][]reading.Reading
	Wirings []*circuit.Wiring
	Plans   []*cutting.Plan
	Papers  []*reconcile.Papers
}

const compiledMain = `package main

import (
	"encoding/json"
	"fmt"
	"os"

	"slipring/engine/bench"
	"slipring/engine/circuit"
	"slipring/engine/cutting"
	"slipring/engine/machine"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
%s)

var programs = []func(*tell.Sheet, *bench.Shelf, func(int)){
%s}

const steps = %d

func main() {
	var deck struct {
		Cards []machine.Card
		Laid  []bench.Beside
		Entered [][]reading.Reading
		Wirings []*circuit.Wiring
		Plans []*cutting.Plan
		Papers []*reconcile.Papers
	}
	must(json.NewDecoder(os.Stdin).Decode(&deck))
	var all []outcome
	for i, run := range programs {
		shelf := bench.New(deck.Cards)
		shelf.Lay(deck.Laid[i])
		shelf.Enter(deck.Entered[i])
		if w := deck.Wirings[i]; w != nil {
			shelf.Wire(*w)
		}
		if p := deck.Plans[i]; p != nil {
			shelf.Plan(*p)
		}
		if p := deck.Papers[i]; p != nil {
			shelf.Draw(*p)
		}
		printed := os.Args[1] + ".printed"
		f, err := os.Create(printed)
		must(err)
		os.Stdout = f
		o := one(run, shelf)
		must(f.Close())
		text, err := os.ReadFile(printed)
		must(err)
		o.Printed = string(text)
		all = append(all, o)
	}
	data, err := json.Marshal(all)
	must(err)
	must(os.WriteFile(os.Args[1], data, 0o600))
}

type outcome struct {
	Result  tell.Result
	Printed string
	Failed  bool
	Reason  string
	Mark    int
}

func one(run func(*tell.Sheet, *bench.Shelf, func(int)), shelf *bench.Shelf) (o outcome) {
	sheet := &tell.Sheet{}
	o.Mark = -1
	defer func() {
		if r := recover(); r != nil {
			o.Failed, o.Reason = true, fmt.Sprint(r)
		}
		o.Result = sheet.Result()
	}()
	passed := 0
	run(sheet, shelf, func(n int) {
		o.Mark = n
		if passed++; passed == steps {
			panic("too many steps")
		}
	})
	return o
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}
`
