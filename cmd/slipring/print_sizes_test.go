package main

import (
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// smallest gives the size in pt under which a sheet prints nothing: 12 for what
// visitors take home and 18 in large print (American Printing House for the
// Blind), 10.5 for a guide's. Other sheets have rules of their own, 0.
func smallest(name string) float64 {
	stem := strings.TrimSuffix(strings.TrimSuffix(name, ".pdf"), ".fr")
	switch {
	case strings.HasSuffix(stem, ".large"):
		return 18
	case strings.HasSuffix(stem, ".chart"):
		return 12
	case strings.HasSuffix(stem, "-guide"), stem == "teachers.sheet":
		return 10.5
	case strings.Contains(stem, "."), stem == "course":
		return 0
	}
	return 12
}

var (
	fontSize = regexp.MustCompile(`<fontspec id="(\d+)" size="(\d+)"`)
	textAt   = regexp.MustCompile(`<text top="(-?\d+)" left="(-?\d+)" width="(\d+)" height="(\d+)" font="(\d+)">(.*?)</text>`)
	pageSize = regexp.MustCompile(`<page number="\d+"[^>]* height="(\d+)" width="(\d+)"`)
)

// typeSizes fails where a sheet prints words smaller than its readers need, or
// beyond the edge of its paper.
func typeSizes(t *testing.T, file, name string) {
	if least := smallest(name); least > 0 {
		sizesAtLeast(t, file, least)
	}
}

// sizesAtLeast fails where a sheet prints words smaller than so many pt, or
// beyond the edge of its paper.
func sizesAtLeast(t *testing.T, file string, least float64) {
	const zoom = 3 // the most that pdftohtml knows; it rounds sizes to whole numbers of these thirds of a pt
	xml := tool(t, "pdftohtml", "-xml", "-i", "-stdout", "-hidden", "-nodrm", "-zoom", strconv.Itoa(zoom), file)
	sizes := map[string]float64{}
	for _, m := range fontSize.FindAllStringSubmatch(xml, -1) {
		size, _ := strconv.ParseFloat(m[2], 64)
		sizes[m[1]] = size / zoom
	}
	number := func(s string) float64 { x, _ := strconv.ParseFloat(s, 64); return x }
	words := 0
	for _, page := range strings.Split(xml, "</page>") {
		size := pageSize.FindStringSubmatch(page)
		for _, m := range textAt.FindAllStringSubmatch(page, -1) {
			what := strings.TrimSpace(regexp.MustCompile("<[^>]*>").ReplaceAllString(m[6], ""))
			if what == "" {
				continue
			}
			words++
			if got, ok := sizes[m[5]]; !ok || got < least-0.5/zoom {
				t.Errorf("%s: %q is %.1f pt, under %.1f", filepath.Base(file), what, got, least)
			}
			top, left, wide, high := number(m[1]), number(m[2]), number(m[3]), number(m[4])
			if math.Min(top, left) < 0 || size == nil || left+wide > number(size[2]) || top+high > number(size[1]) {
				t.Errorf("%s: %q runs off the paper", filepath.Base(file), what)
			}
		}
	}
	if words < 20 {
		t.Errorf("%s: %d pieces of text were found", filepath.Base(file), words)
	}
}

// pagesFilled fails where a page but the last is much less than half full: words
// and drawings end above this part of the room between its margins of an inch.
func pagesFilled(t *testing.T, file string, pages int) {
	const dots, least = 24, 0.4
	inked := greyPages(t, file, dots)
	if len(inked) != pages {
		t.Fatalf("%s: pdftoppm shows %d of %d pages", filepath.Base(file), len(inked), pages)
	}
	for i, page := range inked[:pages-1] {
		wide, high, pixels := page.wide, page.high, page.dots
		// The number of the page stands in the margin.
		last := high - dots - 1
		for last >= dots && !slices.ContainsFunc(pixels[last*wide:(last+1)*wide], func(dot byte) bool { return dot < 200 }) {
			last--
		}
		if full := float64(last+1-dots) / float64(high-2*dots); full < least {
			t.Errorf("%s: page %d of %d is full to %.0f %%", filepath.Base(file), i+1, pages, 100*full)
		}
	}
}
