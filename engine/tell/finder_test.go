package tell

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
)

// ends is a look that names a cause.
func ends(says string) *Look { return &Look{Causes: []Cause{{Says: says}}} }

// board is an invented finder of three looks and four causes.
func board() Look {
	return Look{
		Ask: "Is the red lamp lit?", How: "From the front.", Chance: 1,
		Answers: []Answer{
			{"yes", &Look{
				Ask: "What does the meter show?", Hazard: "voltage", Chance: 0.75,
				Answers: []Answer{{"nothing", ends("the fuse")}, {"half", ends("the bridge")}, {"all", ends("the lamp")}},
			}},
			{"no", &Look{How: "Stay away.", Chance: 0.25, Causes: []Cause{{"the bar", 0.5, true}, {"the shunt", 0.25, false}}}},
		},
	}
}

func TestFinder(t *testing.T) {
	var s Sheet
	root := board()
	s.Finder("board", root)
	root.Answers[0].Says, root.Answers[1].Then.Causes[0].Says = "changed", "changed" // which what was told does not see
	want := []Finder{{"board", board()}}
	if got := s.Result().Finders; !reflect.DeepEqual(got, want) {
		t.Errorf("told %+v", got)
	}
	text, err := json.Marshal(s.Result())
	if err != nil {
		t.Fatal(err)
	}
	var back Result
	if err := json.Unmarshal(text, &back); err != nil || !reflect.DeepEqual(back, s.Result()) {
		t.Errorf("stored and read back, the result is another: %v", err)
	}
	var asks []string
	var asked []int
	want[0].Root.Walk(func(l *Look, n int) { asks, asked = append(asks, l.Ask), append(asked, n) })
	root = want[0].Root
	numbers := root.Numbers()
	if yes, no := root.Answers[0].Then, root.Answers[1].Then; numbers[&root] != 1 || numbers[yes] != 2 || len(numbers) != 2 || yes.Stops() || !no.Stops() {
		t.Errorf("numbers %v", numbers)
	}
	if !reflect.DeepEqual(asked, []int{0, 1, 2, 2, 2, 1}) || asks[1] != "What does the meter show?" {
		t.Errorf("walked %q, %d", asks, asked)
	}
}

func TestFinderRefuses(t *testing.T) {
	second := func(l *Look) *Look { return l.Answers[0].Then }
	last := func(l *Look) *Look { return l.Answers[1].Then }
	for want, spoil := range map[string]func(*Look){
		"asks nothing":                                      func(l *Look) { l.Answers = nil },
		"has one answer at its first look":                  func(l *Look) { l.Answers = l.Answers[:1] },
		"has both answers and causes at the look behind":    func(l *Look) { second(l).Causes = last(l).Causes },
		`ends at the look behind "no", and names no cause`:  func(l *Look) { last(l).Causes = nil },
		`has nothing behind the answer "no"`:                func(l *Look) { l.Answers[1].Then = nil },
		`has the answer "yes" twice at its first look`:      func(l *Look) { l.Answers[1].Says = "yes" },
		"has no words for the question of its first look":   func(l *Look) { l.Ask = " " },
		"has no words for an answer of its first look":      func(l *Look) { l.Answers[1].Says = "" },
		"has no words for a cause of the look behind":       func(l *Look) { last(l).Causes[1].Says = "" },
		"letters in the question of its first look":         func(l *Look) { l.Ask = strings.Repeat("é", longestAsk+1) },
		"letters in how to look at the look behind":         func(l *Look) { last(l).How = strings.Repeat("a", longestHow+1) },
		"letters in an answer of":                           func(l *Look) { l.Answers[0].Says = strings.Repeat("a", longestAnswer+1) },
		"letters in a cause of":                             func(l *Look) { last(l).Causes[0].Says = strings.Repeat("a", longestCause+1) },
		`has the hazard "high voltage" at the look behind`:  func(l *Look) { second(l).Hazard = "high voltage" },
		"has the chance 1.5 at its first look":              func(l *Look) { l.Chance = 1.5 },
		"has the chance -0.5 at":                            func(l *Look) { last(l).Causes[0].Chance = -0.5 },
		"is NaN":                                            func(l *Look) { l.Chance = math.NaN() },
		"whose chances make 1.1 together":                   func(l *Look) { last(l).Causes[0].Chance = 0.85 },
		"asks more than 24 things one after the other":      func(l *Look) { l.Answers[1].Then = l },
		"has 11 answers at the look behind":                 func(l *Look) { second(l).Answers = make([]Answer, mostAnswers+1) },
		"names 41 causes at the look behind":                func(l *Look) { last(l).Causes = make([]Cause, mostCauses+1) },
		"has more than 400 looks":                           func(l *Look) { bush(l, 0) },
		"how to look at its first look of finder \"board\"": func(l *Look) { l.How = "a\u202eb" },
	} {
		root := board()
		spoil(&root)
		var s Sheet
		m := refusal(func() { s.Finder("board", root) })
		if !strings.Contains(m.Text, want) || m.Hint == "" {
			t.Errorf("want %q, got %+v", want, m)
		}
		if len(s.Result().Finders) > 0 {
			t.Errorf("%q: told all the same", want)
		}
	}
	var s Sheet
	m := refusal(func() {
		s.Knob("k", Range{To: 1, Steps: 2, Label: "k"}, func(float64) { s.Finder("board", board()) })
	})
	if !strings.Contains(m.Text, "under a knob") {
		t.Errorf("under a knob: %+v", m)
	}
}

// bush grows a look to 512 ends.
func bush(l *Look, deep int) {
	if deep == 9 {
		*l = *ends("a")
		return
	}
	*l = Look{Ask: "a", Answers: []Answer{{"yes", &Look{}}, {"no", &Look{}}}}
	bush(l.Answers[0].Then, deep+1)
	bush(l.Answers[1].Then, deep+1)
}
