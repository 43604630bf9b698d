package bench_test

import (
	"slices"
	"strings"
	"testing"

	"slipring/engine/tell"
)

// A finder leads each fault, by what it shows, to a place that names it, whatever
// room there is; a page takes it; and nobody goes behind an open board under power
// who could measure with all power off.
func TestFinderFinds(t *testing.T) {
	d := shippedDictionary(t)
	for _, most := range [][2]int{{3, 1}, {60, 12}, {200, 12}, {400, 23}} {
		places := most[0]
		var s tell.Sheet
		s.Finder("board", d.Finder(places, most[1]))
		root := s.Result().Finders[0].Root
		count := 0
		before := map[*tell.Look]string{} // the hazard of the look that leads there
		root.Walk(func(l *tell.Look, asked int) {
			count++
			if asked > most[1] {
				t.Errorf("%d questions after each other, and %d were given", asked, most[1])
			}
			for _, a := range l.Answers {
				before[a.Then] = l.Hazard
			}
			more := strings.HasPrefix(l.How, "Going on would part them. Next: ")
			if alike := strings.HasPrefix(l.How, "No look of this list"); len(l.Causes) > 0 && len(l.Causes) < 40 && !more {
				group := 0
				for _, fault := range d.Faults() {
					if d.Sentence(fault) == l.Causes[0].Says {
						group = len(d.Group(fault))
					}
				}
				if group != len(l.Causes) || alike != (group > 1) {
					t.Errorf("it ends with %+v and says %q", l.Causes, l.How)
				}
			}
			if more && l.Hazard == "" && before[l] == "" && strings.Contains(l.How, "All power off") {
				t.Errorf("%q has no hazard", l.How)
			}
			if strings.HasPrefix(l.Ask, "All power off") && (l.Hazard == "" || !strings.Contains(l.How, "proved dead")) {
				t.Errorf("%q has no hazard, or says nothing of a proof", l.Ask)
			}
			for _, a := range l.Answers {
				if strings.HasPrefix(l.Ask, "All power off") && strings.HasPrefix(a.Then.Ask, "While it runs: lamp") {
					t.Errorf("after %q it asks %q", l.Ask, a.Then.Ask)
				}
			}
		})
		if count > places {
			t.Errorf("%d places, and %d were given", count, places)
		}
		for _, fault := range d.Faults() {
			at := &root
			for len(at.Answers) > 0 {
				shows := d.Asked(at.Ask, fault)
				i := slices.IndexFunc(at.Answers, func(a tell.Answer) bool { return a.Says == shows })
				if i < 0 {
					t.Fatalf("%s: %q has no answer %q", fault, at.Ask, shows)
				}
				at = at.Answers[i].Then
			}
			named := slices.ContainsFunc(at.Causes, func(c tell.Cause) bool { return c.Says == d.Sentence(fault) && c.Stop == d.Stops(fault) })
			if !named && !strings.HasPrefix(at.Causes[len(at.Causes)-1].Says, "Something else") {
				t.Errorf("with %d places, %s is led to %+v", places, fault, at.Causes)
			}
		}
	}

	defer func() {
		if m, ok := recover().(tell.Misuse); !ok || m.Text != "a finder cannot have 100 places and 24 questions after each other" {
			t.Errorf("%v", m)
		}
	}()
	d.Finder(100, 24)
}
