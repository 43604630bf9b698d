package math

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// nucleus reads one piece without scripts.
func (r *reader) nucleus() (piece, error) {
	at := r.at
	c, size := utf8.DecodeRuneInString(r.tex[at:])
	switch {
	case c == '\\':
		return r.command()
	case c == '{':
		r.at++
		p, err := r.list(untilBrace)
		if err != nil {
			return piece{}, err
		}
		r.at++
		if p.tex == "" {
			return r.keep(kept{tag: "mrow"}, ordinary)
		}
		return piece{"{" + p.tex + "}", p.leaves, ordinary}, nil
	case c == '^' || c == '_' || c == '\'':
		return piece{}, r.fail(at, "write the letter that it belongs to before it, or {} for none", "%q has nothing before it", string(c))
	case strings.ContainsRune("}&#$%\"`", c):
		return piece{}, r.misplaced(at, c)
	case c >= '0' && c <= '9':
		return r.number(r.digits())
	}
	r.at += size
	switch {
	case unicode.IsLetter(c):
		return piece{string(c), []string{""}, ordinary}, nil
	case c == '~':
		return r.keep(kept{tag: "mspace", attributes: [][2]string{{"width", "0.25em"}}}, between)
	case strings.ContainsRune("([", c):
		return r.keep(kept{"mo", string(c), [][2]string{{"stretchy", "false"}}}, between)
	case strings.ContainsRune(")]", c):
		return r.keep(kept{"mo", string(c), [][2]string{{"stretchy", "false"}}}, closing)
	case c == '|':
		return r.keep(bar("|"), closing)
	case c == '-':
		return r.keep(kept{tag: "mo", text: "\u2212"}, between)
	case c == '*':
		return r.keep(kept{tag: "mo", text: "\u2217"}, between)
	case unicode.IsNumber(c):
		return r.keep(kept{tag: "mn", text: string(c)}, ordinary)
	case unicode.IsMark(c):
		return piece{}, r.fail(at, `write accents as commands, such as \bar{x}`, "the accent U+%04X has no letter of its own", c)
	}
	return r.keep(kept{tag: "mo", text: string(c)}, between)
}

// bar is an upright line, which may open as well as close; so that it has no
// space at either side.
func bar(text string) kept {
	return kept{"mo", text, [][2]string{{"lspace", "0"}, {"rspace", "0"}, {"stretchy", "false"}}}
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
		case !pointed && strings.HasPrefix(rest, "{,}") && digit(i+3) && r.face == 0:
			pointed = true
			i += 3
		default:
			return i
		}
	}
}

// number takes a number that ends before a byte.
func (r *reader) number(end int) (piece, error) {
	text := r.tex[r.at:end]
	r.at = end
	if r.face > 0 { // the library has the digits of other alphabets
		return piece{text, []string{""}, ordinary}, nil
	}
	return r.keep(kept{tag: "mn", text: strings.Replace(text, "{,}", ",", 1)}, ordinary)
}

// command reads a command with its arguments.
func (r *reader) command() (piece, error) {
	at := r.at
	name, size := r.word()
	if name == "" {
		return piece{}, r.fail(at, "remove it", "a backslash ends the formula")
	}
	r.at += size
	if width, ok := spaces[name]; ok {
		return r.keep(kept{tag: "mspace", attributes: [][2]string{{"width", width}}}, between)
	}
	if text, ok := signs[name]; ok {
		switch name {
		case "|":
			return r.keep(bar(text), closing)
		case "}":
			return r.keep(kept{"mo", text, [][2]string{{"stretchy", "false"}}}, closing)
		}
		return r.keep(kept{"mo", text, [][2]string{{"stretchy", "false"}}}, between)
	}
	switch name {
	case "text", "mathrm", "operatorname":
		return r.upright(at, name)
	case "sqrt":
		return r.root(at)
	case "left":
		return r.fenced(at)
	case "begin":
		return r.table(at)
	case `\`:
		return piece{}, r.fail(at, `put the lines into \begin{aligned} ... \end{aligned}`, `"\\\\" cannot stand here`)
	case "right", "end":
		return piece{}, r.fail(at, "remove it", "%q has no partner", `\`+name)
	}
	if hint, ok := refused[name]; ok {
		return piece{}, r.fail(at, hint, "%q cannot be set", `\`+name)
	}
	if s, ok := withArguments[name]; ok {
		return r.applied(at, name, s)
	}
	return r.symbol(at, name)
}

// applied reads the arguments of a command that the library knows.
func (r *reader) applied(at int, name string, s arguments) (piece, error) {
	out := piece{tex: `\` + name, kind: s.kind}
	var read []piece
	if strings.HasPrefix(name, "math") || name == "boldsymbol" {
		if r.face > 0 {
			return piece{}, r.fail(at, "choose one of the two", "%q cannot stand inside another alphabet", `\`+name)
		}
		r.face++
		defer func() { r.face-- }()
	}
	for range s.count {
		p, err := r.argument(at, `\`+name)
		if err != nil {
			return piece{}, err
		}
		out.tex += "{" + p.tex + "}"
		read = append(read, p)
	}
	out.leaves = s.leaves(read)
	// In braces, so that nothing that follows can be drawn in.
	out.tex = "{" + out.tex + "}"
	return out, nil
}

// upright reads words: \text{...}, or a name that is set upright.
func (r *reader) upright(at int, name string) (piece, error) {
	r.spaces()
	if !r.ahead("{") {
		return piece{}, r.fail(at, "write its words in braces", "%q has nothing to go with", `\`+name)
	}
	start := r.at + 1
	text, length, bad := plainText(r.tex[start:])
	switch {
	case bad >= 0 && name != "text":
		// more than a name: each letter for itself
		return r.applied(at, "mathrm", withArguments["mathbf"])
	case bad >= 0:
		return piece{}, r.fail(start+bad, "end the text before it, and begin another after it", "%q cannot stand in text", string(r.tex[start+bad]))
	case length < 0:
		return piece{}, r.fail(start-1, "close it with }", `"{" has no partner`)
	}
	r.at = start + length + 1
	if strings.TrimSpace(text) == "" {
		return piece{}, r.fail(start-1, "write something between the braces", "%q has nothing in its braces", `\`+name)
	}
	if name == "text" {
		// A blank at either end would be dropped from the page.
		return r.keep(kept{tag: "mtext", text: strings.ReplaceAll(text, " ", "\u00a0")}, ordinary)
	}
	k := kept{tag: "mi", text: strings.TrimSpace(text)}
	if len([]rune(k.text)) == 1 {
		k.attributes = [][2]string{{"mathvariant", "normal"}}
	}
	if name == "operatorname" {
		return r.keep(k, function)
	}
	return r.keep(k, ordinary)
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
	var index piece
	if r.ahead("[") {
		open := r.at
		r.at++
		var err error
		if index, err = r.list(untilSquare); err != nil {
			return piece{}, err
		}
		r.at++
		if index.tex == "" {
			return piece{}, r.fail(open, "write the root's index between the brackets, or leave them out", `"\\sqrt" has nothing in its brackets`)
		}
	}
	p, err := r.argument(at, `\sqrt`)
	if err != nil {
		return piece{}, err
	}
	if index.tex == "" {
		return piece{`{\sqrt{` + p.tex + "}}", p.leaves, ordinary}, nil
	}
	return piece{`{\sqrt[{` + index.tex + "}]{" + p.tex + "}}", append(p.leaves, index.leaves...), ordinary}, nil
}

// fenced reads \left( ... \right).
func (r *reader) fenced(at int) (piece, error) {
	left, leftLeaf, err := r.fence(at, openingFences)
	if err != nil {
		return piece{}, err
	}
	p, err := r.list(untilRight)
	if err != nil {
		return piece{}, err
	}
	if p.tex == "" {
		return piece{}, r.fail(at, `write plain brackets for an empty pair`, `there is nothing between "\\left" and "\\right"`)
	}
	to := r.at
	r.at += len(`\right`)
	right, rightLeaf, err := r.fence(to, closingFences)
	if err != nil {
		return piece{}, err
	}
	leaves := append(leftLeaf, p.leaves...)
	// In braces, so that the brackets grow with what is between them alone.
	return piece{`{\left` + left + " " + p.tex + `\right` + right + " }", append(leaves, rightLeaf...), closing}, nil
}

// fence reads the bracket after \left or \right, in the library's form.
func (r *reader) fence(at int, known []string) (tex string, leaf []string, err error) {
	r.spaces()
	for _, f := range known {
		if r.ahead(f) && !(f[0] == '\\' && letterAtEnd(f) && letterAtStart(r.tex[r.at+len(f):])) {
			r.at += len(f)
			if f == "." {
				return f, nil, nil
			}
			return f, []string{""}, nil
		}
	}
	return "", nil, r.fail(at, "write one of "+strings.Join(known, " "), "no bracket that can grow stands after %q", r.tex[at:r.at])
}

// table reads \begin{...} ... \end{...}.
func (r *reader) table(at int) (piece, error) {
	name, err := r.environment(at, `\begin`)
	if err != nil {
		return piece{}, err
	}
	env, ok := environments[name]
	if !ok {
		return piece{}, r.fail(at, "known are "+environmentNames(), "%q is not a table that can be set", name)
	}
	out := piece{tex: `{\begin{` + name + "}", kind: closing}
	for range env.left {
		out.leaves = append(out.leaves, "")
	}
	if name == "array" {
		columns, err := r.columns(at)
		if err != nil {
			return piece{}, err
		}
		out.tex += "{" + columns + "}"
	}
	out.tex += "{}" // the library loses the content of a table with one letter
	empty := true
	for {
		cell, err := r.list(untilCell)
		if err != nil {
			return piece{}, err
		}
		empty = empty && cell.tex == ""
		out.tex += cell.tex
		out.leaves = append(out.leaves, cell.leaves...)
		sep, size := r.word()
		switch {
		case r.ahead("&"):
			r.at++
			out.tex += "&"
			continue
		case sep == `\`:
			r.at += size
			out.tex += `\\ `
			r.spaces()
			if r.ahead("[") || r.ahead("*") {
				return piece{}, r.fail(r.at, "leave it out; lines stand at even distances", "the space after a line cannot be set")
			}
			continue
		}
		r.at += size
		to := r.at - size
		closes, err := r.environment(to, `\end`)
		if err != nil {
			return piece{}, err
		}
		if closes != name {
			return piece{}, r.fail(to, "close tables in the order in which they were opened", "%q closes the table %q", `\end{`+closes+"}", name)
		}
		if empty {
			return piece{}, r.fail(at, "write something into its cells", "the table %q is empty", name)
		}
		for range env.right {
			out.leaves = append(out.leaves, "")
		}
		out.tex += `\end{` + name + "}}"
		return out, nil
	}
}

// environment reads the name in braces after \begin or \end.
func (r *reader) environment(at int, after string) (string, error) {
	r.spaces()
	close := strings.IndexByte(r.tex[r.at:], '}')
	if !r.ahead("{") || close < 0 {
		return "", r.fail(at, "write its name in braces, such as "+after+"{aligned}", "%q has no name", after)
	}
	name := r.tex[r.at+1 : r.at+close]
	r.at += close + 1
	return name, nil
}

// columns reads the columns of an array, each l, c or r.
func (r *reader) columns(at int) (string, error) {
	r.spaces()
	close := strings.IndexByte(r.tex[r.at:], '}')
	if !r.ahead("{") || close < 2 {
		return "", r.fail(at, `say how its columns stand, such as \begin{array}{lr}`, "the array has no columns")
	}
	columns := r.tex[r.at+1 : r.at+close]
	if bad := strings.Trim(columns, "lcr"); bad != "" || len(columns) > 20 {
		return "", r.fail(r.at+1, "write l, c or r for each column, 20 at most", "the columns %q cannot be set", short(columns))
	}
	r.at += close + 1
	return columns, nil
}
