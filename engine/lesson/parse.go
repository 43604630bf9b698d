package lesson

import (
	"bytes"
	"fmt"
	"strings"

	"slipring/engine/diag"
)

// Largest is the size, in bytes, up to which a lesson file is read.
const Largest = 1 << 20

// The longest line, and the longest run of lines without an empty one, in
// bytes. Within these the time for reading grows with the size of the file and
// not with its square.
const (
	longestLine = 10_000
	longestRun  = 1 << 16
)

// Parse reads one lesson. The file name is used in messages only.
//
// What it returns is never nil, and holds as much as could be read when there
// are errors. All offsets in it are byte offsets in source, whatever the line
// ends are.
func Parse(file string, source []byte) (*Lesson, []diag.Message) {
	r := newReading(file, source)
	r.all()
	return r.lesson, diag.Sort(r.messages)
}

func newReading(file string, source []byte) *reading {
	return &reading{lesson: &Lesson{File: file, Source: source, Body: &Node{Kind: Document}, starts: lineStarts(source)}}
}

// all reads the whole file.
func (r *reading) all() {
	l := r.lesson
	if !r.readable() {
		return
	}
	r.text = unify(l.Source)
	r.markdown = &markdown{parser: newParser(), fence: r.fencedBlock, report: r.say, pictures: r.entry}
	l.Body, _ = r.read(r.text.clean, 0, nil)
	r.text.relocate(l.Body)
	for i := range l.Cells {
		l.Cells[i].Line, _ = l.At(l.Cells[i].Offset)
	}
	if !r.found {
		r.say(0, diag.Error, "lesson-block", fmt.Sprintf("the %s has no %s block", r.noun(), r.head()), r.form())
	}
	for _, d := range r.markdown.definitions {
		l.Definitions = append(l.Definitions, Definition{d.Label, r.text.at(d.Offset)})
	}
}

// reading is the state of one Parse or ParseTranslation.
type reading struct {
	*markdown
	lesson   *Lesson
	base     *Lesson // of a translation
	entry    bool    // of the logbook, and not a lesson
	text     original
	found    bool // the lesson block was seen
	around   int  // offset of the fence of the block that is being read, in the clean text
	panel    int  // offset of the content of the visitor panel that is being read, in the clean text; 0 in no panel
	messages []diag.Message
}

// say reports a finding at an offset in the clean text.
func (r *reading) say(offset int, level diag.Level, rule, text, hint string) {
	r.messages = append(r.messages, r.lesson.Message(r.text.at(offset), level, rule, text, hint))
}

// readable says whether the file is text that Markdown can be read from.
func (r *reading) readable() bool {
	source := r.lesson.Source
	fail := func(offset int, text, hint string) bool {
		r.messages = append(r.messages, r.lesson.Message(offset, diag.Error, "file", text, hint))
		return false
	}
	if len(source) > Largest {
		return fail(0, fmt.Sprintf("the %s has %d bytes, more than the %d that a lesson may have", r.noun(), len(source), Largest),
			"make two lessons of it")
	}
	if len(bytes.TrimSpace(bytes.TrimPrefix(source, byteOrderMark))) == 0 {
		return fail(0, "the "+r.noun()+" is empty", r.form())
	}
	if text, hint := diag.NotText(source); text != "" {
		return fail(0, text, hint)
	}
	mark := len(source) - len(bytes.TrimPrefix(source, byteOrderMark))
	if at, what := diag.Hidden(source[mark:]); at >= 0 {
		hint := "delete it, and type the characters around it anew"
		if strings.HasSuffix(what, "UTF-8") {
			hint = `save the file as plain text, with the encoding "UTF-8"`
		}
		return fail(mark+at, what, hint)
	}
	for i, c := range source {
		if c == '\r' && (i+1 == len(source) || source[i+1] != '\n') {
			return fail(i, "a carriage return stands here without a line feed behind it",
				"save the file with the line ends of this system")
		}
	}
	begin, run := 0, 0 // where lines without an empty one between them begin, and their length
	for i, start := range r.lesson.starts {
		end := len(source)
		if i+1 < len(r.lesson.starts) {
			end = r.lesson.starts[i+1]
		}
		line := bytes.TrimRight(source[start:end], "\r\n")
		if len(bytes.TrimSpace(line)) == 0 {
			begin, run = end, 0
			continue
		}
		run += len(line) + 1
		switch {
		case len(line) > longestLine:
			return fail(start, fmt.Sprintf("this line has %d bytes, more than the %d that a line may have", len(line), longestLine),
				"break it, or make more than one paragraph of it")
		case run > longestRun:
			return fail(begin, fmt.Sprintf("from here on no empty line follows within %d bytes", longestRun), "put an empty line in between")
		case markers(line) > deepest:
			return fail(start, fmt.Sprintf("more than %d lists or quotations begin on this line", deepest), "take some of them apart")
		}
	}
	return true
}

// markers counts the quotation and list markers that a line begins with. The
// parser's work grows with their square, so they are counted before it runs.
func markers(line []byte) int {
	count := 0
	for i, c := range line {
		blank := i+1 == len(line) || line[i+1] <= ' '
		switch {
		case c == '>', blank && bytes.IndexByte([]byte("-*+.)"), c) >= 0:
			count++
		case c != ' ' && c != '\t' && (c < '0' || c > '9'):
			return count
		}
	}
	return count
}
