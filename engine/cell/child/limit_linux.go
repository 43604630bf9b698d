package child

import (
	"bytes"
	"os"
	"strconv"
	"syscall"
	"time"
)

// confine limits the memory of this process, and lets it open nothing any more:
// no file, no socket, no pipe. What is open stays so.
func confine(memory int64) {
	limitMemory(memory)
	time.Sleep(time.Nanosecond) // for which Go's runtime opens its event queue, once and for all
	for _, none := range []int{
		syscall.RLIMIT_NOFILE,
		syscall.RLIMIT_FSIZE, // what is written to a file
		syscall.RLIMIT_CORE,  // a memory image after a crash
	} {
		_ = syscall.Setrlimit(none, &syscall.Rlimit{})
	}
}

// limitMemory lets this process use so many bytes more than it does now. The
// kernel then refuses the runtime more, which ends the process at once. The
// limit is the one on data: that on address space would also count what the
// runtime only sets aside, several hundred megabytes of it.
func limitMemory(bytes int64) {
	limit := uint64(bytes)
	if now, err := dataSize(); err == nil {
		limit += now
	}
	_ = syscall.Setrlimit(syscall.RLIMIT_DATA, &syscall.Rlimit{Cur: limit, Max: limit})
}

// dataSize is the size of this process's data in bytes: the sixth number of
// /proc/self/statm, in pages (proc_pid_statm(5)).
func dataSize() (uint64, error) {
	text, err := os.ReadFile("/proc/self/statm")
	if err != nil {
		return 0, err
	}
	fields := bytes.Fields(text)
	if len(fields) < 6 {
		return 0, os.ErrInvalid
	}
	pages, err := strconv.ParseUint(string(fields[5]), 10, 64)
	return pages * uint64(os.Getpagesize()), err
}
