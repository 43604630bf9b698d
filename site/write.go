package site

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/diag"
)

// marker is the file by which Write knows a folder as its own.
const marker = ".slipring-pages"

const markerText = `slipring made this folder. Each publish replaces all of it, so keep nothing
of your own in here. Without this file, slipring will not touch the folder.
`

// Write puts the tree into the folder out, in the place of what was there.
//
// The new files are written into a folder beside it, named after it, which is
// then swapped in: on Linux in one step, elsewhere by two renames. Whoever
// looks finds the old site or the new one, and when anything fails the old one
// is left as it was. What a killed run left beside out goes at the next Write.
//
// A folder that holds anything is replaced only if it carries our marker
// file. Write follows no link: neither out nor anything that it replaces may be
// one. Files get the permissions that the umask leaves.
//
// The error, if any, is a diag.Message.
func Write(t Tree, out string) error {
	names, err := checkTree(t)
	if err != nil {
		return err
	}
	w, err := openPlace(out)
	if err != nil {
		return err
	}
	defer w.close()
	if err := w.recover(); err != nil {
		return err
	}
	if err := w.checkOld(w.base); err != nil {
		return err
	}
	fresh, err := w.stage(t, names)
	if err != nil {
		return err
	}
	return w.swap(fresh)
}

// place is where a site goes: a name in an opened folder, out of which nothing
// that Write does can lead.
type place struct {
	out  string // as the caller wrote it, for messages
	base string // name of the site's folder
	root *os.Root
}

func openPlace(out string) (*place, error) {
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
	return &place{out: out, base: base, root: root}, nil
}

func (w *place) close() { w.root.Close() }

// checkTree says in which order files are written, and refuses names that
// could lead elsewhere or that some systems cannot hold.
func checkTree(t Tree) ([]string, error) {
	bad := func(name, what string) error {
		return diag.Message{File: name, Text: "a page cannot have this name: " + what, Hint: "this is a mistake in Slipring, not in a lesson; please report it"}
	}
	if len(t) == 0 {
		return nil, diag.Message{Text: "there is no page to write", Hint: "this is a mistake in Slipring, not in a lesson; please report it"}
	}
	names := slices.Sorted(maps.Keys(t))
	lower := map[string]string{}
	for _, name := range names {
		switch {
		case !fs.ValidPath(name) || name == "." || strings.ContainsAny(name, "\\:\x00"):
			return nil, bad(name, "it is no path of plain names with slashes")
		case name == marker:
			return nil, bad(name, "it is that of our marker file")
		case !filepath.IsLocal(filepath.FromSlash(name)):
			return nil, bad(name, "it leads out of the folder")
		}
		// Names are compared as Windows and macOS do, on every system.
		folded := strings.ToLower(name)
		if other, had := lower[folded]; had {
			return nil, bad(name, fmt.Sprintf("it differs from %q only in capital letters", other))
		}
		lower[folded] = name
	}
	for _, name := range names {
		for dir := path.Dir(name); dir != "."; dir = path.Dir(dir) {
			if other, had := lower[strings.ToLower(dir)]; had {
				return nil, bad(other, fmt.Sprintf("it would be both a file and the folder of %q", name))
			}
		}
	}
	return names, nil
}

// checkOld refuses to replace what is not ours. Nothing there, and an empty
// folder, may be replaced.
func (w *place) checkOld(name string) error {
	info, err := w.root.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return failure(w.out, err)
	case info.Mode()&fs.ModeSymlink != 0:
		return diag.Message{File: w.out, Text: "this is a link, which is not followed", Hint: "name the folder that it leads to"}
	case !info.IsDir():
		return diag.Message{File: w.out, Text: "this is no folder", Hint: "name another place with -out"}
	}
	if w.ours(name) {
		return nil
	}
	empty, err := w.empty(name)
	if err != nil {
		return failure(w.out, err)
	}
	if !empty {
		return diag.Message{File: w.out, Text: "this folder holds files that slipring did not make, and is not replaced",
			Hint: "name another folder with -out, or empty this one yourself"}
	}
	return nil
}

// ours says whether a folder carries our marker, as a file and not as a link.
func (w *place) ours(name string) bool {
	info, err := w.root.Lstat(name)
	if err != nil || !info.IsDir() {
		return false
	}
	info, err = w.root.Lstat(name + "/" + marker)
	return err == nil && info.Mode().IsRegular()
}

func (w *place) empty(name string) (bool, error) {
	entries, err := fs.ReadDir(w.root.FS(), name)
	return len(entries) == 0, err
}

// staged is a folder beside the site that is being filled. Its marker is kept
// open and locked, so that another run can tell it from a leftover.
type staged struct {
	name string
	lock *os.File
}

// stage writes all files into a new folder beside the site.
func (w *place) stage(t Tree, names []string) (fresh staged, err error) {
	fresh, err = w.newFolder()
	if err != nil {
		return fresh, err
	}
	defer func() {
		if err != nil {
			w.discard(fresh)
		}
	}()
	made := map[string]bool{".": true}
	var written []string
	for _, name := range names {
		if err := w.mkdir(fresh.name, path.Dir(name), made); err != nil {
			return fresh, failure(w.out, err)
		}
		if err := w.writeFile(fresh.name+"/"+name, t[name]); err != nil {
			return fresh, failure(w.out, err)
		}
		written = append(written, fresh.name+"/"+name)
	}
	for _, dir := range slices.Sorted(maps.Keys(made)) {
		written = append(written, path.Join(fresh.name, dir))
	}
	if err := w.sync(written); err != nil {
		return fresh, failure(w.out, err)
	}
	return fresh, nil
}

// newFolder makes a folder with our marker in it, which it leaves locked.
func (w *place) newFolder() (staged, error) {
	const tries = 10000
	for i := range tries {
		s := staged{name: w.beside("new", i)}
		err := w.root.Mkdir(s.name, 0o755)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return s, failure(w.out, err)
		}
		s.lock, err = w.root.OpenFile(s.name+"/"+marker, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err == nil {
			lock(s.lock)
			_, err = s.lock.WriteString(markerText)
		}
		if err == nil {
			err = s.lock.Sync()
		}
		if err != nil {
			w.discard(s)
			return s, failure(w.out, err)
		}
		return s, nil
	}
	return staged{}, diag.Message{File: w.out, Text: fmt.Sprintf("%d folders named %s.new-... stand beside it", tries, w.base), Hint: "remove them"}
}

// beside names a folder next to the site's.
func (w *place) beside(what string, i int) string {
	return w.base + "." + what + "-" + strconv.Itoa(i)
}

// isBeside says whether a name is one that beside gives.
func (w *place) isBeside(name, what string) bool {
	number, ok := strings.CutPrefix(name, w.base+"."+what+"-")
	n, err := strconv.Atoi(number)
	return ok && err == nil && n >= 0 && strconv.Itoa(n) == number
}

func (w *place) discard(s staged) {
	if s.lock != nil {
		s.lock.Close()
	}
	// What cannot be removed now is removed by the next run.
	_ = w.root.RemoveAll(s.name)
}

// mkdir makes the folders down to dir, which is relative to top.
func (w *place) mkdir(top, dir string, made map[string]bool) error {
	if made[dir] {
		return nil
	}
	if err := w.mkdir(top, path.Dir(dir), made); err != nil {
		return err
	}
	made[dir] = true
	return w.root.Mkdir(top+"/"+dir, 0o755)
}

func (w *place) writeFile(name string, content []byte) error {
	f, err := w.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if closing := f.Close(); err == nil {
		err = closing
	}
	return err
}

// sync makes files and folders last through a loss of power. Many are handed
// to the system at a time, which then writes its journal once for all of them.
func (w *place) sync(names []string) error {
	const together = 16
	work, failed := make(chan string), make(chan error, together)
	for range together {
		go func() {
			var first error
			for name := range work {
				if err := w.syncOne(name); err != nil && first == nil {
					first = err
				}
			}
			failed <- first
		}()
	}
	for _, name := range names {
		work <- name
	}
	close(work)
	var err error
	for range together {
		if e := <-failed; e != nil && err == nil {
			err = e
		}
	}
	return err
}

// syncOne syncs a file or a folder, where the system can do that.
func (w *place) syncOne(name string) error {
	how := os.O_RDONLY
	if runtime.GOOS == "windows" {
		how = os.O_WRONLY // or it cannot be synced, and a folder not at all
		if info, err := w.root.Lstat(name); err != nil || info.IsDir() {
			return err
		}
	}
	f, err := w.root.OpenFile(name, how, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !isInvalid(err) {
		return err
	}
	return nil
}

// failure puts an error of the file system into the form of our messages.
func failure(out string, err error) error {
	var m diag.Message
	if errors.As(err, &m) {
		return m
	}
	var at *fs.PathError
	var two *os.LinkError
	switch {
	case errors.As(err, &at):
		err = at.Err
	case errors.As(err, &two):
		err = two.Err
	}
	return diag.Message{File: out, Text: "the pages cannot be written: " + err.Error(), Hint: "check that you may write there, and that there is room"}
}
