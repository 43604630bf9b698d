package math

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"github.com/wyatt915/treeblood"
)

// spaces, in em, as TeX has them (18 mu to the em).
var spaces = map[string]string{
	",": "0.1667em", ":": "0.2222em", ";": "0.2778em", "!": "-0.1667em", " ": "0.25em",
	"quad": "1em", "qquad": "2em",
}

// signs that are commands since TeX has another use for the plain character
var signs = map[string]string{
	"%": "%", "#": "#", "&": "&", "$": "$", "_": "_", "{": "{", "}": "}", "|": "‖",
}

// brackets that can grow with what they enclose
var (
	openingFences = []string{"(", "[", "|", `\{`, `\|`, `\langle`, `\lfloor`, `\lceil`, "."}
	closingFences = []string{")", "]", "|", `\}`, `\|`, `\rangle`, `\rfloor`, `\rceil`, "."}
)

// arguments says how many arguments a command has and which leaves come of
// them.
type arguments struct {
	count  int
	kind   kind
	leaves func(read []piece) []string
}

var withArguments = map[string]arguments{
	"frac": {2, ordinary, inOrder}, "dfrac": {2, ordinary, inOrder}, "tfrac": {2, ordinary, inOrder}, "cfrac": {2, ordinary, inOrder},
	"binom": {2, closing, bracketed}, "tbinom": {2, closing, bracketed},
	"overset": {2, between, turned}, "underset": {2, between, turned},
	"overbrace": {1, ordinary, marked}, "underbrace": {1, ordinary, marked},
	"hat": {1, ordinary, marked}, "bar": {1, ordinary, marked}, "vec": {1, ordinary, marked},
	"dot": {1, ordinary, marked}, "ddot": {1, ordinary, marked}, "tilde": {1, ordinary, marked},
	"overline": {1, ordinary, marked}, "underline": {1, ordinary, marked},
	"widehat": {1, ordinary, marked}, "widetilde": {1, ordinary, marked},
	"mathbf": {1, ordinary, inOrder}, "boldsymbol": {1, ordinary, inOrder}, "mathbb": {1, ordinary, inOrder},
	"mathcal": {1, ordinary, inOrder}, "mathscr": {1, ordinary, inOrder}, "mathfrak": {1, ordinary, inOrder},
	"mathit": {1, ordinary, inOrder}, "mathsf": {1, ordinary, inOrder}, "mathtt": {1, ordinary, inOrder},
}

func inOrder(read []piece) []string {
	var out []string
	for _, p := range read {
		out = append(out, p.leaves...)
	}
	return out
}

// bracketed stands in brackets.
func bracketed(read []piece) []string { return append(append([]string{""}, inOrder(read)...), "") }

// turned has its second argument first.
func turned(read []piece) []string {
	return append(slices.Clone(read[1].leaves), read[0].leaves...)
}

// marked has a mark above or below.
func marked(read []piece) []string { return append(inOrder(read), "") }

// refused commands are known to TeX, and to the library in part, but cannot be
// set here; each with what to do instead.
var refused = map[string]string{
	"newcommand": "write the formula out; commands cannot be defined", "renewcommand": "write the formula out; commands cannot be defined",
	"def": "write the formula out; commands cannot be defined", "let": "write the formula out; commands cannot be defined",
	"over": `write \frac{...}{...}`, "atop": `write \binom or \frac`, "choose": `write \binom{...}{...}`,
	"big": `write \left and \right`, "Big": `write \left and \right`, "bigg": `write \left and \right`, "Bigg": `write \left and \right`,
	"bigl": `write \left and \right`, "Bigl": `write \left and \right`, "biggl": `write \left and \right`, "Biggl": `write \left and \right`,
	"bigr": `write \left and \right`, "Bigr": `write \left and \right`, "biggr": `write \left and \right`, "Biggr": `write \left and \right`,
	"middle": "write a plain bar", "limits": "leave it out", "nolimits": "leave it out",
	"not": `write the negated sign itself, such as \neq`, "color": "leave colours to the page", "textcolor": "leave colours to the page",
	"href": "put the link into the text", "class": "leave it out", "tag": "number the formula in the text",
	"mbox": `write \text{...}`, "textrm": `write \text{...}`, "rm": `write \mathrm{...}`, "bf": `write \mathbf{...}`,
	"cr": `write \\`, "hline": "leave it out", "displaystyle": `write \dfrac for a large fraction`,
}

// environment is a table: how many brackets it draws at either side.
type environment struct{ left, right int }

var environments = map[string]environment{
	"matrix": {}, "pmatrix": {1, 1}, "bmatrix": {1, 1}, "Bmatrix": {1, 1}, "vmatrix": {1, 1}, "Vmatrix": {1, 1},
	"cases": {1, 0}, "aligned": {}, "array": {},
}

func environmentNames() string {
	return strings.Join(slices.Sorted(maps.Keys(environments)), ", ")
}

// symbol takes a command without arguments, if the library knows it as one
// sign. It is asked with nothing around it.
func (r *reader) symbol(at int, name string) (piece, error) {
	unknown := r.fail(at, `look for its name in a table of TeX symbols, or write the words in \text{...}`, "%q is not a command that can be set", `\`+name)
	for _, c := range name {
		if c > unicode.MaxASCII || !unicode.IsLetter(c) {
			return piece{}, unknown
		}
	}
	laid, err := treeblood.NewPitziil().SemanticsOnly(`\` + name)
	if err != nil {
		return piece{}, unknown
	}
	n, err := decode(laid, nil)
	if err != nil || n.tag != "mrow" || len(n.children) != 1 {
		return piece{}, unknown
	}
	sign := n.children[0]
	if !leaf[sign.tag] || strings.TrimSpace(sign.text) == "" || len([]rune(sign.text)) > 8 {
		return piece{}, unknown
	}
	p := piece{`\` + name, []string{""}, ordinary}
	switch {
	case sign.tag == "mi" && len(sign.text) > 1 && sign.text == strings.Map(plainLetter, sign.text):
		p.kind = function
	case sign.tag == "mo":
		p.kind = between
	}
	return p, nil
}

func plainLetter(c rune) rune {
	if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' {
		return c
	}
	return -1
}
