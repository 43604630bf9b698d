//go:build !linux

package publish

import (
	"errors"
	"io/fs"
)

// exchange says that this system has no step that swaps two folders.
func (t *Target) exchange(a, b string) (done bool, err error) { return false, nil }

// renameToFree renames, unless it finds something there. Between the look and
// the rename only an empty folder could be lost.
func (t *Target) renameToFree(from, to string) error {
	if _, err := t.root.Lstat(to); !errors.Is(err, fs.ErrNotExist) {
		if err == nil {
			err = fs.ErrExist
		}
		return err
	}
	return t.root.Rename(from, to)
}
