package child

import (
	"fmt"
	"reflect"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"time"

	"slipring/engine/cell/assemble"
	"slipring/engine/cell/goerrors"
	"slipring/engine/tell"
)

// What went wrong while cells ran is worded here.

const ourFault = "this is a fault of Slipring, not of the lesson; write it another way for now, and report it"

func outOfTime(l Limits, mark int) *failure {
	return &failure{
		Text: fmt.Sprintf("the cells were still running after %s, and were here then", seconds(l.Time)),
		Hint: "look for a loop that never ends, or let fewer steps be enough; the flag -time allows more",
		Mark: mark,
	}
}

func outOfMemory(l Limits, mark int) *failure {
	return &failure{
		Text: fmt.Sprintf("the cells need more than %s of memory here", megabytes(l.Memory)),
		Hint: "look for a list that grows without end, or make it shorter; the flag -memory allows more",
		Mark: mark,
	}
}

func tooDeep(mark int) *failure {
	return &failure{
		Text: "functions call each other without end here",
		Hint: "give the function that calls itself a case in which it does not",
		Mark: mark,
	}
}

// notInterpreted is for what the checks let through and the interpreter does
// not take. Its message begins with a place in the assembled file.
func notInterpreted(message string) *failure {
	f := &failure{Text: "the interpreter cannot run this: " + message, Hint: ourFault, Mark: -1}
	if g := interpreterPlace.FindStringSubmatch(message); g != nil {
		f.Line, _ = strconv.Atoi(g[1])
		f.Text = "the interpreter cannot run this: " + g[2]
	}
	return f
}

var interpreterPlace = regexp.MustCompile(`^(?:_\.go:)?(\d+):\d+: (?s:(.*))$`)

// markAt finds the mark that the given line of the assembled file stands
// under, or -1.
func markAt(p *assemble.Program, line int) int {
	lines := strings.SplitN(string(p.Source), "\n", line+1)
	for i := min(line, len(lines)) - 1; i >= 0; i-- {
		if g := markCall.FindStringSubmatch(lines[i]); g != nil {
			if n, err := strconv.Atoi(g[2]); err == nil {
				return n
			}
		}
	}
	return -1
}

// panicked words the value of a panic.
func panicked(value any, mark int) *failure {
	f := &failure{Mark: mark, Hint: "look at the values that this statement works with; fmt.Println shows them"}
	if r, ok := value.(reflect.Value); ok && r.IsValid() && r.CanInterface() {
		value = r.Interface()
	}
	if m, ok := value.(tell.Misuse); ok {
		f.Text, f.Hint = m.Text, m.Hint
		return f
	}
	text := fmt.Sprint(value)
	_, isRuntime := value.(runtime.Error)
	_, isReflect := value.(*reflect.ValueError)
	if where := origin(); strings.HasPrefix(where, "slipring/engine/") {
		f.Text = fmt.Sprintf("%s failed: %s", strings.TrimPrefix(where, "slipring/engine/"), text)
		f.Hint = ourFault
		if strings.Contains(text, "nil pointer") {
			f.Hint = "if the cell left out an error that came with a value, or hands over a function that it never set, look there; if not, " + ourFault
		}
		return f
	}
	if said, hint, ok := goerrors.Panic(text); ok {
		f.Text, f.Hint = said, hint
		return f
	}
	switch {
	case isReflect, isRuntime, strings.HasPrefix(text, "reflect"):
		f.Text = "this statement failed: " + strings.TrimPrefix(text, "runtime error: ")
	default:
		f.Text = fmt.Sprintf("the cell stops here with panic: %q", text)
		f.Hint = "change the cell so that it does not come to this panic"
	}
	return f
}

// origin names the function in which the panic that is being recovered began,
// past functions of the runtime. It must be called by way of a deferred
// function. The interpreter catches each panic and raises it anew for each
// function of a cell, all on the same stack; the first stands deepest.
func origin() string {
	pcs := make([]uintptr, 1<<14)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(1, pcs)])
	found, raised := "", false
	for {
		f, more := frames.Next()
		switch {
		case f.Function == "runtime.gopanic":
			raised = true
		case raised && !strings.HasPrefix(f.Function, "runtime."):
			found, raised = f.Function, false
		}
		if !more {
			return found
		}
	}
}

func seconds(d time.Duration) string {
	if d < time.Second {
		return fmt.Sprintf("%d ms", d.Milliseconds())
	}
	return fmt.Sprintf("%g s", d.Seconds())
}

func megabytes(n int64) string {
	switch {
	case n < 10<<10:
		return fmt.Sprintf("%d bytes", n)
	case n < 1<<20:
		return fmt.Sprintf("%d KB", n>>10)
	}
	return fmt.Sprintf("%d MB", n>>20)
}
