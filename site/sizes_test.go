package site

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/card"
)

// hungOf hangs a screen of an HD panel's pixels, its diagonal in inches and its
// readers' distance in mm.
func hungOf(t *testing.T, inches, distance float64, portrait bool) hung {
	t.Helper()
	s := card.Screen{Name: "hall", Diagonal: 25.4 * inches, Wide: 1920, High: 1080, Distance: distance, Line: 12, Column: 3}
	if portrait {
		s.Wide, s.High = s.High, s.Wide
	}
	h, err := hang(s)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// The typeface says itself how high its capitals are, in the table OS/2 of the
// file that pages load: 1480 of 2048.
func TestCapitalHeight(t *testing.T) {
	got, err := capitalHeight()
	if want := 1480. / 2048; err != nil || math.Abs(got-want) > 0.001 {
		t.Errorf("capitals are %v of the size of text, want %v (%v)", got, want, err)
	}
}

// Screens of 16 to 9 have sides of 0.8716 and 0.4903 of the diagonal (Pythagoras).
// A 43-inch television is sold as 95.2 cm by 53.5 cm (common practice, no
// source).
func TestSizeOfScreens(t *testing.T) {
	h := hungOf(t, 43, 600, false)
	if math.Abs(h.Width-952) > 1 || math.Abs(h.Height-535.5) > 1 || h.Portrait() {
		t.Errorf("43 in are %.1f by %.1f mm", h.Width, h.Height)
	}
	if h := hungOf(t, 43, 600, true); math.Abs(h.Height-952) > 1 || !h.Portrait() {
		t.Errorf("upright they are %.1f mm high", h.Height)
	}
}

// What was reckoned by hand for the same pages, by the same clauses: capitals of
// text of 28.08 px, and how large text has to be for 4.8 mm and for 0.7 degrees.
func TestCapitalsOfScreens(t *testing.T) {
	for inches, want := range map[float64]struct{ words, least, at500, at600, at800 float64 }{
		22: {5.15, 26.2, 33, 40, 53},
		24: {5.62, 24.0, 31, 37, 49},
		32: {7.49, 18.0, 23, 28, 37},
		43: {10.07, 13.4, 17, 21, 27},
	} {
		h := hungOf(t, inches, 600, false)
		capital, _ := capitalHeight()
		if got := 28.08 * h.Pixel * capital; math.Abs(got-want.words) > 0.011 {
			t.Errorf("%g in: text of 28.08 px has capitals of %.2f mm, want %.2f", inches, got, want.words)
		}
		if got := leastCapital / capital / h.Pixel; math.Abs(got-want.least) > 0.06 {
			t.Errorf("%g in: 4.8 mm take text of %.1f px, want %.1f", inches, got, want.least)
		}
		for distance, px := range map[float64]float64{500: want.at500, 600: want.at600, 800: want.at800} {
			h := hungOf(t, inches, distance, false)
			needed := px / (kioskNeeded * 28.08)
			if got := h.Larger; math.Abs(got-max(1, needed)) > 0.52/(kioskNeeded*28.08) {
				t.Errorf("%g in at %g mm: text has to be %.3f times as large, want %.3f", inches, distance, got, needed)
			}
			// as much larger as that, it takes 0.7 degrees or more
			if got := angle(h.Needed*h.Larger, distance); got < leastAngle-1e-9 {
				t.Errorf("%g in at %g mm: larger text takes %.3f degrees", inches, distance, got)
			}
		}
	}
	// EN 301 549 gives no example; 0.7 degrees at a metre are 12.2 mm, by the
	// arc of the circle, 1000 mm times 0.7 times pi over 180.
	if got := angle(12.2, 1000); math.Abs(got-0.699) > 0.001 {
		t.Errorf("12.2 mm at a metre take %.3f degrees", got)
	}
}

// What was reckoned by hand for controls between 488 and 1835 px of 1920, and
// between 170 and 1020 px of 1080.
func TestWindowOfScreens(t *testing.T) {
	for _, c := range []struct {
		inches          float64
		portrait        bool
		lowest, highest float64
	}{
		{24, true, 356, 824}, {32, true, 349, 692}, {43, true, 338, 510}, {55, true, 326, 312},
		{24, false, 363, 968}, {32, false, 358, 884}, {43, false, 350, 769}, {55, false, 342, 643}, {65, false, 335, 538},
	} {
		z := zone{170. / 1080, 1020. / 1080}
		if c.portrait {
			z = zone{488. / 1920, 1835. / 1920}
		}
		lowest, highest := z.window(hungOf(t, c.inches, 600, c.portrait).Height)
		if math.Abs(lowest-c.lowest) > 1 || math.Abs(highest-c.highest) > 1 {
			t.Errorf("%g in, portrait %v: the edge hangs between %.0f and %.0f mm, want %g and %g", c.inches, c.portrait, lowest, highest, c.lowest, c.highest)
		}
	}
}

func TestScreensAgainstRules(t *testing.T) {
	good := hung{Screen: card.Screen{Name: "hall", Diagonal: 25.4 * 24, Distance: 600, Line: 12, Column: 3},
		Width: 531, Height: 299, Smallest: 4.81, Larger: 1.3, Target: 20.1, Lowest: 363, Highest: 968}
	for name, c := range map[string]struct {
		change     func(*hung)
		cannot     bool // make text larger
		text, hint string
	}{
		"good":              {func(h *hung) {}, false, "", ""},
		"good, closed":      {func(h *hung) {}, true, "", ""},
		"small":             {func(h *hung) { h.Smallest = 4.79 }, false, "", ""},
		"small, closed":     {func(h *hung) { h.Smallest = 4.79 }, true, "the smallest capitals are 4.79 mm high, less than 4.8", "402.4"},
		"far":               {func(h *hung) { h.Larger, h.Distance = 2.5, 1000 }, false, "text would have to be 2.5 times as large to be read from 1000 mm", "within 800 mm (EN 301 549, 5.1.4)"},
		"narrow":            {func(h *hung) { h.Target = 19.2 }, false, "the smallest targets are 19.2 mm, less than 20", "a screen of 25.0 in or more"},
		"no height, across": {func(h *hung) { h.Lowest, h.Highest = 326, 312 }, false, "there is no height at which all controls are between 380 and 1220 mm", "hang a smaller screen (ADA"},
		"no height, upright": {func(h *hung) { h.Lowest, h.Highest, h.Width, h.Height = 326, 312, 299, 531 }, false,
			"there is no height", "hang a smaller screen, or hang it across (ADA 2010, 308)"},
	} {
		h := good
		c.change(&h)
		messages := h.against("house.toml", !c.cannot)
		if c.text == "" {
			if len(messages) > 0 {
				t.Errorf("%s gives %v", name, messages)
			}
			continue
		}
		if len(messages) != 1 || !strings.HasPrefix(messages[0].Text, `on the screen "hall", `+c.text) || !strings.Contains(messages[0].Hint, c.hint) || messages[0].At() != "house.toml:12:3" {
			t.Errorf("%s gives %v", name, messages)
		}
	}
}

// The screens of the demonstration house keep all rules.
func TestCheckScreens(t *testing.T) {
	source, err := os.ReadFile(filepath.Join("..", "lessons", "house.toml"))
	if err != nil {
		t.Fatal(err)
	}
	house, _ := card.ReadHouse("house.toml", source, []string{"rotating", "voltage", "battery", "overspeed", "dust", "insulation"})
	if len(house.Screens) != 2 {
		t.Fatalf("the house has %d screens", len(house.Screens))
	}
	if messages := CheckScreens(house); len(messages) > 0 {
		t.Error(messages)
	}
	house.Screens[0].Diagonal = 15 * 25.4
	if messages := CheckScreens(house); len(messages) != 2 || messages[0].Rule != "screen-larger" || messages[1].Rule != "screen-targets" {
		t.Errorf("at 15 in: %v", messages)
	}
}

// One site is for all screens, so its button makes text as much larger as the
// screen that needs it most.
func TestLarger(t *testing.T) {
	screen := func(inches, distance float64) card.Screen { return hungOf(t, inches, distance, false).Screen }
	for _, c := range []struct {
		screens []card.Screen
		want    float64
	}{
		{nil, usualLarger},
		{[]card.Screen{screen(43, 600)}, 1},
		{[]card.Screen{screen(43, 600), screen(24, 600)}, hungOf(t, 24, 600, false).Larger},
		{[]card.Screen{screen(24, 3000)}, mostLarger},
	} {
		if got, err := larger(c.screens); err != nil || got != c.want {
			t.Errorf("%v: %v times, want %v (%v)", c.screens, got, c.want, err)
		}
	}
	if sheet := string(sizesSheet(1.5224)); !strings.Contains(sheet, "--larger: 1.523;") || !strings.Contains(sheet, "max(175%, 2.6vmin)") {
		t.Errorf("the sheet is\n%s", sheet)
	}
}
