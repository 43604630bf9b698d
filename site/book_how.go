package site

import (
	"html/template"
	"strings"

	"slipring/engine/machine"
)

// howTo is what the logbook of work says of how an entry is written, for those
// who do not read the author's guide, which has one language.
type howTo struct {
	Texts  []template.HTML
	Sample string // an entry
}

// howTo gives that for a card.
func (b *builder) howTo(c machine.Card) howTo {
	code := func(s string) template.HTML {
		return template.HTML(`<code translate="no">` + template.HTMLEscapeString(s) + `</code>`)
	}
	h := howTo{Sample: b.entrySample(c), Texts: []template.HTML{
		b.words.HTML("book.how-file", "file", code("logbook/2026-11-14-name.md")),
		b.words.HTML("book.how-blocks", "answer", code("```answer line-on-the-leaf")),
		b.words.HTML("book.how-numbers", "reading", code("[16.70 Hz][reading.2026-11-03.speed.idle]"), "card", code("[24.6 mm][card.governor.radius]"), "was", code("[10.2 g][was.LABEL.governor.weight]"), "is", code("[9 g][is.LABEL.governor.weight]"), "proof", code("slipring proof")),
	}}
	for _, language := range b.House.Others() {
		h.Texts = append(h.Texts, b.words.HTML("book.how-words", "file", code("logbook/words/"+language+"/2026-11-14-name.md")))
	}
	h.Texts = append(h.Texts, b.words.HTML("book.how-wrong"))
	return h
}

// entrySample is a whole entry to copy.
func (b *builder) entrySample(c machine.Card) string {
	part := ""
	if len(c.Parts) > 0 {
		part = `"` + c.Parts[0].Name + `"`
	}
	for _, p := range c.Parts {
		if p.Name == "governor" {
			part = `"governor"`
		}
	}
	w := b.words
	return strings.NewReplacer("TITLE", w.Text("book.how-title"), "BY", w.Text("book.how-by"), "CARD", c.Name, "PART", part, "IT-WAS-DONE", w.Text("book.how-done"), "IT-WAS-FOUND", w.Text("book.how-found"), "IT-IS-OPEN", w.Text("book.how-open")).Replace(
		"```entry\ntitle = \"TITLE\"\nby = \"BY\"\ncard = \"CARD\"\nparts = [PART]\n```\n\n```done\nIT-WAS-DONE\n```\n\n```found\nIT-WAS-FOUND\n```\n\n```open line-on-the-leaf\nIT-IS-OPEN\n```\n")
}
