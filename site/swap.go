package site

import (
	"errors"
	"io/fs"
)

// swap puts the new folder in the place of the old one, and removes that.
func (w *place) swap(fresh staged) error {
	if _, err := w.root.Lstat(w.base); errors.Is(err, fs.ErrNotExist) {
		fresh.lock.Close() // Windows renames no folder with an open file in it
		if err := w.moveIn(fresh.name); err != nil {
			w.discard(staged{name: fresh.name})
			return err
		}
		return w.settle()
	}
	done, err := w.exchange(fresh.name, w.base)
	if err != nil {
		w.discard(fresh)
		return failure(w.out, err)
	}
	if done {
		// The name of the new folder is now that of the old one. If somebody
		// put another folder there since it was checked, give it back.
		if err := w.checkOld(fresh.name); err != nil {
			if _, back := w.exchange(fresh.name, w.base); back == nil {
				w.discard(fresh)
			}
			return err
		}
		fresh.lock.Close()
		_ = w.root.RemoveAll(fresh.name) // or the next run does
		return w.settle()
	}
	fresh.lock.Close()
	return w.twoRenames(fresh.name)
}

// moveIn renames the new folder to a name that nothing has.
func (w *place) moveIn(name string) error {
	if err := w.renameToFree(name, w.base); err != nil {
		return failure(w.out, err)
	}
	return nil
}

// twoRenames is how folders are swapped where no single step does it: the old
// one out of the way, then the new one in. When the second fails the first is
// undone; when the run is killed between the two, recover does it next time.
func (w *place) twoRenames(fresh string) error {
	old, err := w.freeName("old")
	if err == nil {
		err = w.root.Rename(w.base, old)
	}
	if err != nil {
		w.discard(staged{name: fresh})
		return failure(w.out, err)
	}
	err = w.checkOld(old)
	if err == nil {
		err = w.moveIn(fresh)
	}
	if err != nil {
		_ = w.root.Rename(old, w.base)
		w.discard(staged{name: fresh})
		return err
	}
	_ = w.root.RemoveAll(old) // or the next run does
	return w.settle()
}

// freeName gives a name beside the site that nothing has.
func (w *place) freeName(what string) (string, error) {
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
func (w *place) settle() error {
	if err := w.syncOne("."); err != nil {
		return failure(w.out, err)
	}
	return nil
}

// recover tidies up after a run that was killed: an old site that was moved
// out of the way goes back where nothing has taken its place, and folders of
// ours that nobody fills any more go.
func (w *place) recover() error {
	entries, err := fs.ReadDir(w.root.FS(), ".")
	if err != nil {
		return failure(w.out, err)
	}
	_, err = w.root.Lstat(w.base)
	missing := errors.Is(err, fs.ErrNotExist)
	for _, e := range entries {
		name := e.Name()
		if !e.IsDir() {
			continue
		}
		switch {
		case w.isBeside(name, "old") && w.ours(name):
			if missing {
				if err := w.root.Rename(name, w.base); err != nil {
					return failure(w.out, err)
				}
				missing = false
				continue
			}
			_ = w.root.RemoveAll(name)
		case w.isBeside(name, "new") && w.ours(name):
			w.removeUnlocked(name)
		case w.isBeside(name, "new"):
			_ = w.root.Remove(name) // which only an empty folder lets be done
		}
	}
	return nil
}

// removeUnlocked removes a folder that no running Write holds.
func (w *place) removeUnlocked(name string) {
	f, err := w.root.Open(name + "/" + marker)
	if err != nil {
		return
	}
	free := lock(f)
	f.Close()
	if free {
		_ = w.root.RemoveAll(name)
	}
}
