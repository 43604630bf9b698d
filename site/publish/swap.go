package publish

import (
	"errors"
	"io/fs"
	"runtime"
)

// swap puts our folder in the place of the site. What it leaves under the name
// of our folder, Release removes.
func (t *Target) swap() error {
	if runtime.GOOS == "windows" {
		t.unlock() // it renames no folder with an open file in it
	}
	if _, err := t.root.Lstat(t.base); errors.Is(err, fs.ErrNotExist) {
		if err := t.renameToFree(t.fresh, t.base); err != nil {
			return failure(t.out, err)
		}
		return t.settle()
	}
	done, err := t.exchange(t.fresh, t.base)
	if err != nil {
		return failure(t.out, err)
	}
	if !done {
		return t.twoRenames()
	}
	// The name of our folder is now that of the old site. If somebody put
	// another folder there since it was checked, give it back.
	if err := t.checkOld(t.fresh); err != nil {
		_, _ = t.exchange(t.fresh, t.base)
		return err
	}
	return t.settle()
}

// twoRenames is how folders are swapped where no single step does it: the old
// one out of the way, then the new one in. When the second fails the first is
// undone; when the run is killed between the two, recover does it next time.
func (t *Target) twoRenames() error {
	old, err := t.freeName("old")
	if err == nil {
		err = t.root.Rename(t.base, old)
	}
	if err != nil {
		return failure(t.out, err)
	}
	err = t.checkOld(old)
	if err == nil {
		err = t.renameToFree(t.fresh, t.base)
	}
	if err != nil {
		_ = t.root.Rename(old, t.base)
		return failure(t.out, err)
	}
	t.drop(old)
	return t.settle()
}

// freeName gives a name beside the site that nothing has.
func (t *Target) freeName(what string) (string, error) {
	for i := 0; ; i++ {
		name := t.beside(what, i)
		if _, err := t.root.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name, nil
		} else if err != nil {
			return "", err
		}
	}
}

// settle makes the swap last through a loss of power.
func (t *Target) settle() error {
	if err := t.syncOne("."); err != nil {
		return failure(t.out, err)
	}
	return nil
}
