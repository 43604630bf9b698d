package site

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// luminance is the relative luminance of WCAG 2.2 (w3.org/TR/WCAG22,
// "relative luminance").
func luminance(hex string) float64 {
	channel := func(s string) float64 {
		n, err := strconv.ParseUint(s, 16, 8)
		if err != nil {
			return math.NaN()
		}
		c := float64(n) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	if len(hex) == 4 {
		hex = "#" + strings.Repeat(hex[1:2], 2) + strings.Repeat(hex[2:3], 2) + strings.Repeat(hex[3:4], 2)
	}
	return 0.2126*channel(hex[1:3]) + 0.7152*channel(hex[3:5]) + 0.0722*channel(hex[5:7])
}

// contrast is the contrast ratio of WCAG 2.2.
func contrast(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// scheme reads the colours that are set in the first block after a text.
func scheme(t *testing.T, sheet, after string) map[string]string {
	t.Helper()
	content, err := web.ReadFile("web/" + sheet)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(content), after)
	if !ok {
		t.Fatalf("%s has no %q", sheet, after)
	}
	block, _, _ := strings.Cut(rest, "}")
	out := map[string]string{}
	for _, m := range regexp.MustCompile(`--([a-z0-9-]+): (#[0-9a-f]{3,6});`).FindAllStringSubmatch(block, -1) {
		out[m[1]] = m[2]
	}
	return out
}

// Text has at least 4.5:1 and lines and controls at least 3:1 (WCAG 2.2,
// success criteria 1.4.3 and 1.4.11), in every scheme. The first pair is the
// definition's own extreme: black on white is 21:1.
func TestContrast(t *testing.T) {
	if c := contrast("#000000", "#ffffff"); math.Abs(c-21) > 1e-9 {
		t.Fatalf("black on white has %v", c)
	}
	light := scheme(t, "common.css", ":root {")
	for name, colours := range map[string]map[string]string{
		"light":       light,
		"dark":        scheme(t, "common.css", "@media (prefers-color-scheme: dark) {\n  :root {"),
		"kiosk":       scheme(t, "kiosk.css", "html.kiosk {"),
		"light kiosk": scheme(t, "kiosk.css", "html.kiosk.light {"),
		"paper":       scheme(t, "common.css", "@media print {\n  :root {"),
	} {
		pairs := 0
		check := func(front, back string, least float64) {
			a, b := colours[front], colours[back]
			if a == "" || b == "" {
				t.Errorf("%s sets no %s or no %s", name, front, back)
				return
			}
			pairs++
			if c := contrast(a, b); !(c >= least) {
				t.Errorf("%s: %s %s on %s %s has %.2f, less than %.1f", name, front, a, back, b, c, least)
			}
		}
		for _, back := range []string{"ground", "raised"} {
			for _, front := range []string{"ink", "quiet", "link", "line-1", "line-2", "line-3", "line-4", "line-5", "line-6"} {
				check(front, back, 4.5)
			}
			check("edge", back, 3)
		}
		if name == "light" || name == "dark" {
			for _, front := range []string{"on-plate", "on-plate-quiet", "plate-link"} {
				check(front, "plate", 4.5)
			}
			check("brass", "plate", 3)
		}
		if name != "light" && name != "light kiosk" { // where brass is a line of decoration beside text
			check("brass", "ground", 3)
		}
		if pairs < 20 {
			t.Errorf("%s: only %d pairs were checked", name, pairs)
		}
	}
}

// The signal words of notices, and the kiosk's button, whose colours do not
// change.
func TestFixedContrast(t *testing.T) {
	for _, pair := range [][2]string{
		{"#1b1b1b", "#f7c600"}, {"#1b1b1b", "#f08a1c"}, {"#fff", "#b3121d"}, {"#1b1b1b", "#fffdf7"}, {"#74500a", "#fffdf7"}, {"#14191d", "#d9a441"},
	} {
		used := false
		for _, sheet := range []string{"common.css", "kiosk.css"} {
			content, err := web.ReadFile("web/" + sheet)
			if err != nil {
				t.Fatal(err)
			}
			used = used || strings.Contains(string(content), pair[0]) && strings.Contains(string(content), pair[1])
		}
		if !used {
			t.Errorf("%s on %s is not used together", pair[0], pair[1])
		}
		if c := contrast(pair[0], pair[1]); !(c >= 4.5) {
			t.Errorf("%s on %s has %.2f", pair[0], pair[1], c)
		}
	}
}

// Every class that a drawing uses is known to the style sheet, which gives
// each numbered line a dash pattern of its own.
func TestPlotClasses(t *testing.T) {
	content, err := web.ReadFile("web/common.css")
	if err != nil {
		t.Fatal(err)
	}
	sheet := string(content)
	for _, class := range []string{"grid", "axis", "tick", "label", "quantity", "leader"} {
		if !strings.Contains(sheet, ".plot ."+class) {
			t.Errorf("no rule for %s", class)
		}
	}
	dashes := map[string]bool{}
	for i := 1; i <= 6; i++ {
		for _, class := range []string{"line", "leader", "marks", "name"} {
			if !strings.Contains(sheet, ".plot ."+class+"-"+strconv.Itoa(i)) {
				t.Errorf("no rule for %s-%d", class, i)
			}
		}
		m := regexp.MustCompile(`\.plot \.line-` + strconv.Itoa(i) + ` \{ stroke-dasharray: ([^;]*);`).FindStringSubmatch(sheet)
		dash := ""
		if m != nil {
			dash = m[1]
		}
		if dashes[dash] {
			t.Errorf("line-%d has the dash pattern %q of another line", i, dash)
		}
		dashes[dash] = true
	}
}

func TestFonts(t *testing.T) {
	tree := sampleTree(t)
	for _, name := range []string{"regular", "italic", "bold", "mono"} {
		for file, least := range map[string]int{name: 50000, name + "-usual": 15000} {
			if font := tree["look/fonts/go-"+file+".woff"]; len(font) < least {
				t.Errorf("font %s has %d bytes", file, len(font))
			}
		}
	}
	if licence := string(tree["look/fonts/licence.txt"]); !strings.Contains(licence, "Redistribution and use") {
		t.Errorf("the licence of the typeface is %.80q", licence)
	}
}
