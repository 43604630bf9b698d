package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/logbook"
	"slipring/engine/store"
	"slipring/site/publish"
)

// lastPublish is what a publish without errors gave. The next one finds it under
// this program and the names of all files in the lessons folder. When those that
// were read hold the same, and the pages stand as they were written, there is
// nothing to do but to say all of it again.
type lastPublish struct {
	Read     map[string]string // digests of the files that were read, by name
	Sum      publish.Sum       // of the pages
	Files    int
	Warnings []string // as they were printed
	Excused  string
	Summary  string // with no lesson run anew
}

// publishedKey names what these lessons gave. The folder's name is part of it,
// since messages name files. So are the limits that results are kept under.
func (c cache) publishedKey(o options, in *folder.Folder) string {
	return store.Key([]byte("published"), c.engine, []byte(o.lessons), c.limits, in.Names())
}

// unchanged gives the last publish of the same lessons by the same program,
// when its pages stand in the target just as they were written.
func (c cache) unchanged(o options, in *folder.Folder, target *publish.Target) (lastPublish, bool) {
	var p lastPublish
	data, ok := c.store.Get(c.publishedKey(o, in))
	if !ok || c.fresh || json.Unmarshal(data, &p) != nil || !in.Holds(p.Read) || !target.Holds(p.Sum) {
		return lastPublish{}, false
	}
	return p, true
}

// rememberPublished keeps what a publish gave of lessons that have not changed
// since they were opened.
func (c cache) rememberPublished(o options, in *folder.Folder, w workshop, messages []diag.Message, tree publish.Tree) {
	if c.store == nil || !in.Sure() || slices.ContainsFunc(messages, func(m diag.Message) bool { return m.Rule == logbook.RuleLater }) { // which is so until that day
		return
	}
	p := lastPublish{Read: in.Sums(), Sum: tree.Sum(), Files: len(tree), Warnings: []string{}}
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
		_ = c.store.Put(c.publishedKey(o, in), data) // or all is done again
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
