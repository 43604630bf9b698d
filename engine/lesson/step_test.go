package lesson

import (
	"strings"
	"testing"
)

const goodStep = `do = "Read *it*, [48 V][volts]."
where = "There."
with = "A meter."
expect = "volts"
within = "5 %"
unit = "mV"
otherwise = """
Stop.

Ask."""
signs = "Somebody."
hazards = ["voltage", "battery"] # both
`

func stepIn(t *testing.T, head, block string) (*Step, []string) {
	t.Helper()
	l, messages := Parse("lesson.md", []byte("```lesson\ntitle = \"A\"\n```\n\n```step"+head+"\n"+block+"\n```\n"))
	var said []string
	for _, m := range messages {
		if m.Hint == "" {
			t.Errorf("%v has no next step", m)
		}
		said = append(said, strings.SplitN(m.String(), "\n", 2)[0])
	}
	for _, n := range l.Body.Children {
		if n.Kind == StepBlock {
			return n.Step, said
		}
	}
	return nil, said
}

func TestStep(t *testing.T) {
	s, said := stepIn(t, " battery", goodStep)
	if len(said) > 0 {
		t.Fatal(said)
	}
	if s.Stage != "battery" || s.Expect.Name != "volts" || s.Unit.Name != "mV" || s.Within.Number != 5 || s.Within.Unit != "%" || s.Side != Around ||
		len(s.Otherwise.Children) != 2 || len(s.Hazards) != 2 || s.Hazards[1].Name != "battery" || s.See != nil || s.Do.Words() != "Read it, 48 V." {
		t.Errorf("the step reads %+v, %q", *s, s.Do.Words())
	}
	for within, side := range map[string]Side{"or more": Least, "or  less": Most} {
		if s, said := stepIn(t, " lines", strings.Replace(goodStep, "5 %", within, 1)); len(said) > 0 || s.Side != side {
			t.Errorf("within %q gives side %v, %v", within, s.Side, said)
		}
	}
	seen := strings.NewReplacer("expect = \"volts\"\n", "see = \"It stands still.\"\n", "within = \"5 %\"\n", "", "unit = \"mV\"\n", "").Replace(goodStep)
	if s, said := stepIn(t, " isolation", seen); len(said) > 0 || s.See.Words() != "It stands still." {
		t.Errorf("a step at which something is seen: %v", said)
	}
}

func TestStepRefuses(t *testing.T) {
	for _, test := range []struct{ name, head, from, to, want string }{
		{"no part", "", "", "", "5:1: the step does not say which part of the set it is about"},
		{"unknown part", " boiler", "", "", `5:1: no step is about "boiler"`},
		{"two parts", " motor tones", "", "", `5:1: a step is about one part of the set, and "tones" stands behind it`},
		{"unknown key", " motor", "where", "place", `7:1: a step has no key "place"`},
		{"no key", " motor", "where = \"There.\"\n", "", `5:1: the step needs the key "where"`},
		{"no instrument", " motor", "with = \"A meter.\"\n", "", `5:1: the step needs the key "with"`},
		{"no limits", " motor", "within = \"5 %\"\n", "", `5:1: the step needs the key "within"`},
		{"nothing to do then", " motor", "otherwise = \"\"\"\nStop.\n\nAsk.\"\"\"\n", "", `5:1: the step needs the key "otherwise"`},
		{"nothing expected", " motor", "expect = \"volts\"\nwithin = \"5 %\"\nunit = \"mV\"\n", "", "5:1: the step does not say what to expect"},
		{"limits of nothing", " motor", "expect = \"volts\"\n", "see = \"It turns.\"\n", "5:1: the step has a tolerance or a unit, but no value"},
		{"both", " motor", "unit =", "see = \"It turns.\"\nunit =", "5:1: the step has both a reading to expect and something to see"},
		{"within", " motor", "5 %", "some", `10:10: within is "some"`},
		{"no room", " motor", "5 %", "0 V", "10:10: within leaves no room: a computed number is never met exactly"},
		{"empty", " motor", "A meter.", " ", "8:8: with is empty"},
		{"unknown hazard", " motor", `"battery"]`, `"fire"]`, `17:23: there is no hazard "fire"`},
		{"hazard twice", " motor", `"battery"]`, `"voltage"]`, `17:23: "voltage" stands twice in hazards`},
		{"hazards no list", " motor", `["voltage", "battery"]`, `"voltage"`, "17:11: hazards is a list of words in quotation marks"},
		{"hazards no words", " motor", `["voltage", "battery"]`, `[1]`, "17:1: hazards is a list of words in quotation marks"},
		{"table", " motor", "signs =", "[more]\nsigns =", `16:2: a step has no table "more"`},
		{"no TOML", " motor", `where = "There."`, `where = There`, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, said := stepIn(t, test.head, strings.Replace(goodStep, test.from, test.to, 1))
			if len(said) != 1 || !strings.HasSuffix(said[0], test.want) {
				t.Errorf("got %q, want %q", said, test.want)
			}
		})
	}
}

// Whatever stands in a step: no panic, places within the file, and either a
// finding or a step that has all its parts.
func FuzzStep(f *testing.F) {
	for _, s := range []string{goodStep, "", "do", "hazards = [[1], {}]", "see = ''", "[x]", "do = 'a'\nwhere = '''\nb'''\nsee = 'c'\notherwise = '- d'\nsigns = \"e\""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, block string) {
		if strings.Contains(block, "````") || strings.Contains(block, "~~~~") {
			return
		}
		source := "```lesson\ntitle = \"A\"\n```\n\n````step battery\n" + block + "\n````\n"
		l, messages := Parse("lesson.md", []byte(source))
		check(t, l)
		lines := strings.Count(source, "\n") + 1
		for _, m := range messages {
			if m.Line < 1 || m.Line > lines || m.Column < 1 || m.Text == "" || m.Hint == "" {
				t.Errorf("%+v", m)
			}
		}
		if len(messages) > 0 {
			return
		}
		for _, n := range l.Body.Children {
			if s := n.Step; s != nil && (s.Do == nil || s.Where == nil || s.Otherwise == nil || s.Signs == nil || (s.See == nil) == (s.Expect.Name == "")) {
				t.Errorf("a step without findings lacks a part: %+v", *s)
			}
		}
	})
}
