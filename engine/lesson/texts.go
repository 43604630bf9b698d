package lesson

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// textReader reads the texts of a block of TOML, each of which is Markdown.
// Offsets of keys count in the block.
type textReader struct {
	reading   *reading
	converter *converter
	node      *Node // whose children the texts become
	start     int   // of the block's content
	fence     int
	rule      string
	failed    bool
}

func newTextReader(r *reading, n *Node, f fenced, c *converter, rule string) textReader {
	return textReader{reading: r, converter: c, node: n, start: f.start, fence: f.at, rule: rule}
}

func (r *textReader) fail(at int, text, hint string) {
	r.failed = true
	r.converter.say(r.start+at, r.rule, text, hint)
}

// reference gives a key's text as the name of something.
func (r *textReader) reference(k tomlKey) Reference {
	return Reference{strings.TrimSpace(k.text), r.converter.base + r.start + k.valueAt}
}

var toleranceForm = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?)\s*(\S.*)?$`)

// within reads a tolerance; form is the hint for who wrote something else.
func (r *textReader) within(k tomlKey, form string) (t Tolerance) {
	at := r.reference(k)
	m := toleranceForm.FindStringSubmatch(at.Name)
	if m == nil {
		r.fail(k.valueAt, fmt.Sprintf("within is %q", at.Name), form)
		return t
	}
	x, err := strconv.ParseFloat(m[1], 64)
	if err != nil || x == 0 {
		r.fail(k.valueAt, "within leaves no room: a computed number is never met exactly", `for example: within = "5 %"`)
		return t
	}
	return Tolerance{x, strings.Join(strings.Fields(m[2]), " "), at.At}
}

// word says whether a key holds text that is not empty.
func (r *textReader) word(k tomlKey) bool {
	switch {
	case !k.word:
		r.fail(k.valueAt, k.name+" is text in quotation marks", fmt.Sprintf("for example: %s = \"...\"", k.name))
	case strings.TrimSpace(k.text) == "":
		r.fail(k.valueAt, k.name+" is empty", "write it, or take the key out")
	case hiddenIn(k.text) != "":
		r.fail(k.valueAt, hiddenIn(k.text), hiddenHint)
	default:
		return true
	}
	return false
}

// markdown reads the Markdown of a key's text, in its place.
func (r *textReader) markdown(k tomlKey) *Node {
	if k.escaped {
		r.fail(k.valueAt, fmt.Sprintf("the text of %s has backslashes between double quotation marks, where TOML takes them for its own", k.name),
			"put it between single quotation marks, '...' or '''...''', where all is meant as it stands")
		return nil
	}
	c := r.converter
	doc, _ := r.reading.read(c.source[r.start+k.start:r.start+k.end], c.base+r.start+k.start, c.pc)
	return doc
}

// line reads a text that is one paragraph.
func (r *textReader) line(k tomlKey) *Node {
	doc := r.markdown(k)
	if doc == nil {
		return nil
	}
	if len(doc.Children) != 1 || doc.Children[0].Kind != Paragraph {
		r.fail(k.valueAt, k.name+" is one paragraph of text, without lists, headings or pictures", "put the rest into the lesson, or into why")
		return nil
	}
	doc.Kind, doc.Children = QuestionText, doc.Children[0].Children
	r.converter.inserts(doc)
	r.node.Children = append(r.node.Children, doc)
	return doc
}

// note reads a text of any number of paragraphs.
func (r *textReader) note(k tomlKey) *Node {
	doc := r.markdown(k)
	if doc == nil {
		return nil
	}
	if len(doc.Children) == 0 {
		r.fail(k.valueAt, k.name+" is empty", "write it, or take the key out")
		return nil
	}
	doc.Kind = QuestionNote
	r.node.Children = append(r.node.Children, doc)
	return doc
}
