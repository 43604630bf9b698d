package page

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"slipring/engine/lesson"
	"slipring/engine/sweeptest"
)

// example of the CommonMark specification
type example struct {
	number         int
	section        string
	markdown, html string
}

// TestCommonMark holds HTML against all examples of the CommonMark
// specification 0.31.2 (John MacFarlane, spec.commonmark.org/0.31.2, whose
// text spec.txt holds them; the npm package commonmark-spec has it).
// SLIPRING_COMMONMARK names the folder of that file. Examples listed in
// testdata/commonmark-exceptions.txt have to differ, each for the reason given
// there.
func TestCommonMark(t *testing.T) {
	folder := os.Getenv("SLIPRING_COMMONMARK")
	if folder == "" {
		sweeptest.Missing(t, "commonmark", "SLIPRING_COMMONMARK does not name the folder of spec.txt")
	}
	examples := readSpec(t, filepath.Join(folder, "spec.txt"))
	if len(examples) != 652 {
		t.Fatalf("found %d examples in the specification, not 652", len(examples))
	}
	exceptions := readExceptions(t)
	for _, e := range examples {
		got := HTML(lesson.Markdown([]byte(e.markdown)))
		reason, excepted := exceptions[e.number]
		switch {
		case got == e.html && excepted:
			t.Errorf("example %d is as the specification has it; take it off the exceptions (%s)", e.number, reason)
		case got != e.html && !excepted:
			t.Errorf("example %d (%s):\n%s\ngives\n%s\nnot\n%s", e.number, e.section, e.markdown, got, e.html)
		}
		delete(exceptions, e.number)
		if got := withRawHTML(lesson.Markdown([]byte(e.markdown))); got != e.html {
			t.Errorf("example %d (%s):\n%s\nwith raw HTML let through gives\n%s\nnot\n%s", e.number, e.section, e.markdown, got, e.html)
		}
	}
	for n := range exceptions {
		t.Errorf("the exceptions name an example %d, which is not in the specification", n)
	}
}

// withRawHTML prints as HTML does, but lets the author's HTML through, so that
// nothing hides behind the exceptions.
func withRawHTML(n *lesson.Node) string {
	var w writer
	w.special = func(n *lesson.Node) bool {
		switch n.Kind {
		case lesson.HTMLBlock:
			w.line()
			w.put(n.Text)
			w.line()
		case lesson.RawHTML:
			w.put(n.Text)
		default:
			return false
		}
		return true
	}
	w.node(n, false)
	return w.out.String()
}

// readSpec takes the examples out of the specification's text, in which an
// arrow stands for a tab.
func readSpec(t *testing.T, name string) []example {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	const fence = "````````````````````````````````"
	heading := regexp.MustCompile(`^#{1,6} +(.*)$`)
	var all []example
	section, part := "", 0
	var text [2]strings.Builder
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		line := lines.Text()
		switch {
		case part == 0 && line == "<!-- END TESTS -->":
			return all
		case part == 0 && line == fence+" example":
			part = 1
			text[0].Reset()
			text[1].Reset()
		case part == 0:
			if m := heading.FindStringSubmatch(line); m != nil {
				section = m[1]
			}
		case part == 1 && line == ".":
			part = 2
		case line == fence:
			part = 0
			tabs := strings.NewReplacer("→", "\t")
			all = append(all, example{len(all) + 1, section, tabs.Replace(text[0].String()), tabs.Replace(text[1].String())})
		default:
			fmt.Fprintln(&text[part-1], line)
		}
	}
	if err := lines.Err(); err != nil {
		t.Fatal(err)
	}
	return all
}

func readExceptions(t *testing.T) map[int]string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("testdata", "commonmark-exceptions.txt"))
	if err != nil {
		t.Fatal(err)
	}
	out := map[int]string{}
	for i, line := range strings.Split(strings.TrimSpace(string(content)), "\n") {
		if strings.HasPrefix(line, "#") || line == "" {
			continue
		}
		number, reason, ok := strings.Cut(line, " ")
		n, err := strconv.Atoi(number)
		if err != nil || !ok || strings.TrimSpace(reason) == "" {
			t.Fatalf("line %d of the exceptions is not a number and a reason: %q", i+1, line)
		}
		if _, twice := out[n]; twice {
			t.Fatalf("the exceptions name example %d twice", n)
		}
		out[n] = strings.TrimSpace(reason)
	}
	return out
}
