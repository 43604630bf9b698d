package child

import (
	"os"

	"golang.org/x/sys/unix"
)

// newMarkFile makes the file in memory that holds the child's mark and can be
// read after its death. It has no name and goes with its last user.
func newMarkFile() (*os.File, error) {
	fd, err := unix.MemfdCreate("mark", unix.MFD_CLOEXEC)
	if err != nil {
		return nil, err
	}
	f := os.NewFile(uintptr(fd), "mark")
	if err := f.Truncate(markSize); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}
