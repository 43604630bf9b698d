package publish

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"sync"
)

// Sum gives a digest of all names and contents of the tree, in hexadecimal.
func (t Tree) Sum() string {
	names := slices.Sorted(maps.Keys(t))
	sum, _ := sumOf(names, func(name string) ([]byte, error) { return t[name], nil })
	return sum
}

// Holds says whether the target holds exactly the tree with this sum, and our
// marker: every file as it was written, and not a file, link or folder more.
// It reads all of it, whatever the dates of the files are.
func (t *Target) Holds(sum string) bool {
	names, err := t.list()
	if err != nil {
		return false
	}
	content, err := t.root.ReadFile(t.base + "/" + Marker)
	if err != nil || string(content) != markerText {
		return false
	}
	got, err := sumOf(names, func(name string) ([]byte, error) { return t.root.ReadFile(t.base + "/" + name) })
	return err == nil && got == sum
}

// list gives the files of the site in order, without the marker. It gives an
// error when there is anything that Write does not make.
func (t *Target) list() ([]string, error) {
	odd := errors.New("not as it was written")
	site, err := fs.Sub(t.root.FS(), t.base)
	if err != nil {
		return nil, err
	}
	var names, dirs []string
	err = fs.WalkDir(site, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir():
			dirs = append(dirs, name)
		case !d.Type().IsRegular():
			return odd
		case name != Marker:
			names = append(names, name)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	needed := map[string]bool{".": true}
	for _, name := range names {
		for dir := path.Dir(name); !needed[dir]; dir = path.Dir(dir) {
			needed[dir] = true
		}
	}
	for _, dir := range dirs {
		if !needed[dir] {
			return nil, odd
		}
	}
	slices.Sort(names)
	return names, nil
}

// sumOf digests files in the order of their names. The files are read on all
// processor cores.
func sumOf(names []string, read func(name string) ([]byte, error)) (string, error) {
	sums := make([][sha256.Size]byte, len(names))
	workers := runtime.GOMAXPROCS(0)
	failed := make([]error, workers)
	var wait sync.WaitGroup
	for k := range workers {
		wait.Go(func() {
			for i := k; i < len(names) && failed[k] == nil; i += workers {
				content, err := read(names[i])
				failed[k], sums[i] = err, sha256.Sum256(content)
			}
		})
	}
	wait.Wait()
	if err := errors.Join(failed...); err != nil {
		return "", err
	}
	whole := sha256.New()
	for i, name := range names {
		whole.Write(binary.BigEndian.AppendUint32(nil, uint32(len(name))))
		whole.Write([]byte(name))
		whole.Write(sums[i][:])
	}
	return hex.EncodeToString(whole.Sum(nil)), nil
}
