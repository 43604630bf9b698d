package card_test

import (
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
)

func TestReadScreens(t *testing.T) {
	const head = "name = \"A House\"\nplace = \"hill\"\nnote = \"invented\"\ncontact = \"desk\"\nlanguages = [\"en\"]\n"
	const good = head + "screens = [\n" +
		"  { name = \"hall\", diagonal = { value = 24, unit = \"in\" }, pixels = [1920, 1080], distance = { value = 0.6, unit = \"m\" } }, # by the door\n" +
		"  { name = \"stairs\", diagonal = { value = 1092.2, unit = \"mm\" }, pixels = [1080, 1920], distance = { value = 60, unit = \"cm\" } },\n]\n"
	h, messages := card.ReadHouse("house.toml", []byte(good), nil)
	inch := 25.4
	want := []card.Screen{
		{Name: "hall", Diagonal: 24 * inch, Wide: 1920, High: 1080, Distance: 600, Line: 7, Column: 3},
		{Name: "stairs", Diagonal: 1092.2, Wide: 1080, High: 1920, Distance: 600, Line: 8, Column: 3},
	}
	if len(messages) > 0 || len(h.Screens) != 2 || h.Screens[0] != want[0] || h.Screens[1] != want[1] {
		t.Fatalf("%+v %v", h.Screens, messages)
	}
	if h, messages := card.ReadHouse("house.toml", []byte(head), nil); len(messages) > 0 || h.Screens != nil {
		t.Errorf("a house without screens: %+v %v", h.Screens, messages)
	}
	// Each case changes the list in one place; the position is that of mark, in
	// the changed file.
	for name, c := range map[string]struct{ old, new, mark, text, hint string }{
		"no list":          {"screens = [\n", "screens = 24\nkiosk = [\n", "24\nkiosk", "screens is a number, where a list belongs", "screens ="},
		"no table":         {"  { name = \"stairs\"", "24,\n  { name = \"stairs\"", "24,\n", "a screen is a number", "write it as { name"},
		"unknown key":      {"pixels = [1080", "pixel = [1080", "pixel = [1080", `a screen has no key "pixel"`, `did you mean "pixels"?`},
		"missing distance": {", distance = { value = 60, unit = \"cm\" }", "", "{ name = \"stairs\"", "the screen has no distance", "write it as { name"},
		"empty name":       {`"hall"`, `" "`, `" "`, "a screen's name is empty", "what the house calls it"},
		"same name":        {`"stairs"`, `"hall"`, "{ name = \"hall\", diagonal = { value = 1092", `the screen "hall" stands twice, first on line 7`, "a name of its own"},
		"bare diagonal":    {`{ value = 24, unit = "in" }`, "24", "24,", "diagonal is a number, without unit", "write it as { name"},
		"odd unit":         {`24, unit = "in"`, `24, unit = "inch"`, `"inch"`, `"inch" is no unit for diagonal`, "mm, cm, m or in"},
		"no unit":          {`{ value = 24, unit = "in" }`, "{ value = 24 }", "diagonal = { value = 24 }", "diagonal has no unit", "write it as { name"},
		"large":            {"value = 24", "value = 2400", "", "diagonal cannot be 6.096e+04 mm", "from 100 to 5000 mm"},
		"near":             {"value = 0.6", "value = 0.06", "", "distance cannot be 60 mm", "from 200 to 10000 mm"},
		"nan":              {"value = 0.6", "value = nan", "", "distance cannot be NaN mm", "from 200"},
		"one side":         {"[1920, 1080]", "[1920]", "", "pixels are not two numbers", "pixels = [1920, 1080]"},
		"half a pixel":     {"[1920, 1080]", "[1920, 1080.5]", "1080.5", "no whole number from 320 to 8192", "pixels = [1920, 1080]"},
		"words for pixels": {"[1920, 1080]", `"full"`, `"full"`, "where a list belongs", "pixels ="},
	} {
		source := strings.Replace(good, c.old, c.new, 1)
		if source == good {
			t.Fatalf("%s changes nothing", name)
		}
		line, column := diag.Place([]byte(source), strings.Index(source, c.mark))
		_, messages := card.ReadHouse("house.toml", []byte(source), nil)
		found := false
		for _, m := range messages {
			if strings.Contains(m.Text, c.text) && strings.Contains(m.Hint, c.hint) {
				found = true
				if c.mark != "" && (m.Line != line || m.Column != column) {
					t.Errorf("%s is reported at %d:%d, want %d:%d", name, m.Line, m.Column, line, column)
				}
			}
		}
		if !found {
			t.Errorf("%s gives %v", name, messages)
		}
	}
}
