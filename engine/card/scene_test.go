package card_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
)

const someScene = `title = "All of it"
width = 800
height = 600
whole = ["meet"]

[fr]
title = "Tout"

[motor]
draws = "machine"
at = [200, 300]
name = "motor"
lessons = ["push", "field"]

[motor.fr]
name = "moteur"

[wheel]
draws = "gear"
at = [[400, 300], [500, 300]]
teeth = 8
mark = [450, 200]
name = "wheels"

[wire]
draws = "cord"
at = [[0, 0], [800, 600]]
of = "brass"
gone = true
`

func sceneOf(source []byte) (card.Scene, []diag.Message) {
	return card.ReadScene("scene.toml", source, []card.Shape{
		{Name: "machine", Width: 100, Height: 80},
		{Name: "gear", Width: 50, Height: 50, Counts: "teeth", Usual: 12, Fewest: 2, Most: 60},
		{Name: "cord", Line: true},
	}, []string{"iron", "brass"})
}

func TestReadScene(t *testing.T) {
	s, messages := sceneOf([]byte(someScene))
	if len(messages) > 0 || len(s.Parts) != 3 || s.Width != 800 || s.Height != 600 {
		t.Fatalf("%+v %v", s, messages)
	}
	m, w, c := s.Parts[0], s.Parts[1], s.Parts[2]
	if m.Number != 1 || w.Number != 2 || c.Number != 0 || m.Width != 100 || m.Height != 80 || w.Count != 8 || len(w.At) != 2 || !c.Gone || c.Of != "brass" {
		t.Errorf("%+v", s.Parts)
	}
	if fr := s.Say("fr"); fr.Title != "Tout" || fr.Parts[0].Name != "moteur" || fr.Parts[1].Name != "wheels" || s.Parts[0].Name != "motor" {
		t.Errorf("in French: %+v", fr)
	}
	if about := s.About("field"); len(about) != 1 || about[0].Label != "motor" {
		t.Errorf("about the field: %+v", about)
	}
	if len(s.About("meet")) > 0 || len(s.About("other")) > 0 {
		t.Error("a lesson about all of it, or about nothing, has a part")
	}
	if late := s.Against([]string{"meet", "push", "field"}); len(late) > 0 {
		t.Error(late)
	}
	late := s.Against([]string{"meet", "push", "fields"})
	if len(late) != 1 || late[0].Line != 13 || late[0].Column != 20 || !strings.Contains(late[0].Text, `no lesson "field"`) || !strings.Contains(late[0].Hint, `"fields"`) {
		t.Error(late)
	}
	lacks := s.Lacks([]string{"fr", "de"})
	var texts []string
	for _, l := range lacks {
		texts = append(texts, l.Text)
	}
	if len(lacks) != 4 || lacks[0].Level != diag.Warning || !strings.Contains(texts[0], `the part "wheel" has no words in "fr"`) || !strings.Contains(texts[1], `the title has no words in "de"`) {
		t.Error(texts)
	}
	// A part may be called like a language.
	short := strings.ReplaceAll(someScene, "[wire]", "[sea]")
	if s, messages := sceneOf([]byte(short)); len(messages) > 0 || s.Parts[2].Label != "sea" {
		t.Error(messages)
	}
}

func TestReadSceneRefuses(t *testing.T) {
	many := "[[1, 1]" + strings.Repeat(", [1, 1]", 24) + "]"
	for name, c := range map[string]change{
		"unknown shape":      {`"machine"`, `"machin"`, `"machin"`, `no shape "machin" to draw`, `did you mean "machine"?`},
		"no shape":           {"draws = \"machine\"\n", "", "motor]", `"motor" does not say what it draws`, "machine, gear, cord"},
		"shape no text":      {`"machine"`, "1", "1\nat", "draws is a number", ""},
		"no place":           {"at = [200, 300]\n", "", "motor]", `"motor" has no at`, "at = [120, 300]"},
		"one number":         {"[200, 300]", "[200]", "at = [200]", "at is not a place", "two numbers"},
		"words for a place":  {"[200, 300]", `[200, "x"]`, `at = [200, "x"]`, "at is not a place", "two numbers"},
		"too many places":    {"[[400, 300], [500, 300]]", many, "at = [[1", "more than 24 places", "two parts"},
		"outside":            {"[200, 300]", "[20, 300]", "at = [20, 300]", "reaches out of the sheet", "800 wide and 600 high"},
		"mark outside":       {"[450, 200]", "[450, 900]", "mark", "number of the part \"wheel\" lies outside", "move the mark"},
		"line of one point":  {"[[0, 0], [800, 600]]", "[10, 10]", "at = [10, 10]", "a line of one point", "at least two"},
		"line with a width":  {"gone = true", "width = 4", "width = 4", "has no width", "leave it out"},
		"flat":               {"name = \"motor\"", "name = \"motor\"\nwidth = 0", "0\nlessons", "width is 0", "above zero"},
		"too many teeth":     {"teeth = 8", "teeth = 61", "61", "a gear with 61 teeth cannot be drawn", "from 2 to 60"},
		"half a tooth":       {"teeth = 8", "teeth = 8.5", "8.5", "no whole number", ""},
		"teeth of a motor":   {"name = \"motor\"", "name = \"motor\"\nteeth = 8", "teeth = 8\nlessons", `the part "motor" has no key "teeth"`, "known here"},
		"no such material":   {`"brass"`, `"bras"`, `"bras"`, `nothing can be drawn of "bras"`, `did you mean "brass"?`},
		"gone in words":      {"gone = true", `gone = "yes"`, `"yes"`, "gone is text in quotes", "gone = true"},
		"lesson, no name":    {"name = \"motor\"\nlessons", "lessons", "lessons = [\"push", "leads to a lesson, but has no name", "name = "},
		"lesson twice":       {`"push", "field"`, `"push", "push"`, `"push"]`, `"push" stands twice`, "leave one out"},
		"lesson a number":    {`"push", "field"`, `1`, `1]`, "lessons is a number", ""},
		"name twice":         {`name = "wheels"`, `name = "motor"`, "wheel]", `the name "motor" stands twice, first with the part on line 9`, "several places"},
		"part twice":         {"[wheel]", "[motor]", "motor]\ndraws = \"gear", "stands twice", "join"},
		"not above":          {"[motor.fr]", "[moto.fr]", "moto.fr", `"moto" is not above`, "[moto] first"},
		"French key":         {"name = \"moteur\"", "name = \"moteur\"\nat = [1, 1]", "at = [1, 1]", `has no key "at"`, "name"},
		"no title":           {"title = \"All of it\"\n", "", "width", "the scene has no title", "title ="},
		"no width":           {"width = 800\n", "", "title", "the scene has no width", "width = 1200"},
		"small sheet":        {"height = 600", "height = 60", "60", "cannot have a height of 60", "200 to 4000"},
		"endless":            {"[200, 300]", "[inf, 300]", "at = [inf", "no sheet has room for", "up to 4000"},
		"unknown key on top": {"whole =", "hole =", "hole", `has no key "hole"`, ""},
	} {
		t.Run(name, func(t *testing.T) {
			c.check(t, someScene, func(b []byte) []diag.Message {
				_, messages := sceneOf(b)
				return messages
			})
		})
	}
	if _, messages := sceneOf([]byte("title = \"x\"\nwidth = 800\nheight = 600\n")); len(messages) != 1 || !strings.Contains(messages[0].Text, "no part") {
		t.Error(messages)
	}
	full := someScene
	for i := range 90 {
		full += fmt.Sprintf("[p%d]\ndraws = \"machine\"\nat = [200, 300]\n", i)
	}
	if _, messages := sceneOf([]byte(full)); len(messages) != 1 || !strings.Contains(messages[0].Text, "more than 80 parts") {
		t.Error(messages)
	}
}

func FuzzReadScene(f *testing.F) {
	f.Add([]byte(someScene))
	for _, s := range []string{"", "[a]", "[a.b]", "[fr]\n[fr.fr]", "at = 1", "[a]\nat = [[1]]", "[a]\ndraws = \"cord\"\nat = [[1, 1], [2]]", "whole = 1", "[a]\nlessons = [[]]", "\xff"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		s, messages := sceneOf(b)
		for _, m := range messages {
			if m.Line < 1 || m.Column < 1 || m.Text == "" {
				t.Errorf("%+v", m)
			}
		}
		if !diag.HasError(messages) && slices.ContainsFunc(s.Parts, func(p card.ScenePart) bool { return len(p.At) == 0 || p.Draws == "" }) {
			t.Errorf("%+v", s)
		}
	})
}
