package publish

import (
	"errors"

	"golang.org/x/sys/unix"
)

// exchange swaps two names in one step (renameat2 with RENAME_EXCHANGE, Linux
// 3.15). It says that it did not where the file system cannot do it.
func (t *Target) exchange(a, b string) (done bool, err error) {
	return t.rename2(a, b, unix.RENAME_EXCHANGE)
}

// renameToFree renames without ever replacing anything.
func (t *Target) renameToFree(from, to string) error {
	if done, err := t.rename2(from, to, unix.RENAME_NOREPLACE); done || err != nil {
		return err
	}
	return t.root.Rename(from, to)
}

func (t *Target) rename2(a, b string, flags uint) (done bool, err error) {
	dir, err := t.root.Open(".")
	if err != nil {
		return false, err
	}
	defer dir.Close()
	for {
		err = unix.Renameat2(int(dir.Fd()), a, int(dir.Fd()), b, flags)
		if !errors.Is(err, unix.EINTR) {
			break
		}
	}
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.EOPNOTSUPP) {
		return false, nil
	}
	return err == nil, err
}
