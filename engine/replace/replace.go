// Package replace puts a file in the place of another, whole or not at all.
//
//	err := replace.File("prints/starting.pdf", pdf, 0o644, replace.Lasting)
//
// The new content is written beside the place and renamed. Whatever fails, the
// file that was there stays. The package locks nothing: of two writers at once
// the later one wins.
package replace

import (
	"io/fs"
	"os"
	"path/filepath"
)

// Care says what a replaced file has to outlive.
type Care int

const (
	Lasting Care = iota // also a loss of power: the content is on the disk before it gets its name
	Loose               // the end of this process; for what can be made again, since waiting for a disk is slow
)

// File gives a file new content and the permissions perm. A name that is a
// link is replaced by a file; resolve it first where the link should stay.
func File(name string, content []byte, perm fs.FileMode, care Care) error {
	f, err := os.CreateTemp(filepath.Dir(name), ".new-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // fails, as it should, once renamed
	_, err = f.Write(content)
	if err == nil {
		err = f.Chmod(perm)
	}
	if err == nil && care == Lasting {
		err = f.Sync()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
