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
	"os"
	"slices"
	"time"

	"slipring/engine/diag"
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
	digest []byte // of all names and contents
	dates  []byte // of all files: not of what they hold, but of when it came there
}

// readInput reads the lessons folder. It gives an error where the folder holds
// anything but folders and plain files, such as a link, which may lead to what
// can change unseen.
func readInput(dir string) (input, error) {
	folder := os.DirFS(dir)
	content, dates := sha256.New(), sha256.New()
	put := func(name string, text []byte) {
		for _, part := range [][]byte{[]byte(name), text} {
			content.Write(binary.BigEndian.AppendUint64(nil, uint64(len(part))))
			content.Write(part)
		}
	}
	err := fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			put(name, nil)
			return err
		}
		if !d.Type().IsRegular() {
			return errors.New("neither a folder nor a plain file")
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		f, err := folder.Open(name)
		if err != nil {
			return err
		}
		defer f.Close()
		sum := sha256.New()
		if _, err := io.Copy(sum, f); err != nil { // whatever its size
			return err
		}
		put(name, sum.Sum(nil))
		dates.Write(binary.BigEndian.AppendUint64(nil, uint64(info.ModTime().UnixNano())))
		return nil
	})
	return input{content.Sum(nil), dates.Sum(nil)}, err
}

func (in input) same(other input) bool {
	return bytes.Equal(in.digest, other.digest) && bytes.Equal(in.dates, other.dates)
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
	data, ok := m.kept.Get(m.publishedKey(o, in))
	if !ok || m.fresh || json.Unmarshal(data, &p) != nil || !place.Holds(p.Sum) {
		return lastPublish{}, false
	}
	return p, true
}

// rememberPublished keeps what a publish gave, unless a file was changed while
// it was at work: nobody knows then which of the two states it has read.
func (m memory) rememberPublished(o options, before input, w work, messages []diag.Message, tree site.Tree) {
	after, err := readInput(o.lessons)
	if m.kept == nil || err != nil || !before.same(after) {
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
