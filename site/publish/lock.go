package publish

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"slipring/engine/diag"
)

// Target is a folder for a site, held for one publish: a name in an opened
// folder, out of which nothing that is done here can lead.
//
// What holds it is a folder of ours beside the site, whose marker is locked
// for as long as the publish lasts, and which comes to hold the new pages; and,
// where there is a site, the lock of its marker too, so that a target is held
// before and after the two change places. The system drops the locks of a
// killed run, so that the next one can tell its folder from one in use.
type Target struct {
	out   string // as the caller wrote it, for messages
	base  string // name of the site's folder
	root  *os.Root
	fresh string   // name of our folder beside the site
	lock  *os.File // its marker
	old   *os.File // marker of the site that was there, nil for none
}

// errBusy says that another run holds the target.
var errBusy = errors.New("held by another run")

// Take holds the folder out for one publish, and tidies up what killed runs
// left beside it. While another run holds it Take waits, after a call of
// waiting, which may be nil; ctx ends that. Release gives it back.
//
// The error, if any, is a diag.Message.
func Take(ctx context.Context, out string, waiting func()) (*Target, error) {
	t, err := openTarget(out)
	if err != nil {
		return nil, err
	}
	const pause = 50 * time.Millisecond
	for first := true; ; first = false {
		err = t.take()
		if !errors.Is(err, errBusy) {
			break
		}
		if first && waiting != nil {
			waiting()
		}
		select {
		case <-ctx.Done():
			t.root.Close()
			return nil, diag.Message{File: out, Text: "another run of slipring is publishing here", Hint: "wait until it has ended, then try again"}
		case <-time.After(pause):
		}
	}
	if err != nil {
		t.Release()
		return nil, failure(out, err)
	}
	return t, nil
}

func openTarget(out string) (*Target, error) {
	full, err := filepath.Abs(out)
	if err != nil {
		return nil, failure(out, err)
	}
	parent, base := filepath.Split(full)
	if out == "" || base == "" || parent == full {
		return nil, diag.Message{File: out, Text: "the pages cannot be written here", Hint: "name a folder of their own, such as visit"}
	}
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return nil, failure(out, err)
	}
	root, err := os.OpenRoot(parent)
	if err != nil {
		return nil, failure(out, err)
	}
	return &Target{out: out, base: base, root: root}, nil
}

// take tries once. It gives errBusy when another run holds the target.
func (t *Target) take() error {
	err := t.checkOld(t.base)
	if err == nil {
		err = t.holdOld()
	}
	if err == nil {
		err = t.claim()
	}
	if err == nil {
		err = t.recover()
	}
	if err != nil {
		t.discard()
	}
	return err
}

// holdOld locks the marker of the site that is there.
func (t *Target) holdOld() error {
	f, err := t.root.Open(t.base + "/" + Marker)
	if errors.Is(err, fs.ErrNotExist) {
		return nil // no site, or an empty folder
	}
	if err != nil {
		return err
	}
	if !lock(f) || !t.stands(t.base, f) {
		f.Close()
		return errBusy
	}
	t.old = f
	return nil
}

// claim makes our folder beside the site, with our marker in it, locked. All
// runs try the same names in the same order, so that one finds what another
// made.
func (t *Target) claim() error {
	const most = 1000 // folders of somebody else's
	for i, tries := 0, 0; i < most && tries < 2*most; tries++ {
		name := t.beside("new", i)
		err := t.root.Mkdir(name, 0o755)
		if errors.Is(err, fs.ErrExist) {
			gone, busy := t.clear(name)
			if busy {
				return errBusy
			}
			if !gone {
				i++
			}
			continue
		}
		if err != nil {
			return err
		}
		f, err := t.root.OpenFile(name+"/"+Marker, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrExist) {
			continue // another run took it for a leftover
		}
		if err != nil {
			_ = t.root.Remove(name)
			return err
		}
		if !lock(f) || !t.stands(name, f) {
			f.Close() // as above
			continue
		}
		t.fresh, t.lock = name, f
		_, err = f.WriteString(markerText)
		return err
	}
	return diag.Message{File: t.out, Text: fmt.Sprintf("too many folders named %s.new-... stand beside it", t.base), Hint: "remove them"}
}

// clear removes a folder beside the site that a killed run left. It says
// whether the name is free now, and whether another run holds the folder; a
// folder that is not ours stays.
func (t *Target) clear(name string) (gone, busy bool) {
	if !t.ours(name) {
		// Perhaps a run was killed before its marker was there.
		err := t.root.Remove(name) // which only an empty folder lets be done
		return err == nil || errors.Is(err, fs.ErrNotExist), false
	}
	f, err := t.root.Open(name + "/" + Marker)
	if err != nil {
		return errors.Is(err, fs.ErrNotExist), false
	}
	defer f.Close()
	if !lock(f) {
		return false, true
	}
	if !t.stands(name, f) {
		return true, false // it went by itself; whoever claims the name finds out
	}
	return t.remove(name, f) == nil, false
}

// remove removes a folder of ours whose marker we have locked, as f, and closes
// that. The marker goes last: whatever a killed run leaves can still be told
// from other folders.
func (t *Target) remove(name string, f *os.File) error {
	defer f.Close()
	entries, err := fs.ReadDir(t.root.FS(), name)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Name() == Marker {
			continue
		}
		if err := t.root.RemoveAll(name + "/" + e.Name()); err != nil {
			return err
		}
	}
	if runtime.GOOS == "windows" {
		f.Close() // which removes no open file, so that nobody else's can go
	}
	if err := t.root.Remove(name + "/" + Marker); err != nil {
		return err
	}
	return t.root.Remove(name)
}

// stands says whether a folder's marker is still the opened file.
func (t *Target) stands(name string, f *os.File) bool {
	there, err := t.root.Lstat(name + "/" + Marker)
	if err != nil {
		return false
	}
	here, err := f.Stat()
	return err == nil && os.SameFile(here, there)
}

// recover tidies up after a run that was killed: an old site that was moved
// out of the way goes back where nothing has taken its place, and folders of
// ours that nobody fills any more go.
func (t *Target) recover() error {
	entries, err := fs.ReadDir(t.root.FS(), ".")
	if err != nil {
		return err
	}
	_, err = t.root.Lstat(t.base)
	missing := errors.Is(err, fs.ErrNotExist)
	for _, e := range entries {
		name := e.Name()
		switch {
		case !e.IsDir() || name == t.fresh:
		case t.isBeside(name, "old") && t.ours(name):
			if missing {
				if err := t.root.Rename(name, t.base); err != nil {
					return err
				}
				missing = false
				continue
			}
			if _, busy := t.clear(name); busy {
				return errBusy
			}
		case t.isBeside(name, "new"):
			if _, busy := t.clear(name); busy {
				return errBusy
			}
		}
	}
	return nil
}

// Release gives the target back. What cannot be removed now is removed by the
// next run.
func (t *Target) Release() {
	t.discard()
	t.root.Close()
}

// discard removes our folder beside the site, whichever of the two sites that
// holds by now, and drops our locks.
func (t *Target) discard() {
	if t.fresh != "" {
		t.drop(t.fresh)
	}
	t.unlock()
	t.fresh, t.lock, t.old = "", nil, nil
}

func (t *Target) unlock() {
	for _, f := range []*os.File{t.lock, t.old} {
		if f != nil {
			f.Close()
		}
	}
}

// drop removes a folder that we hold, or that nobody does.
func (t *Target) drop(name string) {
	for _, f := range []*os.File{t.lock, t.old} {
		if f != nil && t.stands(name, f) {
			_ = t.remove(name, f)
			return
		}
	}
	_, _ = t.clear(name)
}

// beside names a folder next to the site's.
func (t *Target) beside(what string, i int) string {
	return t.base + "." + what + "-" + strconv.Itoa(i)
}

// isBeside says whether a name is one that beside gives.
func (t *Target) isBeside(name, what string) bool {
	number, ok := strings.CutPrefix(name, t.base+"."+what+"-")
	n, err := strconv.Atoi(number)
	return ok && err == nil && n >= 0 && strconv.Itoa(n) == number
}
