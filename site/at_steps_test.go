package site

import (
	"path"
	"strings"
	"testing"

	"slipring/engine/lesson"
	"slipring/engine/proof"
)

// stepsInput has a lesson with a step at which was read on two days: once as
// expected, with an uncertainty, and once not.
func stepsInput(t *testing.T) Input {
	t.Helper()
	in := inputOf(t, [][2]string{{"first", "```lesson\ntitle = \"Sound\"\n```\n\n" + battery}})
	source := "# Invented.\ndate,role,expect,value,unit,uncertainty,instrument,class\n" +
		"2026-03-04,the <Tuesday> volunteer,idle.speed,20.05,Hz,0.03,tachometer,0.07\n2026-03-11,the docent,idle.speed,1230,1/min,,,\n"
	d, messages := lesson.ParseData("first/day.csv", []byte(source))
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	one := &in.Lessons[0]
	one.Lesson.Data = []lesson.Data{d}
	one.Report, messages = proof.Folder{House: in.House, Cards: in.Cards, Lessons: []*lesson.Lesson{one.Lesson}}.Check(one.Lesson, one.Result)
	if len(messages) > 0 {
		t.Fatal(messages)
	}
	return in
}

// What was read at a lesson's steps stands on the lesson's page, on that of all
// readings and in the logbook of work, each beside what its step expects.
func TestReadAtSteps(t *testing.T) {
	in := stepsInput(t)
	pages := documents(t, treeOf(t, in))
	led := 0
	for page, want := range map[string][]string{
		"course/first/index.html": {"20.05 Hz, as expected (4 March 2026)", "20.50 Hz, not as expected: go by what stands below (11 March 2026)"},
		// 20.05 - 19.95 Hz in root of 0.03^2 + (0.005^2 + 0.07^2)/3 Hz
		measuredPath:         {"At the steps that wake the set", "4 March 2026: readings 1, not as expected 0", "11 March 2026: readings 1, not as expected 1", "Step 1, Battery19.95 Hz, from 19.75 Hz to 20.15 Hz20.05 Hz, as expected+2.0the <Tuesday> volunteertachometer", "20.50 Hz, not as expectedthe docent"},
		bookPath:             {"4 March 2026 Readings at the steps of “Sound”", "Step 1, Battery. Expected: 19.95 Hz, from 19.75 Hz to 20.15 Hz. Read: 20.05 Hz, as expected.", "Read: 20.50 Hz, not as expected. Each beside what its step expects"},
		"logbook/index.html": {"What was read"},
	} {
		d := pages[page]
		if d == nil {
			t.Fatalf("there is no %s", page)
		}
		whole := strings.ReplaceAll(strings.Join(strings.Fields(text(d.root)), " "), "\u00a0", " ")
		for _, s := range want {
			if !strings.Contains(whole, s) {
				t.Errorf("%s does not say %q in\n%s", page, s, whole)
			}
		}
		for _, a := range d.tags("a") {
			href, id, found := strings.Cut(attr(a, "href"), "#")
			if page == "course/first/index.html" || !found || !strings.Contains(id, "step") {
				continue
			}
			to := pages[path.Join(path.Dir(page), href)]
			if href == "" {
				to = d
			}
			if to == nil || !to.ids[id] {
				t.Errorf("%s leads to %s#%s, which is not there", page, href, id)
			}
			led++
		}
	}
	if led != 6 { // of each day a row, a moment, and its line by part of the machine
		t.Errorf("%d links lead to steps and days", led)
	}
	// What was read beside a lesson that stands beside the course is its own.
	in.Lessons[0].Lesson.Facts.Beside = true
	if treeOf(t, in)[measuredPath] != nil {
		t.Error("there is a page of what was read at the steps of the author's guide")
	}
}
