package math

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// reader reads TeX by its own grammar and writes it anew in the plain form
// that the library sets without fault: every argument in braces, and whatever
// is not structure (numbers, signs, text, spaces) as one private character
// that stands for an element kept here.
type reader struct {
	tex  string
	at   int // bytes
	deep int
	face int // alphabets that the pen is inside of
	kept []kept
}

// kept is an element that goes into the result as it is. The first has the
// character firstKept in its place, and so on.
type kept struct {
	tag, text  string
	attributes [][2]string
}

const firstKept, lastKept = '\uE000', '\uF8FF'

// piece is a part of the formula in plain form, and the texts of the leaves
// that must come of it, in order; "" stands for any text.
type piece struct {
	tex    string
	leaves []string
	kind   kind
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

func (r *reader) read() (piece, error) {
	if len(r.tex) > longest {
		return piece{}, r.fail(longest, "split it", "the formula has %d bytes; %d are the most", len(r.tex), longest)
	}
	for i, c := range r.tex {
		if c == utf8.RuneError {
			return piece{}, r.fail(i, "save the lesson as UTF-8", "these bytes are not text")
		}
		if !unicode.IsGraphic(c) && !strings.ContainsRune("\t\n\r", c) {
			return piece{}, r.fail(i, "delete it", "the character U+%04X cannot be seen", c)
		}
	}
	p, err := r.list(untilEnd)
	if err != nil {
		return piece{}, err
	}
	if p.tex == "" {
		return piece{}, r.fail(0, "write something between the signs that enclose it", "the formula is empty")
	}
	return p, nil
}

// keep puts an element aside and gives the piece that stands for it.
func (r *reader) keep(k kept, as kind) (piece, error) {
	if firstKept+rune(len(r.kept)) > lastKept {
		return piece{}, r.fail(r.at, "split it", "the formula has too many parts")
	}
	p := piece{tex: string(firstKept + rune(len(r.kept))), kind: as}
	if k.tag != "mspace" && k.tag != "mrow" {
		p.leaves = []string{k.text}
	}
	r.kept = append(r.kept, k)
	return p, nil
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
func (r *reader) list(e ending) (piece, error) {
	start := r.at
	if r.deep++; r.deep > deepest {
		return piece{}, r.fail(start, "give a part of it a letter of its own", "the formula is nested more than %d deep", deepest)
	}
	defer func() { r.deep-- }()
	var all []piece
	for {
		r.spaces()
		if r.ended(e) {
			break
		}
		if r.at >= len(r.tex) {
			return piece{}, r.unclosed(e, start)
		}
		p, err := r.scripted()
		if err != nil {
			return piece{}, err
		}
		all = append(all, p)
	}
	return r.join(all)
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
// what it would otherwise touch, and is tied to its argument by the sign that
// listeners are told of and nobody sees.
func (r *reader) join(all []piece) (piece, error) {
	var out piece
	add := func(p piece) {
		if letterAtEnd(out.tex) && letterAtStart(p.tex) || digitAtEnd(out.tex) && digitAtStart(p.tex) {
			out.tex += " "
		}
		out.tex += p.tex
		out.leaves = append(out.leaves, p.leaves...)
	}
	thin := func() error {
		p, err := r.keep(kept{tag: "mspace", attributes: [][2]string{{"width", "0.1667em"}}}, between)
		add(p)
		return err
	}
	for i, p := range all {
		if p.kind == function && i > 0 && (all[i-1].kind == ordinary || all[i-1].kind == closing) {
			if err := thin(); err != nil {
				return out, err
			}
		}
		add(p)
		if p.kind != function || i+1 == len(all) {
			continue
		}
		tie, err := r.keep(kept{tag: "mo", text: "\u2061"}, between)
		if err != nil {
			return out, err
		}
		add(tie)
		if next := all[i+1].kind; next == ordinary || next == function {
			if err := thin(); err != nil {
				return out, err
			}
		}
	}
	return out, nil
}

// letterAtEnd says whether TeX ends in the name of a command.
func letterAtEnd(tex string) bool {
	i := len(tex)
	for i > 0 && (tex[i-1] >= 'a' && tex[i-1] <= 'z' || tex[i-1] >= 'A' && tex[i-1] <= 'Z') {
		i--
	}
	return i > 0 && i < len(tex) && tex[i-1] == '\\'
}

func letterAtStart(tex string) bool {
	c, _ := utf8.DecodeRuneInString(tex)
	return unicode.IsLetter(c)
}

func digitAtEnd(tex string) bool   { return tex != "" && isDigit(tex[len(tex)-1]) }
func digitAtStart(tex string) bool { return tex != "" && isDigit(tex[0]) }
func isDigit(c byte) bool          { return c >= '0' && c <= '9' }

// scripted reads a piece with its primes, sub- and superscripts.
func (r *reader) scripted() (piece, error) {
	base, err := r.nucleus()
	if err != nil {
		return piece{}, err
	}
	var sub, super *piece
	var primes int
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
		case r.ahead("^"):
			if super != nil {
				return piece{}, r.fail(at, "put both into one pair of braces", "there are two superscripts here")
			}
			if super, err = r.script(); err != nil {
				return piece{}, err
			}
		case r.ahead("_"):
			if sub != nil {
				return piece{}, r.fail(at, "put both into one pair of braces", "there are two subscripts here")
			}
			if sub, err = r.script(); err != nil {
				return piece{}, err
			}
		default:
			return r.withScripts(base, sub, super, primes)
		}
	}
}

func (r *reader) script() (*piece, error) {
	sign := r.tex[r.at : r.at+1]
	at := r.at
	r.at++
	p, err := r.argument(at, sign)
	return &p, err
}

func (r *reader) withScripts(base piece, sub, super *piece, primes int) (piece, error) {
	if primes > 0 {
		marks := []string{"′", "″", "‴", "⁗"}
		if primes > len(marks) {
			return piece{}, r.fail(r.at-1, "write a superscript in brackets, such as f^{(5)}", "%d primes are too many to count", primes)
		}
		p, err := r.keep(kept{tag: "mo", text: marks[primes-1]}, ordinary)
		if err != nil {
			return piece{}, err
		}
		if super != nil {
			p.tex += super.tex
			p.leaves = append(p.leaves, super.leaves...)
		}
		super = &p
	}
	out := base
	if sub != nil {
		out.tex += "_{" + sub.tex + "}"
		out.leaves = append(out.leaves, sub.leaves...)
	}
	if super != nil {
		out.tex += "^{" + super.tex + "}"
		out.leaves = append(out.leaves, super.leaves...)
	}
	return out, nil
}

// argument reads what a command or a script applies to: a group, or the one
// piece that follows.
func (r *reader) argument(at int, of string) (piece, error) {
	r.spaces()
	if r.at >= len(r.tex) || r.ahead("}") || r.ahead("&") || r.ahead("^") || r.ahead("_") || r.ahead("'") {
		return piece{}, r.fail(at, "write it in braces after it", "%q has nothing to go with", of)
	}
	if !r.ahead("{") {
		if c := r.tex[r.at]; c >= '0' && c <= '9' {
			// as in TeX, where \frac12 is a half
			return r.number(r.at + 1)
		}
		return r.nucleus()
	}
	open := r.at
	r.at++
	p, err := r.list(untilBrace)
	if err != nil {
		return piece{}, err
	}
	r.at++
	if p.tex == "" {
		return piece{}, r.fail(open, "write something between the braces", "%q has nothing in its braces", of)
	}
	return p, nil
}
