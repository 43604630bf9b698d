//go:build !linux

package site

import (
	"errors"
	"io/fs"
)

// exchange says that this system has no step that swaps two folders.
func (w *Place) exchange(a, b string) (done bool, err error) { return false, nil }

// renameToFree renames, unless it finds something there. Between the look and
// the rename only an empty folder could be lost.
func (w *Place) renameToFree(from, to string) error {
	if _, err := w.root.Lstat(to); !errors.Is(err, fs.ErrNotExist) {
		if err == nil {
			err = fs.ErrExist
		}
		return err
	}
	return w.root.Rename(from, to)
}
