package math

import (
	"encoding/xml"
	"errors"
	"html"
	"io"
	"regexp"
	"slices"
	"strings"
)

// node is an element of MathML.
type node struct {
	tag        string
	attributes [][2]string
	text       string
	children   []*node
}

// elements that a page may get, all of MathML Core. Those in leaf hold text.
var elements = map[string]bool{
	"mrow": true, "mfrac": true, "msqrt": true, "mroot": true, "mspace": true, "mstyle": true,
	"msub": true, "msup": true, "msubsup": true, "munder": true, "mover": true, "munderover": true,
	"mtable": true, "mtr": true, "mtd": true, "mpadded": true,
	"mi": true, "mn": true, "mo": true, "mtext": true,
}

var leaf = map[string]bool{"mi": true, "mn": true, "mo": true, "mtext": true}

// attributes that a page may get, with the form of their values.
var attributes = map[string]*regexp.Regexp{
	"accent":        yesNo,
	"displaystyle":  yesNo,
	"fence":         yesNo,
	"largeop":       yesNo,
	"movablelimits": yesNo,
	"stretchy":      yesNo,
	"symmetric":     yesNo,
	"linethickness": regexp.MustCompile(`^0$`),
	"mathvariant":   regexp.MustCompile(`^normal$`),
	"width":         regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?em$`),
	"class":         regexp.MustCompile(`^math-(left|right)$`),
}

var yesNo = regexp.MustCompile(`^(true|false)$`)

var errLaid = errors.New("the layout holds something unexpected")

var entity = regexp.MustCompile(`&([A-Za-z]+);`)

// decode reads what the library laid out, with kept elements put in their
// places. Elements and attributes that are not on the lists above do not come
// through: the former are errors, the latter are left out.
func decode(laid string, all []kept) (*node, error) {
	d := xml.NewDecoder(strings.NewReader(laid))
	d.Entity = map[string]string{}
	for _, m := range entity.FindAllStringSubmatch(laid, -1) {
		d.Entity[m[1]] = html.UnescapeString(m[0])
	}
	root := &node{}
	stack := []*node{root}
	for {
		t, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		top := stack[len(stack)-1]
		switch t := t.(type) {
		case xml.StartElement:
			n, err := admit(t)
			if err != nil {
				return nil, err
			}
			top.children = append(top.children, n)
			stack = append(stack, n)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
			if err := top.settle(all); err != nil {
				return nil, err
			}
		case xml.CharData:
			top.text += string(t)
		default:
			return nil, errLaid
		}
	}
	if len(root.children) != 1 || strings.TrimSpace(root.text) != "" {
		return nil, errLaid
	}
	return root.children[0], nil
}

func admit(t xml.StartElement) (*node, error) {
	n := &node{tag: t.Name.Local}
	if n.tag == "none" {
		n.tag = "mrow" // an empty place, by its name in MathML Core
	}
	if !elements[n.tag] || t.Name.Space != "" {
		return nil, errLaid
	}
	for _, a := range t.Attr {
		name, value := a.Name.Local, a.Value
		if name == "style" && n.tag == "mtd" {
			name, value = "class", cellClass(value)
		}
		if name == "movablelimits" && n.tag != "mo" {
			continue
		}
		if form := attributes[name]; form != nil && a.Name.Space == "" && form.MatchString(value) {
			n.attributes = append(n.attributes, [2]string{name, value})
		}
	}
	return n, nil
}

// cellClass makes a class of how the library aligns a cell.
func cellClass(style string) string {
	for _, side := range []string{"left", "right"} {
		if strings.Contains(style, "text-align:"+side) {
			return "math-" + side
		}
	}
	return ""
}

// settle sees to an element that is complete.
func (n *node) settle(all []kept) error {
	if !leaf[n.tag] {
		if strings.TrimSpace(n.text) != "" {
			return errLaid
		}
		n.text = ""
		n.unwrap()
		return nil
	}
	if len(n.children) > 0 {
		return errLaid
	}
	for _, c := range n.text {
		if c < firstKept || c > lastKept {
			continue
		}
		i := int(c - firstKept)
		if n.text != string(c) || i >= len(all) {
			return errLaid
		}
		n.tag, n.text = all[i].tag, all[i].text
		n.attributes = slices.Clone(all[i].attributes)
	}
	return nil
}

// unwrap takes away rows that do nothing: those around one element, and the
// one that parts an opening bracket from its content and closing bracket.
func (n *node) unwrap() {
	for i, c := range n.children {
		if c.tag == "mrow" && len(c.children) == 1 {
			n.children[i] = c.children[0]
		}
	}
	if n.tag != "mrow" || len(n.children) != 2 {
		return
	}
	first, rest := n.children[0], n.children[1]
	if first.tag == "mo" && rest.tag == "mrow" && len(rest.children) > 0 && rest.children[len(rest.children)-1].tag == "mo" {
		n.children = append([]*node{first}, rest.children...)
	}
}

// sameLeaves says whether the leaves of a layout are those that were read, in
// the same order.
func sameLeaves(root *node, want []string) bool {
	var found []string
	root.walk(func(n *node) {
		if leaf[n.tag] {
			found = append(found, n.text)
		}
	})
	return slices.EqualFunc(found, want, func(a, b string) bool { return a == b || b == "" && a != "" })
}

func (n *node) walk(f func(*node)) {
	f(n)
	for _, c := range n.children {
		c.walk(f)
	}
}

// write writes an element, its attributes in the order of their names.
func (n *node) write(b *strings.Builder) {
	b.WriteString("<" + n.tag)
	slices.SortFunc(n.attributes, func(a, b [2]string) int { return strings.Compare(a[0], b[0]) })
	for _, a := range n.attributes {
		b.WriteString(" " + a[0] + `="` + escape(a[1]) + `"`)
	}
	if n.text == "" && len(n.children) == 0 && !leaf[n.tag] && n.tag != "mrow" && n.tag != "mtd" {
		b.WriteString("></" + n.tag + ">")
		return
	}
	b.WriteString(">" + escape(n.text))
	for _, c := range n.children {
		c.write(b)
	}
	b.WriteString("</" + n.tag + ">")
}

// escape makes text fit for an element or an attribute of XML.
func escape(s string) string {
	var b strings.Builder
	// A strings.Builder takes all that is written to it.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
