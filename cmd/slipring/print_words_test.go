package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/net/html"
)

// lettersOf gives a text's letters alone: paper breaks words, and sets some in
// capitals.
func lettersOf(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, strings.NewReplacer("ﬁ", "fi", "ﬂ", "fl", "ﬀ", "ff", "ﬃ", "ffi", "ﬄ", "ffl").Replace(s))
}

// shown gives the words of a sheet's main part. Drawings, which are no running
// text, and what the sheets hide on paper are left out.
func shown(n *html.Node) string {
	if n.Type == html.TextNode {
		return n.Data
	}
	if n.Type == html.ElementNode {
		switch n.Data {
		case "svg", "script", "style", "nav", "button", "input", "select", "output", "math":
			return " "
		}
		for _, a := range n.Attr {
			if a.Key == "hidden" || a.Key == "class" && regexp.MustCompile(`\b(unseen|on-screen|turn|numbers|motion|knob|knobs|states)\b`).MatchString(a.Val) {
				return " "
			}
		}
	}
	var b strings.Builder
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		b.WriteString(shown(c))
	}
	switch n.Data {
	case "p", "li", "h1", "h2", "h3", "div", "section", "td", "th", "dt", "dd", "figcaption":
		return " " + b.String() + " "
	}
	return b.String()
}

func mainOf(n *html.Node) *html.Node {
	if n.Type == html.ElementNode && n.Data == "main" {
		return n
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if a := mainOf(c); a != nil {
			return a
		}
	}
	return nil
}

// wordsPrinted fails where a word of the page is missing on paper, or stands
// there less often.
func wordsPrinted(t *testing.T, file string, page []byte) {
	root, err := html.Parse(bytes.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	body := mainOf(root)
	if body == nil {
		t.Errorf("%s: its page has no main part", filepath.Base(file))
		return
	}
	printed := lettersOf(tool(t, "pdftotext", file, "-"))
	count := map[string]int{}
	for _, word := range strings.FieldsFunc(shown(body), func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Pd, r) }) {
		if word = lettersOf(word); len([]rune(word)) >= 4 {
			count[word]++
		}
	}
	if len(count) < 20 {
		t.Errorf("%s: its page has %d words", filepath.Base(file), len(count))
	}
	for word, n := range count {
		if got := strings.Count(printed, word); got < n {
			t.Errorf("%s: %q is printed %d times, its page has it %d times", filepath.Base(file), word, got, n)
		}
	}
}

var (
	boxedPage = regexp.MustCompile(`<page width="([\d.]+)" height="([\d.]+)">`)
	boxedWord = regexp.MustCompile(`<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>`)
)

// wordsDark fails where a word runs off the page, or where its darkest dot, on
// a printer without colours, has less than 4.5:1 against white paper, the
// contrast that WCAG 2.2 asks for (1.4.3): grey of 118 of 255 and less.
func wordsDark(t *testing.T, file string) {
	const dots, darkest = 150, 118
	boxes := tool(t, "pdftotext", "-bbox", file, "-")
	inked := greyPages(t, file, dots)
	for i, page := range strings.Split(boxes, "</page>") {
		size := boxedPage.FindStringSubmatch(page)
		if size == nil {
			break
		}
		var wide, high float64
		fmt.Sscan(size[1], &wide)
		fmt.Sscan(size[2], &high)
		if i >= len(inked) {
			t.Fatalf("%s: pdftoppm shows %d pages, pdftotext more", filepath.Base(file), len(inked))
		}
		w, h, pixels := inked[i].wide, inked[i].high, inked[i].dots
		for _, m := range boxedWord.FindAllStringSubmatch(page, -1) {
			var box [4]float64
			for k := range box {
				fmt.Sscan(m[k+1], &box[k])
			}
			if box[0] < 0 || box[1] < 0 || box[2] > wide || box[3] > high {
				t.Errorf("%s: %q runs off page %d", filepath.Base(file), m[5], i+1)
				continue
			}
			if len(lettersOf(html.UnescapeString(m[5]))) < 2 {
				continue
			}
			least := byte(255)
			for y := int(box[1] * dots / 72); y < min(h, int(box[3]*dots/72)+1); y++ {
				for x := int(box[0] * dots / 72); x < min(w, int(box[2]*dots/72)+1); x++ {
					least = min(least, pixels[y*w+x])
				}
			}
			if least > darkest {
				t.Errorf("%s: the darkest dot of %q on page %d is %d of 255, too pale", filepath.Base(file), m[5], i+1, least)
			}
		}
	}
}

// grey is a page as dots from 0, black, to 255, row by row.
type grey struct {
	wide, high int
	dots       []byte
}

// greyPages gives the pages of a PDF, so many dots an inch.
func greyPages(t *testing.T, file string, dots int) (pages []grey) {
	t.Helper()
	rest := []byte(tool(t, "pdftoppm", "-gray", "-r", fmt.Sprint(dots), file))
	for len(rest) > 0 {
		var p grey
		var most int
		n, err := fmt.Sscanf(string(rest[:min(len(rest), 40)]), "P5\n%d %d\n%d\n", &p.wide, &p.high, &most)
		head := len(fmt.Sprintf("P5\n%d %d\n%d\n", p.wide, p.high, most))
		if n != 3 || most != 255 || len(rest) < head+p.wide*p.high {
			t.Fatalf("%s: page %d of pdftoppm begins with %d numbers, %v", filepath.Base(file), len(pages)+1, n, err)
		}
		p.dots, rest = rest[head:head+p.wide*p.high], rest[head+p.wide*p.high:]
		pages = append(pages, p)
	}
	return pages
}
