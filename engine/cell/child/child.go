// Package child runs a program in another process of this same command, without
// rights and within limits. In go a program, machine cards and limits; out comes
// what the cells told, held against the rules of the sheet, or one message at the
// statement that they stood at.
package child

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"strings"
	"sync"
	"time"

	"github.com/traefik/yaegi/interp"

	"slipring/engine/bench"
	"slipring/engine/cell/symbols"
	"slipring/engine/tell"
)

// childWord as the only argument makes this program a child that runs cells.
const childWord = "run-cells-for-parent"

// deepest is how large the stack of runaway calls may grow.
const deepest = 64 << 20

// Main must be the first call of main, and of each TestMain of a package
// that runs cells: cells are run by another process of the same program, and
// in that process ChildMain does the work and exits. Everywhere else it
// returns at once.
func Main() {
	if len(os.Args) != 2 || os.Args[1] != childWord {
		return
	}
	out := os.Stdout
	os.Stdout = os.Stderr // frames alone go up
	os.Clearenv()
	debug.SetTraceback("none")
	runtime.GOMAXPROCS(min(runtime.NumCPU(), 2)) // lessons run side by side

	kind, content, err := readFrame(os.Stdin, 1<<30)
	var r request
	if err == nil && kind == frameRequest {
		err = json.Unmarshal(content, &r)
	}
	if err != nil || kind != frameRequest {
		fmt.Fprintln(os.Stderr, "this command is for the program's own use")
		os.Exit(2)
	}
	if !r.Plain {
		confine(r.Limits.Memory)
	}
	debug.SetMemoryLimit(r.Limits.Memory / 8 * 7) // collect often rather than fail
	debug.SetMaxStack(int(min(deepest, r.Limits.Memory/4)))

	c := &child{out: out, limits: r.Limits, noter: noter{new(int)}}
	shared := false
	if r.Shared {
		if at, err := mapMark(os.NewFile(3, "mark")); err == nil {
			c.at, shared = at, true
		}
	}
	c.note(-1)
	go func() {
		io.Copy(io.Discard, os.Stdin) // returns when the parent is gone
		os.Exit(1)
	}()
	go c.watch(!shared)
	result, fail := c.run(r)
	c.answer(result, fail)
}

type child struct {
	noter
	out    io.Writer
	limits Limits
	sent   sync.Mutex // held for good by the one that answers
	runs   map[string]json.RawMessage
}

// answer sends the one answer and ends the process.
func (c *child) answer(result *tell.Result, fail *failure) {
	c.sent.Lock()
	content, err := json.Marshal(answer{result, fail, c.runs})
	if err == nil && len(c.runs) > 0 && (len(content) > c.limits.Output || parts(content) > mostParts) {
		content, err = json.Marshal(answer{Result: result, Failure: fail}) // runs only save time
	}
	switch {
	case err != nil:
	case len(content) > c.limits.Output:
		content, err = json.Marshal(answer{Failure: tooMuch(c.limits.Output)})
	case parts(content) > mostParts:
		content, err = json.Marshal(answer{Failure: tooManyParts(parts(content))})
	}
	if err == nil {
		err = writeFrame(c.out, frameAnswer, content)
	}
	if err != nil {
		os.Exit(1)
	}
	os.Exit(0)
}

func tooMuch(limit int) *failure {
	return &failure{
		Text: fmt.Sprintf("the cells tell more than %s of figures and tables", megabytes(int64(limit))),
		Hint: "show shorter stretches of time, or fewer points; the flag -output allows more",
		Mark: -1,
	}
}

func tooManyParts(n int) *failure {
	return &failure{
		Text: fmt.Sprintf("the cells tell %d lists, rows and entries of tables; %d are the most", n, mostParts),
		Hint: "show fewer rows of tables, or fewer positions of knobs; no flag allows more",
		Mark: -1,
	}
}

// watch ends this process when its time is over: time of the processor, so that
// a lesson does not fail because the computer has other things to do. Where the
// parent cannot see the mark it is sent from time to time. Memory is looked at
// as well as it can be, also where the system limits it: Linux lets a process
// map any amount over what it has set aside before, as Go's runtime does for
// one long list (mmap_region in mm/vma.c), and refuses only what comes next.
func (c *child) watch(sendMarks bool) {
	began := time.Now()
	busy := func() time.Duration {
		if t, ok := processorTime(); ok {
			return t
		}
		return time.Since(began)
	}
	used := []metrics.Sample{
		{Name: "/memory/classes/total:bytes"},
		{Name: "/memory/classes/heap/released:bytes"},
	}
	inUse := func() int64 {
		metrics.Read(used)
		return int64(used[0].Value.Uint64() - used[1].Value.Uint64())
	}
	start, last := inUse(), -1
	for {
		time.Sleep(5 * time.Millisecond)
		mark := c.last()
		if sendMarks && mark != last {
			last = mark
			c.sent.Lock()
			err := writeFrame(c.out, frameMark, binary.BigEndian.AppendUint64(nil, uint64(mark)))
			c.sent.Unlock()
			if err != nil {
				os.Exit(1)
			}
		}
		if inUse()-start > c.limits.Memory {
			c.answer(nil, outOfMemory(c.limits, mark))
		}
		if busy() >= c.limits.Time {
			c.answer(nil, outOfTime(c.limits, mark))
		}
	}
}

// run interprets the program. This is the one door through which panics of
// cells, and of what cells call, come out.
func (c *child) run(r request) (result *tell.Result, fail *failure) {
	interpreting := true
	defer func() {
		if p := recover(); p != nil {
			result = nil
			if interpreting {
				fail = notInterpreted(fmt.Sprint(p))
			} else {
				fail = panicked(p, c.last())
			}
		}
	}()
	printed := &paper{limit: c.limits.Printed}
	i := interp.New(interp.Options{
		Stdin:                strings.NewReader(""),
		Stdout:               printed,
		Stderr:               io.Discard,
		Args:                 []string{},
		SourcecodeFilesystem: noFiles{},
	})
	for _, e := range []interp.Exports{symbols.Exports(), symbols.Printing(printed)} {
		if err := i.Use(e); err != nil {
			return nil, notInterpreted(err.Error())
		}
	}
	if _, err := i.Eval(string(storing(r.Source))); err != nil {
		return nil, notInterpreted(err.Error())
	}
	v, err := i.Eval("cells." + placeName)
	if err != nil {
		return nil, notInterpreted(err.Error())
	}
	v.Interface().(func(*int))(c.at)
	v, err = i.Eval("cells.Run")
	if err != nil {
		return nil, notInterpreted(err.Error())
	}
	run, ok := v.Interface().(func(*tell.Sheet, *bench.Shelf, func(int)))
	if !ok {
		return nil, notInterpreted("it has no function to run")
	}
	sheet := r.Limits.sheet()
	shelf := bench.New(r.Cards)
	shelf.Recall(r.Known)
	shelf.Lay(r.Laid)
	shelf.Enter(r.Entered)
	if r.Wiring != nil {
		shelf.Wire(*r.Wiring)
	}
	if r.Cutting != nil {
		shelf.Plan(*r.Cutting)
	}
	if r.Papers != nil {
		shelf.Draw(*r.Papers)
	}
	interpreting = false
	run(sheet, shelf, c.note)
	told := sheet.Result()
	told.Cards = shelf.Opened()
	told.Printed = printed.text.String()
	c.runs = shelf.Kept()
	return &told, nil
}

// paper takes what cells print, up to a limit.
type paper struct {
	text  strings.Builder
	limit int
}

func (p *paper) Write(b []byte) (int, error) {
	if len(b) > p.limit-p.text.Len() {
		panic(tell.Misuse{
			Text: fmt.Sprintf("the cells print more than %s", megabytes(int64(p.limit))),
			Hint: "print less: printing is for looking at a few values while writing; the flag -printed allows more"})
	}
	return p.text.Write(b)
}

// noFiles is where the interpreter looks for packages that it was not given.
type noFiles struct{}

func (noFiles) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}
