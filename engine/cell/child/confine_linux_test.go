package child

import (
	"encoding/json"
	"fmt"
	"maps"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"golang.org/x/sys/unix"

	"slipring/engine/sweeptest"
)

// tryWord as the first argument makes the test's program one that tries what
// cells have no words for, as if a fault of the interpreter let them.
const tryWord = "try-to-get-out"

// attempts tries to reach a folder, an address and a process. It gives the
// error of each try, or "".
func attempts(dir, address string, pid int) map[string]string {
	in := func(name string) string { return filepath.Join(dir, name) }
	came := map[string]string{}
	for name, try := range map[string]func() error{
		"read": func() error { _, err := os.ReadFile(in("read")); return err },
		"list": func() error { _, err := os.ReadDir(dir); return err },
		"run": func() error {
			_, err := os.StartProcess("/proc/self/exe", []string{"test", "-test.run=^$"}, &os.ProcAttr{})
			return err
		},
		"datagram": func() error { _, err := net.ListenPacket("udp", "127.0.0.1:0"); return err },
		"listen":   func() error { _, err := net.Listen("tcp", "127.0.0.1:0"); return err },
		"dial":     func() error { _, err := net.Dial("tcp", address); return err },
		"write":    func() error { _, err := os.OpenFile(in("write"), os.O_WRONLY, 0); return err },
		"make":     func() error { _, err := os.Create(in("made")); return err },
		"shorten":  func() error { return os.Truncate(in("shorten"), 0) },
		"folder":   func() error { return os.Mkdir(in("folder"), 0o755) },
		"link":     func() error { return os.Symlink("read", in("link")) },
		"rename":   func() error { return os.Rename(in("rename"), in("renamed")) },
		"remove":   func() error { return os.Remove(in("remove")) },
		"signal":   func() error { return syscall.Kill(pid, 0) },
	} {
		came[name] = ""
		if err := try(); err != nil {
			came[name] = err.Error()
		}
	}
	return came
}

// tryAll is the program that TestConfined starts as children are started. It
// tries all before and after it is confined as they are.
func tryAll() {
	if len(os.Args) != 5 || os.Args[1] != tryWord {
		return
	}
	pid, err := strconv.Atoi(os.Args[4])
	if err != nil {
		panic(err)
	}
	started := attempts(os.Args[2], os.Args[3], pid)
	confine(256 << 20)
	confined := make(chan map[string]string)
	go func() { confined <- attempts(os.Args[2], os.Args[3], pid) }() // on whatever thread
	if err := json.NewEncoder(os.Stdout).Encode([]map[string]string{started, <-confined}); err != nil {
		panic(err)
	}
	os.Exit(0)
}

// Even what goes past the interpreter cannot leave the child: nothing can be
// opened, and where the kernel has Landlock nothing be changed or signalled
// (landlock(7) lists its versions).
func TestConfined(t *testing.T) {
	version, _, errno := unix.RawSyscall(unix.SYS_LANDLOCK_CREATE_RULESET, 0, 0, unix.LANDLOCK_CREATE_RULESET_VERSION)
	if errno != 0 || version < 6 {
		sweeptest.Missing(t, "landlock", fmt.Sprintf("the kernel has Landlock %d (%v), not 6 or later", version, errno))
	}
	dir := t.TempDir()
	for _, name := range []string{"read", "write", "shorten", "rename", "remove"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte("it was here"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	there, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer there.Close()
	self, err := executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, tryWord, dir, there.Addr().String(), strconv.Itoa(os.Getpid()))
	var said, wrong strings.Builder
	cmd.Stdout, cmd.Stderr = &said, &wrong
	if err := startConfined(cmd); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Fatalf("%v\n%s", err, wrong.String())
	}
	var came []map[string]string
	if err := json.Unmarshal([]byte(said.String()), &came); err != nil || len(came) != 2 {
		t.Fatalf("%v: %q", err, said.String())
	}
	const kept, full, denied, not = "", "too many open files", "permission denied", "operation not permitted"
	for name, want := range map[string][2]string{
		"read": {kept, full}, "list": {kept, full}, "run": {kept, full}, // which a program needs to begin
		"datagram": {kept, full}, "listen": {kept, full}, // Landlock knows plain TCP alone
		"dial": {denied, full}, "write": {denied, full}, "make": {denied, full},
		"shorten": {denied, denied}, "folder": {denied, denied}, "link": {denied, denied},
		"rename": {denied, denied}, "remove": {denied, denied}, "signal": {not, not},
	} {
		for i, when := range []string{"started", "confined"} {
			if got := came[i][name]; (want[i] == kept) != (got == "") || !strings.HasSuffix(got, want[i]) {
				t.Errorf("%s, %s: %q, want %q", when, name, got, want[i])
			}
		}
	}

	// All of these work here, where nothing was given up.
	own := attempts(dir, there.Addr().String(), os.Getpid())
	maps.DeleteFunc(own, func(_, err string) bool { return err == "" })
	if len(own) > 0 {
		t.Errorf("outside: %q", own)
	}
}
