package page

import (
	"html/template"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// Entry is an entry of the logbook, block by block.
type Entry struct {
	Blocks []EntryBlock
}

// EntryBlock is what was done or found, or a question, or what answers one.
type EntryBlock struct {
	Purpose string // one of lesson.EntryPurposes
	Name    string // of the question
	Words   template.HTML
}

// Key is the key of the text that says what the block is.
func (b EntryBlock) Key() string {
	keys := map[string]string{"done": "book.done", "found": "book.found", "open": "book.open", "answer": "book.answer"}
	return keys[b.Purpose]
}

// Has says whether the entry has a block of a purpose about a question.
func (e Entry) Has(purpose, name string) bool {
	return slices.ContainsFunc(e.Blocks, func(b EntryBlock) bool { return b.Purpose == purpose && b.Name == name })
}

// NewEntry prints an entry of the logbook.
func NewEntry(in Input, l Links) (out Entry, messages []diag.Message) {
	p := newPrinter(in, l)
	p.outside = true
	for _, n := range in.Lesson.Body.Children {
		if n.Kind == lesson.EntryBlock {
			out.Blocks = append(out.Blocks, EntryBlock{n.Purpose, n.Name, p.print(n.Children...)})
		}
	}
	return out, p.finish()
}

// fact prints a number of an entry as it was written, and what the model gives
// now where that has moved on. It says whether n is one.
func (p *printer) fact(n *lesson.Node) bool {
	f, ok := p.in.Report.Facts[n]
	if !ok {
		return false
	}
	href := ""
	if p.links.Fact != nil {
		href = p.links.Fact(f.Name)
	}
	printed := p.in.Report.Printed[n]
	p.anchor(href, func() { p.quote("quote", f.Number, printed, "") })
	if now, moved := p.in.Report.Now[n]; moved {
		p.putf(` <span class="now">%s</span>`, escape(p.ui.Text("book.now", "number", now)))
	}
	return true
}

// picture prints a picture that stands beside an entry.
func (p *printer) picture(n *lesson.Node) {
	var href string
	var width, height int
	if p.links.Picture != nil {
		href, width, height = p.links.Picture(n.Name)
	}
	if href == "" {
		p.fail(n, "picture", "there is no such picture", "run slipring proof, which says why")
		return
	}
	p.line()
	p.putf("<figure class=\"picture\"><img src=\"%s\" width=\"%d\" height=\"%d\" alt=\"%s\">", escape(href), width, height, escape(p.words(n)))
	if n.Title != "" {
		p.putf("<figcaption>%s</figcaption>", escape(n.Title))
	}
	p.put("</figure>\n")
}
