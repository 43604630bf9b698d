// Package lesson reads a Markdown lesson into blocks of our own that know
// where in the file they stand.
//
//	l, messages := lesson.Parse("lessons/07-hunting/lesson.md", source)
//
// It is the only package that knows the Markdown library. It runs no cell and
// compares no number; see engine/cell and engine/proof for those.
package lesson

import (
	"sort"

	"slipring/engine/diag"
	"slipring/engine/language"
)

// Lesson is one parsed lesson.
type Lesson struct {
	File   string // path as the author would write it, used in messages
	Folder string // folder name, such as "07-hunting"
	Number int    // the folder's number, 0 when it has none
	Slug   string // the folder's name without its number, such as "hunting"
	Source []byte
	Facts  Facts
	Title  string // from Facts

	// Language is that of the prose, such as "fr"; "" stands for English.
	Language string

	own *language.Language // the language of the prose, where the house has one of its own
	// Base is the lesson that a translation translates, nil for a lesson.
	Base *Lesson
	// Translations are in the order of the house's languages.
	Translations []*Lesson

	Body  *Node  // Kind Document: every block in order
	Cells []Cell // a translation has those of its base, placed in that file

	// Data holds the CSV files that Facts names; a translation has those of its
	// base.
	Data []Data

	// Captures holds what the oscilloscope's records that Facts names show; a
	// translation has those of its base.
	Captures []Capture

	// Definitions are the ordinary link reference definitions of the file,
	// such as "[guide]: https://example.org". They win over values of the
	// same name, so a proofreader wants to know them.
	Definitions []Definition

	starts []int // byte offset of each line
}

// Definition is one link reference definition. Offset is the byte offset of
// its opening bracket.
type Definition struct {
	Label  string
	Offset int
}

// At turns a byte offset in the lesson file into line and column, both from 1.
func (l *Lesson) At(offset int) (line, column int) {
	if l.starts == nil {
		return diag.Place(l.Source, offset)
	}
	offset = min(max(offset, 0), len(l.Source))
	i := sort.SearchInts(l.starts, offset+1) - 1
	return i + 1, offset - l.starts[i] + 1
}

// Message makes a finding about the lesson at the given byte offset.
func (l *Lesson) Message(offset int, level diag.Level, rule, text, hint string) diag.Message {
	line, column := l.At(offset)
	return diag.Message{File: l.File, Line: line, Column: column, Level: level, Rule: rule, Text: text, Hint: hint}
}

// Facts is what the lesson block says.
type Facts struct {
	Title   string   // never empty in a lesson without errors
	Know    string   // what a volunteer will know after it, in one sentence; "" when it does not say
	Minutes int      // 1 to 600, 0 when it does not say
	Stop    int      // minutes, 1 to 60, that a tour of the house stays at what the lesson is about; 0 when it does not say
	Needs   []string // slugs of the lessons that come first
	Hazards []string // from the list that Hazards gives
	Revised string   // date, YYYY-MM-DD, "" when it does not say
	Data    []string // names of the CSV files beside the lesson, with their ending
	Safety  bool     // volunteers who signed for it sign again when it changes
	Beside  bool     // it stands beside the course: for whoever writes lessons, say, not for volunteers and visitors

	By    string   // in which role somebody wrote an entry of the logbook, never a person's name
	Card  string   // name of the machine card of the set that an entry is about
	Parts []string // of that card, that the entry is about; none stand for the whole set

	Exceptions []Exception
	Captures   []Declared

	// Labels say in a translation what labels that cells told read there.
	Labels []Label

	// Byte offsets in the lesson file of the values of title and know, and of each
	// entry of needs, hazards and data. A translation has these three from its
	// base, and no offsets of them.
	TitleAt   int
	StopAt    int
	KnowAt    int
	NeedsAt   []int
	HazardsAt []int
	DataAt    []int
	CardAt    int
	PartsAt   []int
}

// Exception is a place at which a rule is broken on purpose. Offset is the
// byte offset in the lesson file of its heading.
type Exception struct {
	Rule    string // name of the rule
	At      string // words that stand at that place, as in the file
	Because string // why the rule is broken there
	Offset  int
}

// Label is a label of a figure, table or knob in a translation. Offset is the
// byte offset in the file of its heading.
type Label struct {
	Told   string // as the cell told it; {} in it stands for any words
	Reads  string // in the translation's language, with each {} in its order
	Offset int
}

// Call is one place in a lesson's cell that names something of the engine.
type Call struct {
	Cell     int    // index into Lesson.Cells
	From, To int    // bytes of the cell's source
	Name     string // where it is declared: bench.Set.Steady
}

// Place is a stretch of a cell.
type Place struct {
	Cell     int // index into Lesson.Cells
	From, To int // bytes of the cell's source
}

// Told says what a number is made of that a cell tells, and a quote may be bound
// to. It is read off the cells' text. Names that are put together when a cell
// runs have a "*" in the place of what the text does not say.
type Told struct {
	Name string
	Place
	Via       []Place  // the definitions of the names in what is told
	Leans     []string // names of the engine: bench.Run.Frequency, or one trace as "bench.Run.Traces speed"; nearest first
	Constants []string // of the card, PART.KEY
	Of        []string // names of other numbers that are told
	Knobs     []string // that it follows
	Shaken    []string // constants that its doubt comes from
}

// Cell is the source of one go block. Offset is the byte offset of its first
// byte in the lesson file; Line is that byte's line, from 1.
type Cell struct {
	Source string
	Offset int
	Line   int
}
