package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/net/html"

	"slipring/engine/sweeptest"
)

// hostileWords is what an author could write to make more of it than words:
// elements that end those around them, attributes, comments and other parts of
// a page that hold no words, templates, formulas of spreadsheets, and programs
// in the place of links. None holds a digit, which the words of a claim cannot,
// or brackets and commas, of which files of readings make something else.
func hostileWords() map[string]string {
	return map[string]string{
		"elements":   `</title> </script> </style> </svg> <script> x=y </script>`,
		"attributes": `"> <img src=x onerror=x> ' onload= 'x' style= 'a:b`,
		"comments":   "<!-- ]]> <svg onload=x> {{.House}} &amp; ${x} \u2028 <![CDATA[ <?x",
		"programs":   `=cmd|' /C x'!A ;=x+y ;@x;-x javascript:x`,
	}
}

// TestMarkupStaysText publishes the same lessons several times: with plain
// words, and with markup and script in their place, wherever an author can
// write. The pages must have the same elements with the same attributes, so
// that nothing of it is live, and the words must stand in them to be read: the
// golden file says on which pages those of each place are.
func TestMarkupStaysText(t *testing.T) {
	places := slices.Sorted(maps.Keys(markupPlaces(t)))
	hostile := hostileWords()
	for _, name := range sweeptest.Sample(t, slices.Sorted(maps.Keys(hostile)), 2) {
		words := hostile[name]
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			plain := publishWith(t, harmless(words))
			live := publishWith(t, words)
			if a, b := len(plain), len(live); a != b {
				t.Errorf("%d files became %d", a, b)
			}
			found := map[string]map[string]bool{} // by place, the kinds of pages
			for file, content := range live {
				stands, cells, ok := "", "", true // all that a reader can find in it
				switch filepath.Ext(file) {
				case ".html":
					compare(t, file, plain[file], content)
					stands, cells = inPage(t, file, content)
				case ".csv":
					stands = inCSV(t, file, content)
				case ".json":
					stands, ok = inJSON(content)
				}
				if !ok {
					t.Errorf("%s is no JSON", file)
				}
				stands, cells = bare(stands), bare(cells)
				for _, place := range places {
					in := stands
					if place == "comment" { // what cells tell stands in their code anyway
						in = cells
					}
					if strings.Contains(in, bare(read(place, words))) {
						if found[place] == nil {
							found[place] = map[string]bool{}
						}
						found[place][kindOfPage(file)] = true
					}
				}
			}
			var table strings.Builder
			for _, place := range places {
				fmt.Fprintf(&table, "%s: %s\n", place, strings.Join(slices.Sorted(maps.Keys(found[place])), ", "))
			}
			golden(t, filepath.Join(root, "cmd", "slipring", "testdata", "markup.want"), table.String())
		})
	}
}

// kindOfPage gives what sort of file one is: the folders of a page and which of
// several it is there, without its language and its lesson; or the ending of
// other files.
func kindOfPage(file string) string {
	file = filepath.ToSlash(file)
	ext := filepath.Ext(file)
	if ext != ".html" {
		return strings.TrimPrefix(ext, ".")
	}
	kind := strings.TrimSuffix(strings.TrimSuffix(file, ".html"), ".fr")
	if folder, name, ok := strings.Cut(kind, "/"); ok {
		name = strings.TrimSuffix(strings.TrimSuffix(name, "fr"), "index")
		kind = folder + " " + regexp.MustCompile(`^(a|b)\b`).ReplaceAllString(name, "lesson")
	} else {
		kind = "start"
	}
	return strings.TrimRight(kind, " /")
}

// harmless gives words of the same shape, in which letters stand in the place
// of signs.
func harmless(words string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsSpace(r) {
			return r
		}
		return 'o'
	}, words)
}

// compare says where two pages differ in their elements.
func compare(t *testing.T, file, plain, live string) {
	t.Helper()
	a, b := skeleton(t, plain), skeleton(t, live)
	if a == b {
		return
	}
	at := 0
	for at < min(len(a), len(b)) && a[at] == b[at] {
		at++
	}
	t.Errorf("%s has other elements: %.200q became %.200q", file, a[max(at-60, 0):], b[max(at-60, 0):])
}

// skeleton gives the elements of a page with the names of their attributes, and
// all else in it that is no text. Spans are left out: they break long labels
// and colour code by its words.
func skeleton(t *testing.T, page string) string {
	t.Helper()
	root, err := html.ParseWithOptions(strings.NewReader(page), html.ParseOptionEnableScripting(false))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for n := range root.Descendants() {
		switch {
		case n.Type == html.TextNode, n.Type == html.ElementNode && (n.Data == "span" || n.Data == "tspan"):
			continue
		case n.Type != html.ElementNode:
			fmt.Fprintf(&b, "node of type %d\n", n.Type)
			continue
		}
		line := "<" + n.Namespace + " " + n.Data
		for _, a := range n.Attr {
			line += " " + a.Key
		}
		if line += ">\n"; n.Data != "text" || !strings.HasSuffix(b.String(), line) { // the lines of a label
			b.WriteString(line)
		}
	}
	return b.String()
}

// leads are the attributes that lead a browser elsewhere, or run something.
var leads = regexp.MustCompile(`^(href|src|srcset|action|formaction|data|poster|cite|ping|background|style|on.*|.*:href)$`)

// inCell says whether a node stands in the code of a cell, where all that cells
// tell can be read anyway.
func inCell(n *html.Node) bool {
	for p := range n.Ancestors() {
		if p.Data == "details" && slices.ContainsFunc(p.Attr, func(a html.Attribute) bool { return a.Key == "class" && a.Val == "cell" }) {
			return true
		}
	}
	return false
}

// inPage gives the text and the attributes of a page, and apart from them the
// code of its cells. It complains of links
// that lead where they should not, and of data for scripts that they could not
// read.
func inPage(t *testing.T, file, page string) (stands, cells string) {
	t.Helper()
	root, err := html.ParseWithOptions(strings.NewReader(page), html.ParseOptionEnableScripting(false))
	if err != nil {
		t.Fatal(err)
	}
	var b, code strings.Builder
	for n := range root.Descendants() {
		if n.Type == html.TextNode && inCell(n) {
			code.WriteString(n.Data)
			continue
		}
		if n.Type == html.TextNode {
			b.WriteString(n.Data)
			b.WriteString("\n")
			if p := n.Parent; p.Data == "script" {
				data, ok := inJSON(n.Data)
				if !ok {
					t.Errorf("%s: a script of %.100q", file, n.Data)
				}
				b.WriteString(data)
			}
		}
		for _, a := range n.Attr {
			b.WriteString(a.Val + "\n")
			if !leads.MatchString(a.Key) {
				continue
			}
			to := strings.ToLower(bare(a.Val))
			scheme, _, ok := strings.Cut(to, ":")
			switch {
			case ok && !strings.ContainsAny(scheme, "/?#") && !slices.Contains([]string{"http", "https", "mailto", "tel"}, scheme),
				a.Key == "style", strings.HasPrefix(a.Key, "on"):
				t.Errorf("%s: <%s %s=%q>", file, n.Data, a.Key, a.Val)
			}
			if plain, err := url.PathUnescape(a.Val); err == nil {
				b.WriteString(plain + "\n")
			}
		}
	}
	return b.String(), code.String()
}

// inJSON gives all strings of a file of JSON; false when it is none.
func inJSON(content string) (string, bool) {
	var data any
	err := json.Unmarshal([]byte(content), &data)
	return fmt.Sprintln(data), err == nil
}

// inCSV gives the fields of a CSV file without the apostrophes that keep a
// spreadsheet from taking words for formulas. It complains of fields that it
// would take for one, in countries where commas part fields and in those where
// semicolons do.
func inCSV(t *testing.T, file, content string) string {
	t.Helper()
	var b strings.Builder
	for _, comma := range ",;\t" {
		r := csv.NewReader(strings.NewReader(content))
		r.Comma, r.FieldsPerRecord, r.LazyQuotes = comma, -1, comma != ','
		rows, err := r.ReadAll()
		if err != nil {
			t.Errorf("%s, parted at %q: %v", file, comma, err)
		}
		for _, field := range slices.Concat(rows...) {
			_, err := strconv.ParseFloat(field, 64)
			if begin := strings.TrimLeft(field, "\t\r\n \u00a0"); err != nil && begin != "" && strings.ContainsRune("=+-@", rune(begin[0])) && comma != '\t' {
				t.Errorf("%s, parted at %q: the formula %q", file, comma, field)
			}
			if comma == ',' {
				b.WriteString(strings.TrimPrefix(strings.ReplaceAll(field, ";'", ";"), "'") + "\n")
			}
		}
	}
	return b.String()
}
