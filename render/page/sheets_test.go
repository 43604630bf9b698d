package page

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/engine/proof"
)

// What a lesson has for teachers comes by what it is, in the order of the
// lesson, with its numbers as the model gives them; and it stands on no other
// page.
func TestForTeachers(t *testing.T) {
	in := source(t)
	l, messages := lesson.Parse("lesson.md", []byte(sample+"\n```teacher experiment\nHang a key on a rubber band.\n```\n\n"+
		"```teacher 8-10\nWhat turns?\n```\n\n```teacher 8-10\n## Count\n\nIt makes [20.0 Hz][idle.speed]. <b>\n```\n"))
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	report, messages := proof.Folder{House: house, Cards: in.Cards, Lessons: []*lesson.Lesson{l, {Slug: "other", Title: "The other"}}}.Check(l, in.Result)
	if diag.HasError(messages) {
		t.Fatal(messages)
	}
	in.Lesson, in.Report = l, report
	had, messages := ForTeachers(in)
	if diag.HasError(messages) {
		t.Error(messages)
	}
	got := map[string][]string{}
	for what, blocks := range had {
		for _, b := range blocks {
			root := parsed(t, string(b))
			got[what] = append(got[what], strings.Join(strings.Fields(text(root)), " "))
			if len(find(root, "h2", "")) > 0 {
				t.Errorf("a heading of %s stands as high as the sheet's own: %s", what, b)
			}
		}
	}
	want := map[string][]string{"experiment": {"Hang a key on a rubber band."}, "8-10": {"What turns?", "Count It makes 20.0 Hz. <b>"}}
	if !maps.EqualFunc(got, want, slices.Equal) {
		t.Errorf("teachers have %q, want %q", got, want)
	}

	course, _ := NewCourse(in, Links{})
	kiosk, _ := NewKiosk(in, Links{})
	pieces := []string{string(course.Body)}
	for _, p := range kiosk.Panels {
		pieces = append(pieces, string(p.Text))
	}
	for _, edition := range []Edition{Visitors, Guide, LargePrint} {
		h, _ := NewHandout(in, edition)
		for _, s := range h.Story {
			pieces = append(pieces, string(s.Text))
		}
	}
	for _, piece := range pieces {
		if strings.Contains(piece, "rubber band") {
			t.Errorf("what is for teachers stands on another page: %s", piece)
		}
	}
}
