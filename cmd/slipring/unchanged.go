package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"time"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/store"
	"slipring/site"
)

// lastPublish is what a publish without errors gave. The next one finds it under
// the digest of everything that pages are made from: this program and every
// file of the lessons folder. When the pages still stand as they were written,
// there is nothing to do but to say all of it again.
type lastPublish struct {
	Sum      string // of the pages
	Files    int
	Warnings []string // as they were printed
	Excused  string
	Summary  string // with no lesson run anew
}

// input is the state of the lessons folder at one moment.
type input struct {
	digest []byte           // of all names and contents
	files  map[string]saved // by name within the folder
	sure   bool             // all was read, and there is nothing that can change unseen
}

// saved is what one file holds, and since when.
type saved struct {
	sum  [sha256.Size]byte
	date int64 // in ns; most systems keep it less finely
}

// readInput reads the lessons folder. It is not sure of what cannot be read, nor
// where the folder holds anything but folders and plain files, such as a link,
// which may lead to what can change unseen.
func readInput(dir string) input {
	folder := os.DirFS(dir)
	content := sha256.New()
	put := func(name string, text []byte) {
		for _, part := range [][]byte{[]byte(name), text} {
			content.Write(binary.BigEndian.AppendUint64(nil, uint64(len(part))))
			content.Write(part)
		}
	}
	in := input{files: map[string]saved{}, sure: true}
	_ = fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() {
			put(name, nil)
			return nil
		}
		var file saved
		if err == nil && !d.Type().IsRegular() {
			err = errors.New("neither a folder nor a plain file")
		}
		if err == nil {
			file, err = readSaved(folder, name)
		}
		put(name, file.sum[:])
		in.files[name] = file
		in.sure = in.sure && err == nil
		return nil // the rest counts too
	})
	in.digest = content.Sum(nil)
	return in
}

func readSaved(folder fs.FS, name string) (saved, error) {
	f, err := folder.Open(name)
	if err != nil {
		return saved{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return saved{}, err
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil { // whatever its size
		return saved{}, err
	}
	return saved{[sha256.Size]byte(sum.Sum(nil)), info.ModTime().UnixNano()}, nil
}

// changed gives a message where a file of the folder, which before holds the
// state of, was saved, removed or added since: pages made meanwhile may mix what
// was never in the folder at one time, and results kept of them may be those of
// another state, even where the change was taken back. What editors keep for
// themselves is free to change.
func changed(dir string, before input) []diag.Message {
	after := readInput(dir)
	say := func(name, what string) []diag.Message {
		return []diag.Message{{File: filepath.Join(dir, filepath.FromSlash(name)), Rule: "changed",
			Text: what + " while the pages were made", Hint: "run this again once the files are at rest"}}
	}
	all := maps.Clone(before.files)
	maps.Copy(all, after.files)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		was, had := before.files[name]
		is, has := after.files[name]
		switch {
		case was == is, lesson.EditorsOwn(path.Base(name)):
		case !had:
			return say(name, "this file was added")
		case !has:
			return say(name, "this file was removed")
		default:
			return say(name, "this file was saved")
		}
	}
	return nil
}

// publishedKey names what these lessons gave. The folder's name is part of it,
// since messages name files, and the limits are that memory keeps results under.
func (m memory) publishedKey(o options, in input) string {
	return store.Key([]byte("published"), m.engine, []byte(o.lessons), m.limits, in.digest)
}

// unchanged gives the last publish of the same lessons by the same program,
// when its pages stand in the place just as they were written.
func (m memory) unchanged(o options, in input, place *site.Place) (lastPublish, bool) {
	var p lastPublish
	if !in.sure {
		return p, false
	}
	data, ok := m.kept.Get(m.publishedKey(o, in))
	if !ok || m.fresh || json.Unmarshal(data, &p) != nil || !place.Holds(p.Sum) {
		return lastPublish{}, false
	}
	return p, true
}

// rememberPublished keeps what a publish gave of lessons that have not changed
// since before.
func (m memory) rememberPublished(o options, before input, w work, messages []diag.Message, tree site.Tree) {
	if m.kept == nil || !before.sure {
		return
	}
	p := lastPublish{Sum: tree.Sum(), Files: len(tree), Warnings: []string{}}
	for _, m := range messages {
		p.Warnings = append(p.Warnings, m.String())
	}
	var excused bytes.Buffer
	w.printExceptions(&excused)
	p.Excused = excused.String()
	w.lessons = slices.Clone(w.lessons)
	for i := range w.lessons {
		w.lessons[i].ran = false
	}
	p.Summary = w.summary()
	if data, err := json.Marshal(p); err == nil {
		_ = m.kept.Put(m.publishedKey(o, before), data) // or all is done again
	}
}

// print says what a publish says that finds all as it was.
func (p lastPublish) print(stdout, stderr io.Writer, out string, began time.Time) {
	for _, m := range p.Warnings {
		fmt.Fprintln(stderr, m)
	}
	fmt.Fprint(stdout, p.Excused)
	sayPublished(stdout, p.Summary, began, p.Files, out, ", as they were")
}
