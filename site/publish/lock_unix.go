//go:build unix && !solaris && !illumos && !aix

package publish

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lock locks a file until it is closed, and says whether nobody else had. The
// system drops the lock of a killed run. Where a file system has no locks,
// nobody had.
func lock(f *os.File) bool {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	return !errors.Is(err, unix.EWOULDBLOCK)
}

// isInvalid says whether a file system has no such operation.
func isInvalid(err error) bool { return errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP) }
