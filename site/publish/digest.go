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

// Sum stands for all names and contents of a tree.
type Sum struct {
	Bytes  int64  // of all contents
	Digest string // in hexadecimal
}

// Sum gives the sum of the tree.
func (t Tree) Sum() Sum {
	names := slices.Sorted(maps.Keys(t))
	var s Sum
	for _, content := range t {
		s.Bytes += int64(len(content))
	}
	s.Digest, _ = digestOf(names, func(name string) ([]byte, error) { return t[name], nil })
	return s
}

// Holds says whether the target holds exactly the tree with this sum, and our
// marker: every file as it was written, and not a file, link or folder more.
// It reads all of it, whatever the dates of the files are, unless there is more
// or less to read than there should be.
func (t *Target) Holds(sum Sum) bool {
	names, bytes, err := t.list()
	if err != nil || bytes != sum.Bytes+int64(len(markerText)) {
		return false
	}
	content, err := t.root.ReadFile(t.base + "/" + Marker)
	if err != nil || string(content) != markerText {
		return false
	}
	got, err := digestOf(names, func(name string) ([]byte, error) { return t.root.ReadFile(t.base + "/" + name) })
	return err == nil && got == sum.Digest
}

// list gives the files of the site in order, without the marker, and how many
// bytes all files have, with the marker. It gives an error when there is
// anything that Write does not make.
func (t *Target) list() (names []string, bytes int64, err error) {
	odd := errors.New("not as it was written")
	site, err := fs.Sub(t.root.FS(), t.base)
	if err != nil {
		return nil, 0, err
	}
	var dirs []string
	err = fs.WalkDir(site, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir():
			dirs = append(dirs, name)
			return nil
		case !d.Type().IsRegular():
			return odd
		case name != Marker:
			names = append(names, name)
		}
		info, err := d.Info()
		if err == nil {
			bytes += info.Size()
		}
		return err
	})
	if err != nil {
		return nil, 0, err
	}
	needed := map[string]bool{".": true}
	for _, name := range names {
		for dir := path.Dir(name); !needed[dir]; dir = path.Dir(dir) {
			needed[dir] = true
		}
	}
	for _, dir := range dirs {
		if !needed[dir] {
			return nil, 0, odd
		}
	}
	slices.Sort(names)
	return names, bytes, nil
}

// digestOf digests files in the order of their names. The files are read on all
// processor cores.
func digestOf(names []string, read func(name string) ([]byte, error)) (string, error) {
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
