// Package replace puts a file in the place of another, whole or not at all.
//
//	err := replace.File("prints/starting.pdf", pdf, 0o644, replace.Lasting)
//
// The new content is written beside the place and renamed. Whatever fails, the
// file that was there stays; Files does so for several files together. The package locks nothing: of two writers at once
// the later one wins.
package replace

import (
	"errors"
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
	return Files([]New{{name, content, perm}}, care)
}

// New is a file's new content.
type New struct {
	Name    string
	Content []byte
	Perm    fs.FileMode
}

// Files does the same for several files, all or none: each new content, and a
// copy of each old one, is written beside its place before the first gets its
// name, and when a later one does not get it, the first get back what they were.
// Only when the process ends between two renames are the first new and the
// others old.
func Files(list []New, care Care) (err error) {
	var news, olds []string
	defer func() {
		for _, name := range append(news, olds...) {
			os.Remove(name) // fails, as it should, for those that were renamed
		}
	}()
	for _, f := range list {
		made, err := beside(f, care)
		if err != nil {
			return err
		}
		news = append(news, made)
		old := ""
		if len(list) > 1 {
			if old, err = copied(f.Name, care); err != nil {
				return err
			}
		}
		olds = append(olds, old)
	}
	for i, f := range list {
		if err := os.Rename(news[i], f.Name); err != nil {
			for k := range i {
				err = errors.Join(err, restored(list[k].Name, olds[k]))
			}
			return err
		}
	}
	return nil
}

// beside writes new content into a file beside its place.
func beside(f New, care Care) (name string, err error) {
	made, err := os.CreateTemp(filepath.Dir(f.Name), ".new-*")
	if err != nil {
		return "", err
	}
	_, err = made.Write(f.Content)
	if err == nil {
		err = made.Chmod(f.Perm)
	}
	if err == nil && care == Lasting {
		err = made.Sync()
	}
	if closing := made.Close(); err == nil {
		err = closing
	}
	if err != nil {
		os.Remove(made.Name())
		return "", err
	}
	return made.Name(), nil
}

// copied gives a copy of a file beside it; "" where there is none.
func copied(name string, care Care) (string, error) {
	info, err := os.Stat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	content, err := os.ReadFile(name)
	if err != nil {
		return "", err
	}
	return beside(New{name, content, info.Mode().Perm()}, care)
}

func restored(name, old string) error {
	if old == "" {
		return os.Remove(name)
	}
	return os.Rename(old, name)
}
