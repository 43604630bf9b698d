package site

import (
	"errors"
	"io/fs"
	"runtime"
)

// swap puts our folder in the place of the site. What it leaves under the name
// of our folder, Release removes.
func (w *Place) swap() error {
	if runtime.GOOS == "windows" {
		w.unlock() // it renames no folder with an open file in it
	}
	if _, err := w.root.Lstat(w.base); errors.Is(err, fs.ErrNotExist) {
		if err := w.renameToFree(w.fresh, w.base); err != nil {
			return failure(w.out, err)
		}
		return w.settle()
	}
	done, err := w.exchange(w.fresh, w.base)
	if err != nil {
		return failure(w.out, err)
	}
	if !done {
		return w.twoRenames()
	}
	// The name of our folder is now that of the old site. If somebody put
	// another folder there since it was checked, give it back.
	if err := w.checkOld(w.fresh); err != nil {
		_, _ = w.exchange(w.fresh, w.base)
		return err
	}
	return w.settle()
}

// twoRenames is how folders are swapped where no single step does it: the old
// one out of the way, then the new one in. When the second fails the first is
// undone; when the run is killed between the two, recover does it next time.
func (w *Place) twoRenames() error {
	old, err := w.freeName("old")
	if err == nil {
		err = w.root.Rename(w.base, old)
	}
	if err != nil {
		return failure(w.out, err)
	}
	err = w.checkOld(old)
	if err == nil {
		err = w.renameToFree(w.fresh, w.base)
	}
	if err != nil {
		_ = w.root.Rename(old, w.base)
		return failure(w.out, err)
	}
	w.drop(old)
	return w.settle()
}

// freeName gives a name beside the site that nothing has.
func (w *Place) freeName(what string) (string, error) {
	for i := 0; ; i++ {
		name := w.beside(what, i)
		if _, err := w.root.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name, nil
		} else if err != nil {
			return "", err
		}
	}
}

// settle makes the swap last through a loss of power.
func (w *Place) settle() error {
	if err := w.syncOne("."); err != nil {
		return failure(w.out, err)
	}
	return nil
}
