//go:build unix

package main

import (
	"os/exec"
	"strings"
	"testing"
)

// Where too few files may be open at a time, one message says so, before what
// fails for that is taken for something else.
func TestFewOpenFiles(t *testing.T) {
	name := must(exec.LookPath("slipring"))
	for _, n := range []string{"8", "14", "63"} {
		cmd := exec.Command("sh", "-c", "ulimit -n "+n+"; exec \"$0\" proof none", name)
		text, err := cmd.CombinedOutput()
		want := "slipring: this process may have " + n + " files open at a time, and needs 64\n    allow more, with: ulimit -n 64\n"
		if string(text) != want || cmd.ProcessState.ExitCode() != exitWrong {
			t.Errorf("with %s: %v, %s", n, err, text)
		}
	}
	text, _ := exec.Command("sh", "-c", "ulimit -n 64; exec \"$0\" proof none", name).CombinedOutput()
	if !strings.Contains(string(text), "there is no folder") {
		t.Errorf("with 64: %s", text)
	}
}
