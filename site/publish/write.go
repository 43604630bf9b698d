// Package publish puts pages on disk in one swap.
//
//	t, err := publish.Take(ctx, "visit", nil)
//	defer t.Release()
//	err = t.Write(tree)
//
// Whoever looks finds the old site or the new one, whole, also when a run is
// killed or the disk is full, and two runs at once wait for each other. Folders
// that the package did not make are never replaced. What pages hold is no
// matter here.
package publish

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"

	"slipring/engine/diag"
)

// Marker is the file by which a folder of published pages is known.
const Marker = ".slipring-pages"

const markerText = `slipring made this folder. Each publish replaces all of it, so keep nothing
of your own in here. Without this file, slipring will not touch the folder.
`

// Tree holds files by their slash-separated path.
type Tree map[string][]byte

// Write puts the tree into the folder out, in the place of what was there. It
// is Take, (*Target).Write and Release in one.
//
// The error, if any, is a diag.Message.
func Write(tree Tree, out string) error {
	if _, err := checkTree(tree); err != nil {
		return err
	}
	t, err := Take(context.Background(), out, nil)
	if err != nil {
		return err
	}
	defer t.Release()
	return t.Write(tree)
}

// Write puts the tree into the target, once.
//
// The new files are written into a folder beside the site, named after it,
// which is then swapped in: on Linux in one step, elsewhere by two renames.
// Whoever looks finds the old site or the new one, and when anything fails the
// old one is left as it was. What a killed run left beside it goes at the next
// Take.
//
// A folder that holds anything is replaced only if it carries our marker
// file. Write follows no link: neither the site nor anything that it replaces
// may be one. Files get the permissions that the umask leaves.
//
// The error, if any, is a diag.Message.
func (t *Target) Write(tree Tree) error {
	names, err := checkTree(tree)
	if err != nil {
		return err
	}
	if err := t.checkOld(t.base); err != nil {
		return err
	}
	if err := t.stage(tree, names); err != nil {
		return err
	}
	return t.swap()
}

// checkTree says in which order files are written, and refuses names that
// could lead elsewhere or that some systems cannot hold.
func checkTree(tree Tree) ([]string, error) {
	bad := func(name, what string) error {
		return diag.Message{File: name, Text: "a page cannot have this name: " + what, Hint: "this is a mistake in Slipring, not in a lesson; please report it"}
	}
	if len(tree) == 0 {
		return nil, diag.Message{Text: "there is no page to write", Hint: "this is a mistake in Slipring, not in a lesson; please report it"}
	}
	names := slices.Sorted(maps.Keys(tree))
	lower := map[string]string{}
	for _, name := range names {
		switch {
		case !fs.ValidPath(name) || name == "." || strings.ContainsAny(name, "\\:\x00"):
			return nil, bad(name, "it is no path of plain names with slashes")
		case name == Marker:
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
func (t *Target) checkOld(name string) error {
	info, err := t.root.Lstat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return failure(t.out, err)
	case info.Mode()&fs.ModeSymlink != 0:
		return diag.Message{File: t.out, Text: "this is a link, which is not followed", Hint: "name the folder that it leads to"}
	case !info.IsDir():
		return diag.Message{File: t.out, Text: "this is no folder", Hint: "name another place with -out"}
	}
	if t.ours(name) {
		return nil
	}
	empty, err := t.empty(name)
	if err != nil {
		return failure(t.out, err)
	}
	if !empty {
		return diag.Message{File: t.out, Text: "this folder holds files that slipring did not make, and is not replaced",
			Hint: "name another folder with -out, or empty this one yourself"}
	}
	return nil
}

// ours says whether a folder carries our marker, as a file and not as a link.
func (t *Target) ours(name string) bool {
	info, err := t.root.Lstat(name)
	if err != nil || !info.IsDir() {
		return false
	}
	info, err = t.root.Lstat(name + "/" + Marker)
	return err == nil && info.Mode().IsRegular()
}

func (t *Target) empty(name string) (bool, error) {
	entries, err := fs.ReadDir(t.root.FS(), name)
	return len(entries) == 0, err
}

// stage writes all files into our new folder beside the site.
func (t *Target) stage(tree Tree, names []string) error {
	made := map[string]bool{".": true}
	written := []string{t.fresh + "/" + Marker}
	for _, name := range names {
		if err := t.mkdir(t.fresh, path.Dir(name), made); err != nil {
			return failure(t.out, err)
		}
		if err := t.writeFile(t.fresh+"/"+name, tree[name]); err != nil {
			return failure(t.out, err)
		}
		written = append(written, t.fresh+"/"+name)
	}
	for _, dir := range slices.Sorted(maps.Keys(made)) {
		written = append(written, path.Join(t.fresh, dir))
	}
	if err := t.sync(written); err != nil {
		return failure(t.out, err)
	}
	return nil
}

// mkdir makes the folders down to dir, which is relative to top.
func (t *Target) mkdir(top, dir string, made map[string]bool) error {
	if made[dir] {
		return nil
	}
	if err := t.mkdir(top, path.Dir(dir), made); err != nil {
		return err
	}
	made[dir] = true
	return t.root.Mkdir(top+"/"+dir, 0o755)
}

func (t *Target) writeFile(name string, content []byte) error {
	f, err := t.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
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
func (t *Target) sync(names []string) error {
	const together = 16
	work, failed := make(chan string), make(chan error, together)
	for range together {
		go func() {
			var first error
			for name := range work {
				if err := t.syncOne(name); err != nil && first == nil {
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
func (t *Target) syncOne(name string) error {
	how := os.O_RDONLY
	if runtime.GOOS == "windows" {
		how = os.O_WRONLY // or it cannot be synced, and a folder not at all
		if info, err := t.root.Lstat(name); err != nil || info.IsDir() {
			return err
		}
	}
	f, err := t.root.OpenFile(name, how, 0)
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
	hint := "check that you may write there, and that there is room"
	if errors.Is(err, syscall.EBUSY) || errors.Is(err, syscall.EXDEV) { // the folder is a mount point
		hint = fmt.Sprintf("a disk begins at this folder, which cannot be replaced: name one in it, such as -out %s", filepath.Join(out, "visit"))
	}
	return diag.Message{File: out, Text: "the pages cannot be written: " + err.Error(), Hint: hint}
}
