package child

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"strings"
	"time"
	"unicode"

	"slipring/engine/cell/assemble"
	"slipring/engine/diag"
	"slipring/engine/machine"
	"slipring/engine/tell"
)

// A child ends itself when it has been busy for its time. The parent waits for
// patience times that by the clock on the wall, and for some grace.
const (
	patience = 10
	grace    = 2 * time.Second
)

// Run runs a program in a child process and gives what its cells told, with
// the new runs of the machine; known are those that earlier children handed
// back. Whatever goes wrong becomes one message.
func Run(ctx context.Context, p *assemble.Program, cards []machine.Card, known map[string]json.RawMessage, limits Limits) (tell.Result, map[string]json.RawMessage, []diag.Message) {
	ask := request{Source: p.Source, Cards: cards, Laid: p.Beside, Entered: p.Entered, Wiring: p.Wiring, Cutting: p.Cutting, Papers: p.Papers, Known: known, Limits: limits.filled()}
	a, fail := askChild(ctx, ask)
	if fail != nil {
		return tell.Result{}, nil, []diag.Message{messageOf(p, fail)}
	}
	return *a.Result, a.Runs, nil
}

// message puts a failure at its place in the lesson. Its words come from the
// child, so that they are made fit to print.
func messageOf(p *assemble.Program, f *failure) diag.Message {
	m := diag.Message{File: p.File, Rule: "cell-run", Text: clean(f.Text), Hint: clean(f.Hint)}
	mark := f.Mark
	if f.Line > 0 {
		mark = markAt(p, f.Line)
	}
	if mark < 0 || mark >= len(p.Marks) {
		mark = 0 // not known more exactly than this: where the cells begin
	}
	m.Line, m.Column = p.Place(mark)
	return m
}

func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == '\n' || unicode.IsPrint(r) {
			return r
		}
		return unicode.ReplacementChar
	}, s)
	if runes := []rune(s); len(runes) > 1000 {
		s = string(runes[:1000]) + "..."
	}
	return s
}

// report is all that a child left behind.
type report struct {
	answer  []byte // nil when it gave none
	mark    int
	broken  error // what was wrong with its frames
	err     error // how it ended
	stderr  string
	expired bool
}

func askChild(ctx context.Context, ask request) (answer, *failure) {
	r, err := startChild(ctx, ask)
	switch {
	case ctx.Err() != nil:
		return answer{}, &failure{Text: "stopped before the cells had run", Hint: "run it again", Mark: r.mark}
	case err != nil:
		return answer{}, &failure{
			Text: "the process that runs cells cannot be started: " + err.Error(),
			Hint: "check that this computer has processes and memory to spare, then try again", Mark: -1}
	case r.answer != nil:
		a, err := readAnswer(r.answer, ask.Cards, ask.Limits)
		switch {
		case err != nil:
			return answer{}, &failure{
				Text: "the process that runs cells gave an answer that cannot be used: " + err.Error(), Hint: ourFault, Mark: r.mark}
		case a.Failure != nil:
			return answer{}, a.Failure
		}
		return a, nil
	}
	return answer{}, r.death(ask.Limits)
}

// start runs the child to its end. A plain child has no limits and no shared
// mark from the system, as everywhere on some systems.
func startChild(ctx context.Context, ask request) (report, error) {
	r := report{mark: -1}
	self, err := executable()
	if err != nil {
		return r, err
	}
	mark, _ := newMarkFile() // without it, the child sends its marks
	if mark != nil {
		defer mark.Close()
	}
	if mark != nil && !ask.Plain {
		ask.Shared = true
	}
	content, err := json.Marshal(ask)
	if err != nil {
		return r, err
	}

	ctx, cancel := context.WithTimeout(ctx, ask.Limits.Time*patience+grace)
	defer cancel()
	cmd := exec.CommandContext(ctx, self, childWord)
	cmd.Env = []string{}
	apart(cmd)
	if ask.Shared {
		cmd.ExtraFiles = []*os.File{mark}
	}
	stderr := &head{left: 8 << 10}
	cmd.Stderr = stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		return r, err
	}
	defer in.Close()
	out, err := cmd.StdoutPipe()
	if err != nil {
		return r, err
	}
	start := startConfined
	if ask.Plain {
		start = (*exec.Cmd).Start
	}
	if err := start(cmd); err != nil {
		return r, err
	}
	asked := make(chan struct{})
	go func() {
		writeFrame(in, frameRequest, content) // fails when the child is gone, which Wait reports
		close(asked)
	}()
	r.read(out, ask.Limits)
	if r.broken != nil {
		cmd.Cancel() // it may not have ended yet; Wait tells what became of it
	}
	r.err = cmd.Wait()
	<-asked
	r.stderr = stderr.String()
	r.expired = errors.Is(ctx.Err(), context.DeadlineExceeded)
	if ask.Shared {
		r.mark = readMark(mark)
	}
	return r, nil
}

// executable finds the program that is running. On Linux that is the one that
// was started, even if another has been put in its place since.
func executable() (string, error) {
	if runtime.GOOS == "linux" {
		const self = "/proc/self/exe"
		if _, err := os.Stat(self); err == nil {
			return self, nil
		}
	}
	return os.Executable()
}

// read takes frames until the child closes its output or sends something
// that it should not.
func (r *report) read(out io.Reader, limits Limits) {
	for {
		kind, content, err := readFrame(out, max(limits.Output, 1<<16))
		switch {
		case err == io.EOF:
			return
		case err != nil:
			r.broken = err
			return
		case kind == frameMark && len(content) == 8 && r.answer == nil:
			r.mark = int(int64(binary.BigEndian.Uint64(content)))
		case kind == frameAnswer && r.answer == nil:
			r.answer = content
		default:
			r.answer, r.broken = nil, errors.New("a frame that does not belong here")
			return
		}
	}
}

// death words the end of a child that gave no answer.
func (r *report) death(limits Limits) *failure {
	fatal := ""
	if g := fatalError.FindStringSubmatch(r.stderr); g != nil {
		fatal = g[1]
	}
	switch {
	case r.expired:
		return outOfTime(limits, r.mark)
	case r.broken != nil && !errors.Is(r.broken, io.ErrUnexpectedEOF):
		return &failure{
			Text: "the process that runs cells gave an answer that cannot be used: " + r.broken.Error(), Hint: ourFault, Mark: r.mark}
	case fatal == "stack overflow":
		return tooDeep(r.mark)
	case memoryDeath.MatchString(r.stderr):
		return outOfMemory(limits, r.mark)
	case fatal != "":
		return &failure{
			Text: "running this brought the interpreter down: " + fatal,
			Hint: ourFault, Mark: r.mark}
	}
	how := "it gave no answer"
	if r.err != nil {
		how = r.err.Error()
	}
	return &failure{
		Text: fmt.Sprintf("the process that runs cells ended before its time (%s)", how),
		Hint: "if it was killed from outside, perhaps because the computer ran out of memory, try again; else report it", Mark: r.mark}
}

// What Go's runtime writes as its last words; see runtime/panic.go,
// runtime/mem_linux.go, runtime/malloc.go and runtime/signal_unix.go. It does
// not test everywhere whether it was given the memory that it asked for: the
// collector of Go 1.26 then fails at address 0, with a signal for which there
// is no function of Go to blame. With cgo, the stack of a new thread is what
// there may be no room for; see runtime/cgo/gcc_util.c and pthread_create(3).
var (
	fatalError  = regexp.MustCompile(`(?m)^fatal error: (.+)$`)
	memoryDeath = regexp.MustCompile(`out of memory|cannot allocate memory|cannot map pages|failed to allocate|pthread_create failed: Resource temporarily unavailable|SIGSEGV: segmentation violation\nPC=\S+ m=\d+ sigcode=\d+ addr=0x0\n\ngoroutine 0 `)
)

// head keeps the beginning of what is written to it.
type head struct {
	bytes.Buffer
	left int
}

func (h *head) Write(b []byte) (int, error) {
	keep := min(len(b), h.left)
	h.left -= keep
	h.Buffer.Write(b[:keep])
	return len(b), nil
}
