package publish

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lock locks a file until it is closed, and says whether nobody else had. The
// system drops the lock of a killed run. A lock keeps others from reading
// there, so that it is on a byte far behind the file's end.
func lock(f *os.File) bool {
	at := windows.Overlapped{OffsetHigh: 1 << 30}
	const how = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(f.Fd()), how, 0, 1, 0, &at)
	return !errors.Is(err, windows.ERROR_LOCK_VIOLATION)
}

func isInvalid(error) bool { return false }
