// Package lesson reads a Markdown lesson into blocks of our own that know
// where in the file they stand.
//
//	l, messages := lesson.Parse("lessons/07-hunting/lesson.md", source)
//
// It is the only package that knows the Markdown library. It runs no cell and
// compares no number; see engine/cell and engine/proof for those.
package lesson

// Lesson is one parsed lesson.
type Lesson struct {
	File   string // path as the author would write it, used in messages
	Folder string // folder name, such as "07-hunting"
	Number int    // the folder's number, 0 when it has none
	Slug   string // the folder's name without its number, such as "hunting"
	Source []byte
	Facts  Facts
	Title  string // from Facts
	Body   *Node  // Kind Document: every block in order
	Cells  []Cell
}

// Facts is what the lesson block says.
type Facts struct {
	Title   string
	Minutes int
	Needs   []string
	Hazards []string
	Revised string // date, YYYY-MM-DD
}

// Cell is the source of one go block. Offset is the byte offset of its first
// byte in the lesson file; Line is that byte's line, from 1.
type Cell struct {
	Source string
	Offset int
	Line   int
}
