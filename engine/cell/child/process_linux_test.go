package child

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
)

// children lists the processes that this one has started to run cells
// (proc_pid_stat(5): the parent stands second after the name).
func children(t *testing.T) []int {
	t.Helper()
	stats, err := filepath.Glob("/proc/[0-9]*/stat")
	if err != nil || len(stats) == 0 {
		t.Skip("no processes to be seen in /proc: ", err)
	}
	var found []int
	for _, name := range stats {
		text, err := os.ReadFile(name)
		if err != nil {
			continue // gone by now
		}
		fields := strings.Fields(string(text[bytes.LastIndexByte(text, ')')+1:]))
		if len(fields) < 2 || fields[1] != strconv.Itoa(os.Getpid()) {
			continue
		}
		pid, _ := strconv.Atoi(filepath.Base(filepath.Dir(name)))
		line, _ := os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", pid))
		if bytes.Contains(line, []byte(childWord)) {
			found = append(found, pid)
		}
	}
	return found
}

// until waits for something to become true.
func until(t *testing.T, what string, true func() bool) {
	t.Helper()
	for end := time.Now().Add(sweeptest.Patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if true() {
			return
		}
	}
	t.Fatalf("waited in vain until %s", what)
}

// running starts an endless loop and gives its process, once it has begun
// with the cells, and a function that waits for the messages.
func running(t *testing.T, ctx context.Context) (pid int, wait func() []diag.Message) {
	t.Helper()
	p := written("", "", "__mark(2)\nfor {\n}")
	ended := make(chan []diag.Message, 1)
	go func() {
		_, messages := runProgram(ctx, p, nil, small)
		ended <- messages
	}()
	until(t, "a child runs", func() bool {
		pids := children(t)
		if len(pids) == 0 {
			return false
		}
		pid = pids[0]
		return true
	})
	untilConfined(t, pid)
	return pid, func() []diag.Message { return <-ended }
}

// untilConfined waits for what a child does just before its cells run.
func untilConfined(t *testing.T, pid int) {
	t.Helper()
	until(t, "a child is confined", func() bool {
		limits, _ := os.ReadFile(fmt.Sprintf("/proc/%d/limits", pid))
		return bytes.Contains(limits, []byte("Max core file size        0                    0"))
	})
}

// The child has no environment, no files but its own, and small limits.
func TestChildHasNothing(t *testing.T) {
	t.Setenv("SLIPRING_TEST_SECRET", "1")
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	pid, wait := running(t, ctx)
	dir := fmt.Sprintf("/proc/%d/", pid)
	if env, err := os.ReadFile(dir + "environ"); err != nil || len(env) > 0 {
		t.Errorf("environment %q, %v", env, err)
	}
	fds, err := os.ReadDir(dir + "fd")
	if err != nil {
		t.Fatal(err)
	}
	for _, fd := range fds {
		to, _ := os.Readlink(dir + "fd/" + fd.Name())
		known := []string{"pipe:", "/memfd:mark",
			"anon_inode:[eventpoll]", "anon_inode:[eventfd]", "/sys/fs/cgroup/", // Go's runtime
			"/dev/null"}
		if !slices.ContainsFunc(known, func(k string) bool { return strings.HasPrefix(to, k) }) {
			t.Errorf("file %s of the child is %s", fd.Name(), to)
		}
	}
	if group, err := syscall.Getpgid(pid); err != nil || group != pid {
		t.Errorf("the child is in group %d, %v; want its own, %d", group, err, pid)
	}
	limits, err := os.ReadFile(dir + "limits")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(limits)) {
		fields := strings.Fields(line)
		if strings.HasPrefix(line, "Max file size") && fields[3] != "0" {
			t.Error(line)
		}
		if strings.HasPrefix(line, "Max data size") {
			n, err := strconv.ParseInt(fields[3], 10, 64)
			if err != nil || n < small.Memory {
				t.Error(line)
			}
		}
	}
	stop()
	wait()
}

// The interpreter obeys variables of the environment, one of which runs a
// command. None of them reaches it.
func TestInterpreterVariables(t *testing.T) {
	dir := t.TempDir()
	made := filepath.Join(dir, "made")
	for name, value := range map[string]string{
		"YAEGI_AST_DOT": "1", "YAEGI_CFG_DOT": "1", "YAEGI_DOT_CMD": "touch " + made, "YAEGI_NO_RUN": "1",
		"GOPATH": dir, "GODEBUG": "gctrace=1", "GOMEMLIMIT": "1", "GOTRACEBACK": "crash",
	} {
		t.Setenv(name, value)
	}
	r := run(t, written("", "", "tell.Value(`x`, 1, ``)"), small)
	if len(r.Values) != 1 {
		t.Errorf("%+v", r)
	}
	if _, err := os.Stat(made); err == nil {
		t.Error("the interpreter ran a command from the environment")
	}
}

// When the context ends so does the child, and nothing is left: no process,
// no goroutine, no file.
func TestNothingLeft(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	files := func() int {
		fds, err := os.ReadDir("/proc/self/fd")
		if err != nil {
			t.Fatal(err)
		}
		return len(fds)
	}
	run(t, written("", "", "__mark(0)"), small) // whatever is opened once is open now
	goroutines, open := runtime.NumGoroutine(), files()

	ctx, stop := context.WithCancel(context.Background())
	pid, wait := running(t, ctx)
	stop()
	messages := wait()
	if len(messages) != 1 || messages[0].Text != "stopped before the cells had run" {
		t.Errorf("%v", messages)
	}
	if err := syscall.Kill(pid, 0); err != syscall.ESRCH {
		t.Errorf("process %d is still there: %v", pid, err)
	}
	if _, messages := runProgram(ctx, written("", "", "__mark(0)"), nil, small); len(messages) != 1 {
		t.Errorf("with a context that has ended: %v", messages)
	}
	l := small
	l.Time = 100 * time.Millisecond
	runProgram(context.Background(), written("", "", "for {\n}"), nil, l)
	runProgram(context.Background(), written("", "", "n := 1 << 40\n_ = make([]int, n)"), nil, small)
	runProgram(context.Background(), written("", "", "panic(1)"), nil, small)

	if pids := children(t); len(pids) > 0 {
		t.Errorf("processes %d are left", pids)
	}
	until(t, "no goroutine is left", func() bool { return runtime.NumGoroutine() <= goroutines })
	if n := files(); n > open {
		t.Errorf("%d files are open, %d were before", n, open)
	}
	if left, err := os.ReadDir(os.TempDir()); err != nil || len(left) > 0 {
		t.Errorf("files left: %v, %v", left, err)
	}
}

// A child that is killed from outside.
func TestKilled(t *testing.T) {
	pid, wait := running(t, context.Background())
	if err := syscall.Kill(pid, syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	messages := wait()
	if len(messages) != 1 || messages[0].Text != "the process that runs cells ended before its time (signal: killed)" {
		t.Errorf("%v", messages)
	}
}

// A child whose parent is gone ends by itself: its input ends then.
func TestOrphan(t *testing.T) {
	self, err := executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, childWord)
	cmd.Env = []string{}
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	content, err := json.Marshal(request{Source: written("", "", "for {\n}").Source, Limits: small.filled()})
	if err != nil {
		t.Fatal(err)
	}
	if err := writeFrame(in, frameRequest, content); err != nil {
		t.Fatal(err)
	}
	if err := in.Close(); err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	select {
	case err := <-ended:
		if err == nil {
			t.Error("the child ended as if its work was done")
		}
	case <-time.After(sweeptest.Patience):
		cmd.Process.Kill()
		t.Error("the child runs on without its parent")
	}
}

// Time in which the computer does something else does not count: a child that
// is held up beyond its time still gets all of it.
func TestBusyTime(t *testing.T) {
	self, err := executable()
	if err != nil {
		t.Fatal(err)
	}
	l := small
	l.Time = time.Second
	cmd := exec.Command(self, childWord)
	cmd.Env = []string{}
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var out bytes.Buffer
	cmd.Stdout = &out
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	content, err := json.Marshal(request{Source: written("", "", "for {\n}").Source, Limits: l.filled()})
	if err != nil {
		t.Fatal(err)
	}
	if err := writeFrame(in, frameRequest, content); err != nil {
		t.Fatal(err)
	}
	untilConfined(t, cmd.Process.Pid)
	for _, s := range []syscall.Signal{syscall.SIGSTOP, syscall.SIGCONT} {
		if err := cmd.Process.Signal(s); err != nil {
			t.Fatal(err)
		}
		if s == syscall.SIGSTOP {
			until(t, "the child stands still", func() bool {
				stat, _ := os.ReadFile(fmt.Sprintf("/proc/%d/stat", cmd.Process.Pid))
				return bytes.Contains(stat, []byte(") T ")) // proc_pid_stat(5)
			})
			time.Sleep(l.Time * 3 / 2) // by the clock, which must not count
		}
	}
	if err := cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(out.Bytes(), []byte("still running after 1 s")) {
		t.Errorf("it said %q", out.Bytes())
	}
	if busy := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(); busy < l.Time {
		t.Errorf("it ended after %v of %v", busy, l.Time)
	}
}

// Called by hand, the child's command says so and ends.
func TestChildByHand(t *testing.T) {
	self, err := executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, childWord)
	cmd.Stdin = strings.NewReader("hello there")
	cmd.Stdout = io.Discard
	var stderr strings.Builder
	cmd.Stderr = &stderr
	if err := cmd.Run(); err == nil || stderr.String() != "this command is for the program's own use\n" {
		t.Errorf("%v, %q", err, stderr.String())
	}
}
