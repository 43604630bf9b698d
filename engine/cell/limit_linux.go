package cell

import (
	"bytes"
	"os"
	"strconv"
	"syscall"
)

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
	// No files: neither a memory image after a crash nor anything else.
	for _, none := range []int{syscall.RLIMIT_CORE, syscall.RLIMIT_FSIZE} {
		_ = syscall.Setrlimit(none, &syscall.Rlimit{})
	}
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
