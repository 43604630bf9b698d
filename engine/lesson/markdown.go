package lesson

import (
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"slipring/engine/diag"
)

// Markdown reads plain CommonMark, without the ideas that lessons add to it:
// no block has a role, and a reference without a definition is ordinary text.
// It is how the tree is checked against the examples of the CommonMark
// specification; lessons are read with Parse.
func Markdown(source []byte) *Node {
	text := unify(source)
	m := markdown{parser: newParser(), plain: true}
	root, _ := m.read(text.clean, 0, nil)
	text.relocate(root)
	return root
}

// markdown reads one lesson, or the Markdown inside one of its blocks.
// Offsets count in the text with unified line ends until relocate.
type markdown struct {
	parser   parser.Parser
	plain    bool
	pictures bool                           // files beside the text may be placed
	fence    func(fenced, *converter) *Node // nil in plain Markdown
	report   func(offset int, level diag.Level, rule, text, hint string)
	ids      slugs

	definitions []Definition
}

// newParser sets goldmark up for CommonMark alone.
func newParser() parser.Parser {
	return parser.NewParser(
		parser.WithBlockParsers(parser.DefaultBlockParsers()...),
		parser.WithInlineParsers(
			util.Prioritized(parser.NewCodeSpanParser(), 100),
			util.Prioritized(linkParser{parser.NewLinkParser()}, 200),
			util.Prioritized(parser.NewAutoLinkParser(), 300),
			util.Prioritized(parser.NewRawHTMLParser(), 400),
			util.Prioritized(parser.NewEmphasisParser(), 500),
		),
		parser.WithParagraphTransformers(parser.DefaultParagraphTransformers()...),
	)
}

// read reads source, which stands at offset base of the lesson. Definitions
// of the text around it count too, unless it has its own.
func (m *markdown) read(source []byte, base int, around *context) (*Node, *context) {
	pc := &context{Context: parser.NewContext(), around: around, plain: m.plain, extent: map[ast.Node]extent{}}
	root := m.parser.Parse(text.NewReader(source), parser.WithContext(pc))
	c := converter{markdown: m, source: source, base: base, pc: pc}
	doc := &Node{Kind: Document, Offset: base, End: base + len(source)}
	c.blocks(root, doc, 0)
	return doc, pc
}

// context is goldmark's, but knows when a link is written as [text][label].
// Then, and only then, a label without a definition is one of ours.
type context struct {
	parser.Context
	around *context // of the lesson, within one of its blocks
	plain  bool
	full   bool // the parser is at the "]" of [text][label]
	extent map[ast.Node]extent
}

// extent says where in the source a link or image closes.
type extent struct {
	close int // offset of the bracket that closes its text
	end   int // offset behind the whole
}

// boundMark is the destination that tells a bound text from a link. It holds
// a NUL byte, which no lesson does.
const boundMark = "\x00bound"

func (c *context) Reference(label string) (parser.Reference, bool) {
	if ref, ok := c.Context.Reference(label); ok {
		return ref, true
	}
	if c.around != nil {
		if ref, ok := c.around.Context.Reference(label); ok {
			return ref, true
		}
	}
	if !c.plain && c.full {
		return parser.NewReference([]byte(label), []byte(boundMark), nil), true
	}
	return nil, false
}

// linkParser is goldmark's, which does not say in its calls to Reference
// whether the label comes from [text][label], [label][] or [label].
type linkParser struct{ parser.InlineParser }

func (p linkParser) Parse(parent ast.Node, block text.Reader, pc parser.Context) ast.Node {
	c := pc.(*context)
	line, segment := block.PeekLine()
	if line[0] != ']' {
		return p.InlineParser.Parse(parent, block, pc)
	}
	c.full = len(line) > 1 && line[1] == '[' && labelFollows(block)
	n := p.InlineParser.Parse(parent, block, pc)
	c.full = false
	if n != nil {
		_, at := block.Position()
		c.extent[n] = extent{segment.Start, at.Start}
	}
	return n
}

// labelFollows says whether the "]" that the reader is at begins a "][label]"
// with something in the label, and leaves the reader where it was.
func labelFollows(block text.Reader) bool {
	line, at := block.Position()
	defer block.SetPosition(line, at)
	block.Advance(2)
	segments, found := block.FindClosure('[', ']', text.FindClosureOptions{Newline: true})
	if !found {
		return false
	}
	for i := range segments.Len() {
		if !util.IsBlank(block.Value(segments.At(i))) {
			return true
		}
	}
	return false
}

// CloseBlock hands on what goldmark's link parser has to do there.
func (p linkParser) CloseBlock(parent ast.Node, block text.Reader, pc parser.Context) {
	if c, ok := p.InlineParser.(parser.CloseBlocker); ok {
		c.CloseBlock(parent, block, pc)
	}
}
