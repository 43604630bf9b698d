package math

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// reader reads TeX by its own grammar and makes elements of it.
type reader struct {
	tex     string
	at      int // bytes
	deep    int
	upright bool // as letters stand inside \mathrm
}

// piece is a part of the formula.
type piece struct {
	*node
	kind   kind
	limits bool // scripts stand below and above it
}

// kind says how a piece sits beside others, as far as functions care.
type kind int

const (
	ordinary kind = iota
	function
	closing
	between // operators, punctuation, opening brackets, spaces
)

func (r *reader) fail(at int, hint, format string, args ...any) *Error {
	return &Error{at, fmt.Sprintf(format, args...), hint}
}

func (r *reader) read() ([]*node, error) {
	if len(r.tex) > longest {
		return nil, r.fail(longest, "split it", "the formula has %d bytes; %d are the most", len(r.tex), longest)
	}
	for i, c := range r.tex {
		if c == utf8.RuneError {
			return nil, r.fail(i, "save the lesson as UTF-8", "these bytes are not text")
		}
		if !unicode.IsGraphic(c) && !strings.ContainsRune("\t\n\r", c) {
			return nil, r.fail(i, "delete it", "the character U+%04X cannot be seen", c)
		}
	}
	all, err := r.list(untilEnd)
	if err == nil && len(all) == 0 {
		err = r.fail(0, "write something between the signs that enclose it", "the formula is empty")
	}
	return all, err
}

// where a list of pieces ends
type ending int

const (
	untilEnd    ending = iota // of the formula
	untilBrace                // }
	untilSquare               // ]
	untilRight                // \right
	untilCell                 // &, \\ or \end
)

func (r *reader) spaces() {
	for r.at < len(r.tex) {
		c, n := utf8.DecodeRuneInString(r.tex[r.at:])
		if !unicode.IsSpace(c) {
			return
		}
		r.at += n
	}
}

func (r *reader) ahead(s string) bool { return strings.HasPrefix(r.tex[r.at:], s) }

// word gives the name of the command that begins at the pen, without the
// backslash, and how many bytes it takes; "" where there is none.
func (r *reader) word() (name string, size int) {
	rest := r.tex[r.at:]
	if len(rest) < 2 || rest[0] != '\\' {
		return "", 0
	}
	n := 1
	for n < len(rest) && (rest[n] >= 'a' && rest[n] <= 'z' || rest[n] >= 'A' && rest[n] <= 'Z') {
		n++
	}
	if n == 1 {
		_, size := utf8.DecodeRuneInString(rest[1:])
		n += size
	}
	return rest[1:n], n
}

func (r *reader) ended(e ending) bool {
	name, _ := r.word()
	switch e {
	case untilBrace:
		return r.ahead("}")
	case untilSquare:
		return r.ahead("]")
	case untilRight:
		return name == "right"
	case untilCell:
		return r.ahead("&") || name == `\` || name == "end"
	}
	return r.at >= len(r.tex)
}

// list reads pieces up to an ending, which it leaves at the pen.
func (r *reader) list(e ending) ([]*node, error) {
	start := r.at
	if r.deep++; r.deep > deepest {
		return nil, r.fail(start, "give a part of it a letter of its own", "the formula is nested more than %d deep", deepest)
	}
	defer func() { r.deep-- }()
	var all []piece
	for {
		r.spaces()
		if r.ended(e) {
			return join(all), nil
		}
		if r.at >= len(r.tex) {
			return nil, r.unclosed(e, start)
		}
		p, err := r.scripted()
		if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
}

func (r *reader) unclosed(e ending, start int) *Error {
	switch e {
	case untilBrace:
		return r.fail(max(start-1, 0), "close it with }", `"{" has no partner`)
	case untilSquare:
		return r.fail(max(start-1, 0), "close it with ]", `"[" has no partner`)
	case untilRight:
		return r.fail(start, `close it with \right and a bracket, or \right. for none`, `"\\left" has no partner`)
	}
	return r.fail(start, `close it with \end`, `"\\begin" has no partner`)
}

// join sets pieces side by side. A function stands a thin space apart from
// what it would otherwise touch. The sign U+2061 ties it to its argument:
// listeners are told of it, and nobody sees it.
func join(all []piece) []*node {
	var out []*node
	for i, p := range all {
		if p.kind == function && i > 0 && (all[i-1].kind == ordinary || all[i-1].kind == closing) {
			out = append(out, space(spaces[","]))
		}
		out = append(out, p.node)
		if p.kind != function || i+1 == len(all) {
			continue
		}
		out = append(out, sign("\u2061"))
		if next := all[i+1].kind; next == ordinary || next == function {
			out = append(out, space(spaces[","]))
		}
	}
	return out
}

// scripted reads a piece with its primes, sub- and superscripts.
func (r *reader) scripted() (piece, error) {
	p, err := r.nucleus()
	if err != nil {
		return piece{}, err
	}
	var sub, super *node
	primes := 0
	for {
		r.spaces()
		at := r.at
		switch {
		case r.ahead("'"):
			if super != nil {
				return piece{}, r.fail(at, "write the primes before the superscript", "a prime follows a superscript")
			}
			r.at++
			primes++
			continue
		case r.ahead("^"):
			if super != nil {
				return piece{}, r.fail(at, "put both into one pair of braces", "there are two superscripts here")
			}
			r.at++
			super, err = r.argument(at, "^")
		case r.ahead("_"):
			if sub != nil {
				return piece{}, r.fail(at, "put both into one pair of braces", "there are two subscripts here")
			}
			r.at++
			sub, err = r.argument(at, "_")
		default:
			if primes > len(primeSigns) {
				return piece{}, r.fail(at-1, "write a superscript in brackets, such as f^{(5)}", "%d primes are too many to count", primes)
			}
			p.attach(sub, super, primes)
			return p, nil
		}
		if err != nil {
			return piece{}, err
		}
	}
}

var primeSigns = [...]string{"′", "″", "‴", "⁗"}

// attach gives a piece its scripts. Either may be nil.
func (p *piece) attach(sub, super *node, primes int) {
	if primes > 0 {
		prime := sign(primeSigns[primes-1])
		switch {
		case super == nil:
			super = prime
		case super.tag == "mrow":
			super = element("mrow", append([]*node{prime}, super.children...)...)
		default:
			super = element("mrow", prime, super)
		}
	}
	tags := [3]string{"msub", "msup", "msubsup"}
	if p.limits {
		tags = [3]string{"munder", "mover", "munderover"}
	}
	switch {
	case sub != nil && super != nil:
		p.node = element(tags[2], p.node, sub, super)
	case sub != nil:
		p.node = element(tags[0], p.node, sub)
	case super != nil:
		p.node = element(tags[1], p.node, super)
	}
}

// argument reads what a command or a script applies to: a group, or the one
// piece that follows.
func (r *reader) argument(at int, of string) (*node, error) {
	r.spaces()
	if r.at >= len(r.tex) || strings.IndexByte("}&^_'", r.tex[r.at]) >= 0 {
		return nil, r.fail(at, "write it in braces after it", "%q has nothing to go with", of)
	}
	if !r.ahead("{") {
		if isDigit(r.tex[r.at]) {
			// as in TeX, where \frac12 is a half
			return r.number(r.at + 1).node, nil
		}
		p, err := r.nucleus()
		return p.node, err
	}
	open := r.at
	r.at++
	all, err := r.list(untilBrace)
	if err != nil {
		return nil, err
	}
	r.at++
	if len(all) == 0 {
		return nil, r.fail(open, "write something between the braces", "%q has nothing in its braces", of)
	}
	return row(all), nil
}

// nucleus reads one piece without scripts.
func (r *reader) nucleus() (piece, error) {
	at := r.at
	c, size := utf8.DecodeRuneInString(r.tex[at:])
	switch {
	case c == '\\':
		return r.command()
	case c == '{':
		r.at++
		all, err := r.list(untilBrace)
		if err != nil {
			return piece{}, err
		}
		r.at++
		return piece{node: row(all)}, nil
	case c == '^' || c == '_' || c == '\'':
		return piece{}, r.fail(at, "write the letter that it belongs to before it, or {} for none", "%q has nothing before it", string(c))
	case strings.ContainsRune("}&#$%\"`", c):
		return piece{}, r.misplaced(at, c)
	case isDigit(r.tex[at]):
		return r.number(r.digits()), nil
	}
	r.at += size
	text := string(c)
	switch {
	case unicode.IsLetter(c):
		return piece{node: letter(text, r.upright)}, nil
	case c == '~':
		return piece{node: space(spaces[" "]), kind: between}, nil
	case c == '(' || c == '[':
		return piece{node: level(text), kind: between}, nil
	case c == ')' || c == ']':
		return piece{node: level(text), kind: closing}, nil
	case c == '|':
		return bar(text), nil
	case c == '-':
		return piece{node: sign("\u2212"), kind: between}, nil
	case c == '*':
		return piece{node: sign("\u2217"), kind: between}, nil
	case unicode.IsNumber(c):
		return piece{node: &node{tag: "mn", text: text}}, nil
	case unicode.IsMark(c):
		return piece{}, r.fail(at, `write accents as commands, such as \bar{x}`, "the accent U+%04X has no letter of its own", c)
	}
	return piece{node: sign(text), kind: between}, nil
}

// letter is a letter or a name. A name stands upright by itself.
func letter(text string, upright bool) *node {
	n := &node{tag: "mi", text: text}
	if upright && len([]rune(text)) == 1 {
		n.attributes = ` mathvariant="normal"`
	}
	return n
}

// bar is an upright line, which may open as well as close; so that it has no
// space at either side.
func bar(text string) piece {
	return piece{node: &node{tag: "mo", attributes: ` lspace="0" rspace="0" stretchy="false"`, text: text}, kind: closing}
}

func (r *reader) misplaced(at int, c rune) *Error {
	hint := `write \` + string(c) + " for the sign itself"
	switch c {
	case '}':
		return r.fail(at, "remove it, or open it with {", `"}" has no partner`)
	case '&':
		hint = `write \& for the sign itself; it parts cells only inside a table, such as \begin{aligned}`
	case '#':
		hint = `write \# for the sign itself; commands cannot be defined`
	case '"', '`':
		hint = `put words into \text{...}`
	}
	return r.fail(at, hint, "%q cannot stand here", string(c))
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// digits finds the end of a number: digits, perhaps with one point or comma
// among them. A comma stands in braces, as in 19{,}95, or else it parts two
// numbers.
func (r *reader) digits() (end int) {
	digit := func(i int) bool { return i < len(r.tex) && isDigit(r.tex[i]) }
	i, pointed := r.at, false
	for {
		rest := r.tex[i:]
		switch {
		case digit(i):
			i++
		case !pointed && strings.HasPrefix(rest, ".") && digit(i+1):
			pointed = true
			i++
		case !pointed && strings.HasPrefix(rest, "{,}") && digit(i+3):
			pointed = true
			i += 3
		default:
			return i
		}
	}
}

// number takes a number that ends before a byte.
func (r *reader) number(end int) piece {
	text := r.tex[r.at:end]
	r.at = end
	return piece{node: &node{tag: "mn", text: strings.Replace(text, "{,}", ",", 1)}}
}
