package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// apart starts a command in a session of its own, by which all that comes of
// it can be found.
func apart(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true} }

// left lists the processes of a session (proc_pid_stat(5): it stands fourth
// after the name).
func left(session int) (processes []string) {
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, name := range stats {
		text, err := os.ReadFile(name)
		if err != nil {
			continue // gone by now
		}
		fields := strings.Fields(string(text[bytes.LastIndexByte(text, ')')+1:]))
		if len(fields) > 3 && fields[3] == strconv.Itoa(session) {
			processes = append(processes, filepath.Dir(name)+" "+fields[0])
		}
	}
	return processes
}

// peakMemory is the most memory, in bytes, that this process has had in use so
// far (VmHWM of proc_pid_status(5)), or 0.
func peakMemory() int64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(text)) {
		var kilobytes int64
		if n, _ := fmt.Sscanf(line, "VmHWM: %d kB", &kilobytes); n == 1 {
			return kilobytes << 10
		}
	}
	return 0
}

// makePipe makes a named pipe, which nobody ever writes to.
func makePipe(name string) error { return syscall.Mkfifo(name, 0o600) }
