package site

import (
	"path"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"slipring/site/publish"
)

// document is one page of a tree, read as a browser does.
type document struct {
	path string
	root *html.Node
	ids  map[string]bool
}

func documents(t *testing.T, tree publish.Tree) map[string]*document {
	t.Helper()
	out := map[string]*document{}
	for name, content := range tree {
		if path.Ext(name) != ".html" {
			continue
		}
		root, err := html.ParseWithOptions(strings.NewReader(string(content)), html.ParseOptionEnableScripting(false)) // with what only pages without scripts show
		if err != nil {
			t.Fatal(err)
		}
		d := &document{name, root, map[string]bool{}}
		for n := range root.Descendants() {
			if id := attr(n, "id"); id != "" {
				if d.ids[id] {
					t.Errorf("%s: the identifier %q stands twice", name, id)
				}
				d.ids[id] = true
			}
		}
		out[name] = d
	}
	if len(out) < 10 {
		t.Fatalf("only %d pages were found", len(out))
	}
	return out
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func (d *document) tags(tag string) []*html.Node {
	var out []*html.Node
	for n := range d.root.Descendants() {
		if n.Type == html.ElementNode && n.Data == tag {
			out = append(out, n)
		}
	}
	return out
}

func (d *document) class(class string) []*html.Node {
	var out []*html.Node
	for n := range d.root.Descendants() {
		if n.Type == html.ElementNode && slices.Contains(strings.Fields(attr(n, "class")), class) {
			out = append(out, n)
		}
	}
	return out
}

func text(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
