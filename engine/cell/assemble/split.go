// Package assemble makes one file of the cells of a lesson. In goes a lesson;
// out comes a syntax tree for the type checker, in which each definition is a
// variable of the package, or messages about what is no Go or too much of it.
// Source knows where each position of the tree stands in the lesson. Program is
// what the later packages make of it.
package assemble

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"sort"
	"strings"

	"slipring/engine/cell/goerrors"
	"slipring/engine/diag"
	"slipring/engine/lesson"
)

// Limits of one cell's text. The parser and the type checker go down one call
// for each level, so that both are kept shallow.
const (
	maxCell    = 64 << 10 // bytes of one cell
	maxCells   = 2 * maxCell
	maxBracket = 100 // brackets inside each other
	maxTree    = 300 // levels of a syntax tree
	maxName    = 100 // bytes of a name
)

// Source reads the cells of one lesson and knows where each position of their
// syntax trees stands in the lesson. All findings go through it.
type Source struct {
	Lesson   *lesson.Lesson
	Files    *token.FileSet
	pieces   []piece // by base
	Messages []diag.Message

	asWritten map[int]bool // for cells looked at: they stand in the lesson without an indent
}

func New(l *lesson.Lesson) *Source {
	return &Source{Lesson: l, Files: token.NewFileSet(), asWritten: map[int]bool{}}
}

// piece is one parsed stretch of a cell: the parser sees a prefix of ours
// first, then the cell's text from offset start on.
type piece struct {
	base, size    int
	prefix, start int
	cell          int
}

// Offset gives the place in the lesson of a position in a syntax tree, or -1
// for a position of ours.
func (s *Source) Offset(pos token.Pos) int {
	p := int(pos)
	i := sort.Search(len(s.pieces), func(i int) bool { return s.pieces[i].base > p }) - 1
	if i < 0 || p > s.pieces[i].base+s.pieces[i].size {
		return -1
	}
	at := s.pieces[i]
	return s.inLesson(at.cell, at.start+max(p-at.base-at.prefix, 0))
}

// inLesson turns an offset in a cell into one in the lesson. A cell inside a
// list is indented in the lesson but not in Cell.Source, so that the columns
// then differ line by line.
func (s *Source) inLesson(cell, offset int) int {
	c, all := s.Lesson.Cells[cell], string(s.Lesson.Source)
	offset = min(offset, len(c.Source))
	at := min(max(c.Offset, 0), len(all))
	as, known := s.asWritten[cell]
	if !known {
		as = strings.HasPrefix(all[at:], c.Source)
		s.asWritten[cell] = as
	}
	if as {
		return at + offset
	}
	from := strings.LastIndexByte(all[:at], '\n') + 1
	text := c.Source
	for {
		line, rest, more := strings.Cut(text, "\n")
		full, after, _ := strings.Cut(all[from:], "\n")
		if offset <= len(line) || !more {
			indent := max(len(strings.TrimRight(full, "\r"))-len(strings.TrimRight(line, "\r")), 0)
			return min(from+indent+offset, len(all))
		}
		offset -= len(line) + 1
		text = rest
		from = min(len(all), len(all)-len(after))
	}
}

// InCell gives the cell of a position in a syntax tree, and its place there.
func (s *Source) InCell(pos token.Pos) (cell, offset int, ok bool) {
	p := int(pos)
	i := sort.Search(len(s.pieces), func(i int) bool { return s.pieces[i].base > p }) - 1
	if i < 0 || p > s.pieces[i].base+s.pieces[i].size {
		return 0, 0, false
	}
	at := s.pieces[i]
	offset = at.start + p - at.base - at.prefix
	return at.cell, offset, offset >= at.start && offset <= len(s.Lesson.Cells[at.cell].Source)
}

func (s *Source) Report(offset int, rule, text, hint string) {
	m := diag.Message{File: s.Lesson.File, Level: diag.Error, Rule: rule, Text: text, Hint: hint}
	if offset >= 0 {
		m.Line, m.Column = diag.Place(s.Lesson.Source, offset)
	}
	s.Messages = append(s.Messages, m)
}

// Refuse says that cells leave out something that Go has.
func (s *Source) Refuse(pos token.Pos, text, hint string) {
	s.Report(s.Offset(pos), "cell-refused", text, hint)
}

// Parsed is what all cells of a lesson hold, in order.
type Parsed struct {
	Decls      []ast.Decl // functions and methods
	Statements []ast.Stmt
}

// Parse reads all cells. Where it reports nothing, every cell was read whole.
func (s *Source) Parse() Parsed {
	var out Parsed
	all := 0
	for i, c := range s.Lesson.Cells {
		if all += len(c.Source); all > maxCells && len(c.Source) <= maxCell {
			s.Report(s.inLesson(i, 0), "cell-limit",
				fmt.Sprintf("the cells of this lesson have more than %d bytes together", maxCells),
				"split the lesson, or keep readings in a file beside it")
			break
		}
		if len(c.Source) > maxCell {
			s.Report(s.inLesson(i, 0), "cell-limit",
				fmt.Sprintf("this cell has %d bytes; the limit is %d", len(c.Source), maxCell),
				"split it into several cells, or keep readings in a file beside the lesson")
			continue
		}
		tokens, ok := s.scan(i)
		if !ok {
			continue
		}
		body := []byte(c.Source)
		for _, r := range declarations(tokens, len(body)) {
			text := c.Source[r.from:r.to]
			for j := r.from; j < r.to; j++ {
				if body[j] != '\n' {
					body[j] = ' '
				}
			}
			f := s.file(i, "package cells;", text, "", r.from)
			if f == nil {
				continue
			}
			for _, d := range f.Decls {
				if g, ok := d.(*ast.GenDecl); ok {
					s.imports(g)
					continue
				}
				out.Decls = append(out.Decls, d)
			}
		}
		if f := s.file(i, "package cells;func _(){", string(body), "\n}", 0); f != nil {
			out.Statements = append(out.Statements, f.Decls[0].(*ast.FuncDecl).Body.List...)
		}
	}
	if len(s.Messages) > 0 {
		return Parsed{}
	}
	for _, d := range out.Decls {
		s.depth(d)
	}
	for _, st := range out.Statements {
		s.depth(st)
	}
	if len(s.Messages) == 0 {
		s.size(out)
	}
	if len(s.Messages) == 0 {
		s.types(out.Statements)
	}
	return out
}

// file parses one piece between a prefix and a suffix of ours; nil after a
// syntax error, of which the first is reported.
func (s *Source) file(cell int, prefix, text, suffix string, start int) *ast.File {
	base := s.Files.Base()
	whole := prefix + text + suffix
	f, err := parser.ParseFile(s.Files, "", whole, parser.SkipObjectResolution)
	s.pieces = append(s.pieces, piece{base: base, size: len(whole), prefix: len(prefix), start: start, cell: cell})
	if err == nil {
		return f
	}
	at, message := 0, err.Error()
	if list, ok := err.(scanner.ErrorList); ok && len(list) > 0 {
		at, message = list[0].Pos.Offset, list[0].Msg
	}
	said, hint := goerrors.Syntax(message)
	at = max(at-len(prefix), 0)
	if end := len(strings.TrimRight(text, " \t\r\n")); at >= end && strings.Contains(message, "found") {
		// what the parser stumbled over is not the author's
		at, said, hint = end, "the cell ends in the middle of this", goerrors.LookAround
	}
	s.Report(s.inLesson(cell, start+at), "cell-syntax", said, hint)
	return nil
}

// depth refuses trees that are too deep for a walk by calls.
func (s *Source) depth(root ast.Node) {
	level, told := 0, false
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil {
			level--
			return false
		}
		if level >= maxTree {
			if !told {
				told = true
				s.Report(s.Offset(root.Pos()), "cell-limit",
					"this is nested too deeply to be checked",
					"split it: give parts of the expression or of the chain names of their own")
			}
			return false
		}
		level++
		return true
	})
}

type lexeme struct {
	offset int
	kind   token.Token
	text   string
}

// scan reads a cell's tokens and reports what keeps it from being split:
// characters that are not Go's, names outside plain letters, and brackets
// that do not pair.
func (s *Source) scan(cell int) ([]lexeme, bool) {
	text := []byte(s.Lesson.Cells[cell].Source)
	var sc scanner.Scanner
	bad := false
	complain := func(offset int, text, hint string) {
		if !bad {
			s.Report(s.inLesson(cell, offset), "cell-syntax", text, hint)
		}
		bad = true
	}
	file := token.NewFileSet().AddFile("", 1, len(text))
	sc.Init(file, text, func(p token.Position, m string) {
		what, hint := goerrors.Scan(m)
		complain(p.Offset, what, hint)
	}, 0)
	var out []lexeme
	var open []lexeme
	for !bad {
		pos, kind, lit := sc.Scan()
		l := lexeme{int(pos) - 1, kind, lit}
		switch kind {
		case token.EOF:
			if len(open) > 0 {
				o := open[len(open)-1]
				complain(o.offset, fmt.Sprintf("%q is never closed", o.kind.String()),
					fmt.Sprintf("write the %q that belongs to it, in the same cell", closer[o.kind].String()))
			}
			return out, !bad
		case token.IDENT:
			if what, hint := goerrors.StrangeLetter(lit); what != "" {
				complain(l.offset, what, hint)
			} else if len(lit) > maxName {
				complain(l.offset, fmt.Sprintf("this name has %d letters; the limit is %d", len(lit), maxName), "choose a shorter one")
			}
			if n := len(out); n > 0 && out[n-1].text == "while" && (n == 1 || out[n-2].kind == token.SEMICOLON || out[n-2].kind == token.LBRACE) {
				complain(out[n-1].offset, `Go has no "while"`, `write "for" instead: for x < 3 { ... }`)
			}
		case token.LPAREN, token.LBRACK, token.LBRACE:
			open = append(open, l)
			if len(open) > maxBracket {
				complain(l.offset, fmt.Sprintf("more than %d brackets stand inside each other", maxBracket),
					"split the expression, or move the inner part into a function")
			}
		case token.RPAREN, token.RBRACK, token.RBRACE:
			if len(open) == 0 {
				complain(l.offset, fmt.Sprintf("this %q closes nothing", kind.String()),
					"remove it, or look for a bracket that is missing before it")
				break
			}
			o := open[len(open)-1]
			if closer[o.kind] != kind {
				line, _ := diag.Place(s.Lesson.Source, s.inLesson(cell, o.offset))
				complain(l.offset, fmt.Sprintf("%q does not close the %q of line %d", kind.String(), o.kind.String(), line),
					fmt.Sprintf("a %q is missing before it", closer[o.kind].String()))
				break
			}
			open = open[:len(open)-1]
		}
		out = append(out, l)
	}
	return nil, false
}

var closer = map[token.Token]token.Token{
	token.LPAREN: token.RPAREN, token.LBRACK: token.RBRACK, token.LBRACE: token.RBRACE,
}

// stretch is a part of a cell's text.
type stretch struct{ from, to int }

// declarations finds what cannot stand in a function body: functions, methods and
// imports. Everything else is left to the parser, as the body of one function.
func declarations(tokens []lexeme, end int) []stretch {
	var out []stretch
	depth, fresh := 0, true // fresh: a statement begins here
	for i := 0; i < len(tokens); i++ {
		t := tokens[i]
		if depth == 0 && fresh && (t.kind == token.IMPORT || t.kind == token.FUNC && declares(tokens[i+1:])) {
			last := stretchEnd(tokens, i)
			to := end
			if last < len(tokens) {
				to = tokens[last].offset
			}
			out = append(out, stretch{t.offset, to})
			i = last
			continue
		}
		switch t.kind {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			depth++
		case token.RPAREN, token.RBRACK, token.RBRACE:
			depth--
		}
		fresh = t.kind == token.SEMICOLON
	}
	return out
}

// declares tells a function or method from a function literal by the tokens
// after "func": a name, or a receiver in parentheses, a name and parentheses.
func declares(after []lexeme) bool {
	if len(after) == 0 {
		return false
	}
	if after[0].kind == token.IDENT {
		return true
	}
	if after[0].kind != token.LPAREN {
		return false
	}
	depth := 0
	for i, t := range after {
		switch t.kind {
		case token.LPAREN:
			depth++
		case token.RPAREN:
			depth--
		}
		if depth == 0 {
			return i+2 < len(after) && after[i+1].kind == token.IDENT && after[i+2].kind == token.LPAREN
		}
	}
	return false
}

// stretchEnd gives the index of the semicolon that ends the declaration that
// begins at token i, or len(tokens).
func stretchEnd(tokens []lexeme, i int) int {
	depth := 0
	for ; i < len(tokens); i++ {
		switch tokens[i].kind {
		case token.LPAREN, token.LBRACK, token.LBRACE:
			depth++
		case token.RPAREN, token.RBRACK, token.RBRACE:
			depth--
		case token.SEMICOLON:
			if depth == 0 {
				return i
			}
		}
	}
	return i
}
