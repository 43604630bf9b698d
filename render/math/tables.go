package math

import (
	"maps"
	"slices"
	"strings"
)

// bracket is one that can grow, as it is written and as it is drawn.
type bracket struct{ tex, sign string }

var (
	opening = []bracket{{"(", "("}, {"[", "["}, {"|", "|"}, {`\{`, "{"}, {`\|`, "‖"}, {`\langle`, "⟨"}, {`\lfloor`, "⌊"}, {`\lceil`, "⌈"}, {".", ""}}
	shut    = []bracket{{")", ")"}, {"]", "]"}, {"|", "|"}, {`\}`, "}"}, {`\|`, "‖"}, {`\rangle`, "⟩"}, {`\rfloor`, "⌋"}, {`\rceil`, "⌉"}, {".", ""}}
)

// enclosed puts brackets around a node, which grow with that node alone. "" is
// no bracket.
func enclosed(left string, n *node, right string) *node {
	if left == "" && right == "" {
		return n
	}
	out := element("mrow")
	if left != "" {
		out.children = append(out.children, fence(left))
	}
	out.children = append(out.children, n)
	if right != "" {
		out.children = append(out.children, fence(right))
	}
	return out
}

// fenced reads \left( ... \right).
func (r *reader) fenced(at int) (piece, error) {
	left, err := r.bracket(at, opening)
	if err != nil {
		return piece{}, err
	}
	all, err := r.list(untilRight)
	if err != nil {
		return piece{}, err
	}
	if len(all) == 0 {
		return piece{}, r.fail(at, `write plain brackets for an empty pair`, `there is nothing between "\\left" and "\\right"`)
	}
	to := r.at
	r.at += len(`\right`)
	right, err := r.bracket(to, shut)
	return piece{node: enclosed(left, row(all), right), kind: closing}, err
}

// bracket reads the bracket after \left or \right; "" is none at all.
func (r *reader) bracket(at int, known []bracket) (sign string, err error) {
	r.spaces()
	name, size := r.word()
	var all []string
	for _, b := range known {
		if r.ahead(b.tex) && (size == 0 || b.tex == `\`+name) {
			r.at += len(b.tex)
			return b.sign, nil
		}
		all = append(all, b.tex)
	}
	return "", r.fail(at, "write one of "+strings.Join(all, " "), "no bracket that can grow stands after %q", r.tex[at:r.at])
}

// environment is a table: the brackets around it, the classes of its columns,
// over and over, and its attributes.
type environment struct {
	left, right string
	columns     []string
	attributes  string
}

var environments = map[string]environment{
	"matrix":  {},
	"pmatrix": {left: "(", right: ")"},
	"bmatrix": {left: "[", right: "]"},
	"vmatrix": {left: "|", right: "|"},
	"cases":   {left: "{", columns: []string{"left"}},
	"aligned": {columns: []string{"right", "left"}, attributes: ` displaystyle="true"`},
}

// table reads \begin{...} ... \end{...}.
func (r *reader) table(at int) (piece, error) {
	name, err := r.environment(at, `\begin`)
	if err != nil {
		return piece{}, err
	}
	env, ok := environments[name]
	if !ok {
		known := strings.Join(slices.Sorted(maps.Keys(environments)), ", ")
		return piece{}, r.fail(at, "known are "+known, "%q is not a table that can be set", name)
	}
	line := element("mtr")
	out := &node{tag: "mtable", attributes: env.attributes, children: []*node{line}}
	empty := true
	for {
		all, err := r.list(untilCell)
		if err != nil {
			return piece{}, err
		}
		empty = empty && len(all) == 0
		cell := element("mtd", all...)
		if n := len(env.columns); n > 0 {
			cell.attributes = ` class="math-` + env.columns[len(line.children)%n] + `"`
		}
		line.children = append(line.children, cell)
		if r.ahead("&") {
			r.at++
			continue
		}
		sep, size := r.word()
		to := r.at
		r.at += size
		if sep == `\` {
			r.spaces()
			if r.ahead("[") || r.ahead("*") {
				return piece{}, r.fail(r.at, "leave it out; lines stand at even distances", "the space after a line cannot be set")
			}
			line = element("mtr")
			out.children = append(out.children, line)
			continue
		}
		closes, err := r.environment(to, `\end`)
		switch {
		case err != nil:
			return piece{}, err
		case closes != name:
			return piece{}, r.fail(to, "close tables in the order in which they were opened", "%q closes the table %q", `\end{`+closes+"}", name)
		case empty:
			return piece{}, r.fail(at, "write something into its cells", "the table %q is empty", name)
		}
		return piece{node: enclosed(env.left, out, env.right), kind: closing}, nil
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
