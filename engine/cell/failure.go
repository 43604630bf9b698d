package cell

import (
	"fmt"
	"reflect"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"time"

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
func (p *Program) markAt(line int) int {
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
			f.Hint = "if the cell left out an error that came with a value, look at that error; if not, " + ourFault
		}
		return f
	}
	for _, w := range panicWords {
		if g := w.pattern.FindStringSubmatch(text); g != nil {
			f.Text, f.Hint = fill(w.text, g), fill(w.hint, g)
			return f
		}
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

// Patterns of panics of the Go runtime, of package reflect (with which the
// interpreter does what the compiler would do itself) and of the packages
// that cells import.
var panicWords = forms(
	[3]string{`(?:runtime error: )?index out of range \[(-?\d+)\] with length (\d+)`,
		`index $1 is out of range: the length is $2`, `the first element has index 0, the last the length less one`},
	[3]string{`(?:runtime error: )?index out of range \[(-?\d+)\]`,
		`index $1 is out of range`, `the first element has index 0, the last the length less one`},
	[3]string{`(?:runtime error: |reflect: )?(?:slice|array|string) index out of (?:range|bounds)|(?:runtime error: )?index out of range`,
		`an index is out of range`, `the first element has index 0, the last the length less one`},
	[3]string{`(?:runtime error: )?slice bounds out of range.*|reflect\.Value\.Slice.*out of bounds`,
		`a part is taken that reaches beyond the list or text`, `compare the bounds in the brackets with len(...)`},
	[3]string{`(?:runtime error: )?integer divide by zero`,
		`a whole number is divided by zero`, `test the divisor first, or use float64`},
	[3]string{`(\S+)` + fits + `(\w+)`,
		`the number $1 does not fit into a whole number of type $2`, `test its size before it is converted, or keep it as float64`},
	[3]string{`assignment to entry in nil map`,
		`a value is put into a map that was never made`, `make it first, such as m := map[string]float64{}`},
	[3]string{`(?:runtime error: )?invalid memory address or nil pointer dereference|reflect: call of .* on zero Value|reflect: (?:call of nil function|indirection through nil pointer).*|reflect\.Value\.\w+: call of nil.*`,
		`this uses something that was never made: a nil pointer or a nil function`, `give it a value before it is used`},
	[3]string{`(?:runtime error: )?make(?:slice|map|chan): (?:len|cap|size) out of range|reflect\.Make\w+: .*`,
		`a list of impossible length is asked for`, `give make a length of zero or more that fits into memory`},
	[3]string{`(?:runtime error: )?negative shift amount`,
		`a number is shifted by less than nothing`, `shift by zero or more`},
	[3]string{`interface conversion: (.+)`,
		`the value is of another type than is asked for: $1`, `ask with the form v, ok := x.(T), and look at ok`},
	[3]string{`(?:runtime error: )?(?:hash of unhashable|comparing uncomparable) type (.+)`,
		`values of type $1 cannot be compared`, `compare what they hold instead`},
	[3]string{`strings: negative Repeat count`,
		`text is to be repeated less than zero times`, `give strings.Repeat zero or more`},
	[3]string{`strings: Repeat output length overflow|strings\.Builder\.Grow: .*|bytes\.Buffer: too large`,
		`text of impossible length is asked for`, `make it shorter`},
)

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
