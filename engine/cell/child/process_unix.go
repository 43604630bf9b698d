//go:build linux || darwin

package child

import (
	"os"
	"os/exec"
	"syscall"
	"time"
	"unsafe"
)

// apart gives the child a process group of its own, so that a signal to the
// parent's group, such as from Control-C, reaches the parent alone, and makes
// killing it kill whatever may have come of it.
func apart(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}

// processorTime is how long this process has kept processors busy.
func processorTime() (time.Duration, bool) {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		return 0, false
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano()), true
}

// mapMark is the child's side of the shared mark: the file as a number.
func mapMark(f *os.File) (*int, error) {
	page, err := syscall.Mmap(int(f.Fd()), 0, markSize, syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_SHARED)
	if err != nil {
		return nil, err
	}
	return (*int)(unsafe.Pointer(&page[0])), nil
}
