package math

import (
	"slices"
	"strings"
	"unicode"
)

// command reads a command with its arguments.
func (r *reader) command() (piece, error) {
	at := r.at
	name, size := r.word()
	if name == "" {
		return piece{}, r.fail(at, "remove it", "a backslash ends the formula")
	}
	r.at += size
	switch name {
	case "frac", "dfrac", "tfrac":
		return r.fraction(at, name)
	case "text", "mathrm", "operatorname":
		return r.words(at, name)
	case "sqrt":
		return r.root(at)
	case "left":
		return r.fenced(at)
	case "begin":
		return r.table(at)
	case "|":
		return bar("‖"), nil
	case "}":
		return piece{node: level("}"), kind: closing}, nil
	case "%", "#", "&", "$", "_", "{": // which TeX takes otherwise when they stand alone
		return piece{node: level(name), kind: between}, nil
	case `\`:
		return piece{}, r.fail(at, `put the lines into \begin{aligned} ... \end{aligned}`, `"\\\\" cannot stand here`)
	case "right", "end":
		return piece{}, r.fail(at, "remove it", "%q has no partner", `\`+name)
	}
	if em, ok := spaces[name]; ok {
		return piece{node: space(em), kind: between}, nil
	}
	if hint, ok := refused[name]; ok {
		return piece{}, r.fail(at, hint, "%q cannot be set", `\`+name)
	}
	if mark, ok := accents[name]; ok {
		n, err := r.argument(at, `\`+name)
		over := &node{tag: "mo", attributes: ` stretchy="true"`, text: mark}
		return piece{node: &node{tag: "mover", attributes: ` accent="true"`, children: []*node{n, over}}}, err
	}
	if p, ok := symbol(name); ok {
		return p, nil
	}
	return piece{}, r.fail(at, `look for its name in a table of TeX symbols, or write the words in \text{...}`, "%q is not a command that can be set", `\`+name)
}

// symbol gives a command without arguments.
func symbol(name string) (piece, bool) {
	if text, ok := letters[name]; ok {
		c := []rune(text)[0]
		return piece{node: letter(text, c == '∇' || unicode.Is(unicode.Greek, c) && unicode.IsUpper(c))}, true
	}
	if text, ok := signs[name]; ok {
		return piece{node: sign(text), kind: between}, true
	}
	if text, ok := large[name]; ok {
		n := &node{tag: "mo", attributes: ` largeop="true" movablelimits="true"`, text: text}
		return piece{node: n, kind: between, limits: !strings.HasSuffix(name, "int")}, true
	}
	if slices.Contains(functions, name) {
		return piece{node: letter(name, false), kind: function}, true
	}
	if slices.Contains(limiting, name) {
		return piece{node: letter(name, false), kind: function, limits: true}, true
	}
	return piece{}, false
}

// fraction reads \frac{...}{...}, or one that is large or small everywhere.
func (r *reader) fraction(at int, name string) (piece, error) {
	above, err := r.argument(at, `\`+name)
	if err != nil {
		return piece{}, err
	}
	below, err := r.argument(at, `\`+name)
	n := element("mfrac", above, below)
	switch name {
	case "dfrac":
		n.attributes = ` displaystyle="true"`
	case "tfrac":
		n.attributes = ` displaystyle="false"`
	}
	return piece{node: n}, err
}

// words reads \text{...}, or a name that is set upright.
func (r *reader) words(at int, name string) (piece, error) {
	r.spaces()
	if !r.ahead("{") {
		return piece{}, r.fail(at, "write its words in braces", "%q has nothing to go with", `\`+name)
	}
	start := r.at + 1
	text, length, bad := plainText(r.tex[start:])
	switch {
	case bad >= 0 && name == "mathrm":
		// more than a name: each letter for itself
		outside := r.upright
		r.upright = true
		n, err := r.argument(at, `\`+name)
		r.upright = outside
		return piece{node: n}, err
	case bad >= 0:
		return piece{}, r.fail(start+bad, "end the text before it, and begin another after it", "%q cannot stand in text", string(r.tex[start+bad]))
	case length < 0:
		return piece{}, r.fail(start-1, "close it with }", `"{" has no partner`)
	}
	r.at = start + length + 1
	plain := strings.TrimSpace(text)
	switch {
	case plain == "":
		return piece{}, r.fail(start-1, "write something between the braces", "%q has nothing in its braces", `\`+name)
	case name == "text":
		// A blank at either end would be dropped from the page.
		return piece{node: &node{tag: "mtext", text: strings.ReplaceAll(text, " ", "\u00a0")}}, nil
	case name == "operatorname":
		return piece{node: letter(plain, true), kind: function}, nil
	}
	return piece{node: letter(plain, true)}, nil
}

// plainText reads text up to its closing brace: it gives the text, its length
// in the source (-1 without a brace), and where something stands that is not
// text (-1 for nowhere).
func plainText(source string) (text string, length, bad int) {
	var b strings.Builder
	for i := 0; i < len(source); i++ {
		switch c := source[i]; c {
		case '}':
			return b.String(), i, -1
		case '\\':
			if i+1 < len(source) && strings.IndexByte(`%&#$_{} `, source[i+1]) >= 0 {
				i++
				b.WriteByte(source[i])
				continue
			}
			return "", 0, i
		case '~', '\n', '\t', '\r':
			b.WriteByte(' ')
		case '{', '$', '^', '_', '&', '#', '%':
			return "", 0, i
		default:
			b.WriteByte(c)
		}
	}
	return "", -1, -1
}

// root reads \sqrt{...} or \sqrt[...]{...}.
func (r *reader) root(at int) (piece, error) {
	r.spaces()
	var index []*node
	if r.ahead("[") {
		open := r.at
		r.at++
		var err error
		if index, err = r.list(untilSquare); err != nil {
			return piece{}, err
		}
		r.at++
		if len(index) == 0 {
			return piece{}, r.fail(open, "write the root's index between the brackets, or leave them out", `"\\sqrt" has nothing in its brackets`)
		}
	}
	n, err := r.argument(at, `\sqrt`)
	if index != nil {
		return piece{node: element("mroot", n, row(index))}, err
	}
	return piece{node: element("msqrt", n)}, err
}
