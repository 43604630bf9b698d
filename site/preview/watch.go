package preview

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"slipring/engine/diag"
)

// The files are looked at again and again instead of being reported by the
// operating system. Such reports do not come for network folders, are lost when
// a folder is moved away and back or a stick is pulled out, follow the old file
// when an editor saves by renaming a new one over it, and cost a descriptor a
// file on some systems. A lessons folder has a few hundred files, and a look at
// them takes a few milliseconds (BenchmarkLook).

const (
	// doubt is how long after a change a file's time is not believed. A time
	// on a FAT file system counts in steps of 2 s (Microsoft, FAT32 File
	// System Specification 1.03, 2000, DIR_WrtTime), so a second save within
	// the step that keeps the size shows in the content alone.
	doubt = 3 * time.Second

	// tooBig is the size from which the content is not compared: such a file
	// is a recording, and goes by time and size.
	tooBig = 16 << 20

	// patience is how many settling times a folder gets that is never still.
	patience = 20
)

// seen is what is known of one file.
type seen struct {
	time   time.Time
	size   int64
	digest [sha256.Size]byte
	fresh  time.Time // until then the content is compared at every look
}

// sameStat says whether time and size are as before.
func (a seen) sameStat(b seen) bool { return a.size == b.size && a.time.Equal(b.time) }

// look is what is known of all files, by path.
type look map[string]seen

// watcher remembers the look that the site was last made from.
type watcher struct {
	folders []string
	last    look
}

// newWatcher takes a first look at the folders.
func newWatcher(folders []string) *watcher {
	return &watcher{folders: folders, last: lookAt(folders, nil, time.Now())}
}

// wait returns the files that changed since the last call, once they have been
// still for the settling time; an empty list when ctx is done first. A file
// whose time changed and whose content did not is no change, with one
// exception: while the site was being made a file can have been changed and
// put back, and what was read in between is not known. So in the first look
// of a call the time counts too.
func (w *watcher) wait(ctx context.Context, poll, settle time.Duration) []string {
	next := lookAt(w.folders, w.last, time.Now())
	changed := differences(w.last, next, true)
	for len(changed) == 0 {
		w.last = next
		if !sleep(ctx, poll) {
			return nil
		}
		next = lookAt(w.folders, w.last, time.Now())
		changed = differences(w.last, next, false)
	}
	for range patience {
		if !sleep(ctx, settle) {
			return nil
		}
		again := lookAt(w.folders, next, time.Now())
		still := len(differences(next, again, true)) == 0
		next = again
		if still {
			break
		}
	}
	// A file that was put back while it settled stays in the list. That costs one
	// rebuild; an empty list would say that ctx is done.
	for _, name := range differences(w.last, next, false) {
		if at, found := slices.BinarySearch(changed, name); !found {
			changed = slices.Insert(changed, at, name)
		}
	}
	w.last = next
	return changed
}

// sleep waits, and says whether it could do so to the end.
func sleep(ctx context.Context, d time.Duration) bool {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return true
	case <-ctx.Done():
		return false
	}
}

// differences lists the files, sorted, that are new, gone or of other content;
// with byTime also those whose time is another.
func differences(before, after look, byTime bool) []string {
	names := map[string]bool{}
	for name, a := range after {
		b, known := before[name]
		if !known || a.digest != b.digest || a.size != b.size || byTime && !a.sameStat(b) {
			names[name] = true
		}
	}
	for name := range before {
		if _, stays := after[name]; !stays {
			names[name] = true
		}
	}
	return slices.Sorted(maps.Keys(names))
}

// lookAt looks at all files below the folders. A file or folder that is there
// but cannot be read just now, because an editor holds it or the network is
// slow, stays as it was and is looked at again the next time.
func lookAt(folders []string, before look, now time.Time) look {
	after := look{}
	for _, folder := range folders {
		after.folder(folder, before, now)
	}
	return after
}

// folder adds what is below one folder.
func (l look) folder(name string, before look, now time.Time) {
	entries, err := os.ReadDir(name)
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			below := strings.TrimSuffix(filepath.Join(name, "x"), "x")
			for file, s := range before {
				if strings.HasPrefix(file, below) {
					l[file] = s
				}
			}
		}
		return
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") || strings.HasSuffix(e.Name(), "~") {
			continue
		}
		path := filepath.Join(name, e.Name())
		if e.IsDir() {
			l.folder(path, before, now)
			continue
		}
		l.file(path, e, before, now)
	}
}

// file adds one file, following a link to it.
func (l look) file(name string, e fs.DirEntry, before look, now time.Time) {
	b, known := before[name]
	// On Windows what the folder's listing says of a file is free, and a
	// question about the file itself opens it.
	info, err := e.Info()
	if err == nil && info.Mode()&fs.ModeSymlink != 0 {
		info, err = os.Stat(name)
	}
	if err != nil {
		if known && !errors.Is(err, fs.ErrNotExist) {
			l[name] = b
		}
		return
	}
	if !info.Mode().IsRegular() {
		return
	}
	a := seen{time: info.ModTime(), size: info.Size(), digest: b.digest, fresh: b.fresh}
	if known && a.sameStat(b) && now.After(b.fresh) {
		l[name] = a
		return
	}
	if !known || !a.sameStat(b) {
		a.fresh = now.Add(doubt)
	}
	if a.size < tooBig {
		if a.digest, err = digest(name); err != nil {
			if known {
				l[name] = b
			}
			return
		}
	} else {
		a.digest = sha256.Sum256([]byte(a.time.String()))
	}
	if a.digest != b.digest {
		a.fresh = now.Add(doubt)
	}
	l[name] = a
}

// digest is the SHA-256 of a file's content.
func digest(name string) (sum [sha256.Size]byte, err error) {
	f, err := os.Open(name)
	if err != nil {
		return sum, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return sum, err
	}
	h.Sum(sum[:0])
	return sum, nil
}

// watchable refuses folders that are not there to begin with.
func watchable(folders []string) error {
	if len(folders) == 0 {
		return diag.Message{Text: "there is no folder to watch", Hint: "name the folder of the lessons"}
	}
	for _, folder := range folders {
		info, err := os.Stat(folder)
		if err == nil && !info.IsDir() {
			err = errors.New("it is not a folder")
		}
		if err != nil {
			return diag.Message{
				Text: fmt.Sprintf("cannot watch %q: %v", folder, err),
				Hint: "name the folder of the lessons",
			}
		}
	}
	return nil
}
