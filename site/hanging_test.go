package site

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
)

// hangingInput is the sample in two languages, with two screens of 600 mm distance.
func hangingInput(t *testing.T) Input {
	t.Helper()
	in := frenchInput(t)
	in.House.File = "house.toml"
	in.House.Screens = []card.Screen{hungOf(t, 24, 600, false).Screen, hungOf(t, 43, 600, true).Screen}
	in.House.Screens[1].Name = "<stairs>"
	return in
}

func TestHangingSheet(t *testing.T) {
	in := hangingInput(t)
	pages := documents(t, treeOf(t, in))
	for name, want := range map[string][]string{
		hangingPath:                     {"Screen \u201c<stairs>\u201d", "mm above the floor", "4.8 mm", "0.7\u00b0", "36 CFR 1194", "EN 301 549, 5.1.4", "ADA 2010, 308.2.1", "A licensed installer fixes it", "531 mm wide and 299 mm high (24.0 in)", "535 mm wide and 952 mm high (43.0 in)"},
		"handout/hanging.sheet.fr.html": {"<stairs>", "4,8 mm", "Un installateur agr\u00e9\u00e9 le fixe", "24,0 pouces"},
	} {
		d, ok := pages[name]
		if !ok {
			t.Errorf("there is no %s", name)
			continue
		}
		got := text(d.root)
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s does not say %q", name, w)
			}
		}
		if strings.Contains(got, "conform") {
			t.Errorf("%s says that something conforms", name)
		}
		if n := len(d.class("wall")); n != 2 {
			t.Errorf("%s has %d pictures", name, n)
		}
	}
	// 24 in across: controls from 28 to 1020 px of 1080, 298.9 mm; the lowest is
	// 16.6 mm and the uppermost 291.1 mm above the edge: 380 - 16.6, 1220 - 291.1.
	if controls(false) == (zone{28. / 1080, 1020. / 1080}) && !strings.Contains(text(pages[hangingPath].root), "from 364 to 928 mm above the floor") {
		t.Error("the sheet gives another window")
	}
	if links := pages["handout/index.html"].class("hang"); len(links) != 2 {
		t.Error("no way leads to the sheets about the kiosk")
	}
	for path, want := range map[string]string{hangingPath: "hanging.sheet", "handout/hanging.sheet.fr.html": "hanging.sheet.fr"} {
		i := slices.IndexFunc(Sheets(in), func(s Sheet) bool { return s.Path == path })
		if i < 0 || Sheets(in)[i].Edition != hangingSheet || Sheets(in)[i].Name() != want {
			t.Errorf("%s is no sheet called %s", path, want)
		}
	}
	if strings.Contains(text(documents(t, sampleTree(t))["handout/index.html"].root), "Sheet for whoever hangs") {
		t.Error("a house without screens has a sheet for hanging them")
	}
}
