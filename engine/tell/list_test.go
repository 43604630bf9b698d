package tell

import (
	"reflect"
	"testing"
)

// The short form gives what the long one does.
func TestList(t *testing.T) {
	var short, long Sheet
	short.List("points", Words("state").Numbers("speed", "Hz", 2).Row("idle", 16.65).Row("gauge", 3))
	short.List("steps", Numbers("step", "", 0).Words("what").Row(1, "off"))
	long.Table(Table{
		Name:    "points",
		Columns: []Column{{Head: "state"}, {Head: "speed", Unit: "Hz", Decimals: 2}},
		Rows:    [][]Entry{{Text("idle"), Number(16.65)}, {Text("gauge"), Number(3)}},
	})
	long.Table(Table{
		Name:    "steps",
		Columns: []Column{{Head: "step"}, {Head: "what"}},
		Rows:    [][]Entry{{Number(1), Text("off")}},
	})
	if !reflect.DeepEqual(short.Result(), long.Result()) {
		t.Errorf("short form:\n%+v\nlong form:\n%+v", short.Result(), long.Result())
	}
}

// A table that two others begin with keeps to itself.
func TestRowSharesNothing(t *testing.T) {
	begun := Words("who").Words("a").Words("b")
	left, right := begun.Words("left"), begun.Words("right")
	if left.Columns[3].Head != "left" || right.Columns[3].Head != "right" {
		t.Errorf("the fourth columns are %q and %q", left.Columns[3].Head, right.Columns[3].Head)
	}
	rows := Words("who").Row("a").Row("b").Row("c")
	one, two := rows.Row("one"), rows.Row("two")
	if one.Rows[3][0].Text != "one" || two.Rows[3][0].Text != "two" || len(rows.Rows) != 3 {
		t.Errorf("the fourth rows are %v and %v; %d rows were begun with", one.Rows[3], two.Rows[3], len(rows.Rows))
	}
}

func TestListRefuses(t *testing.T) {
	const next = `hand over words such as "idle", or a float64 or int, such as float64(gauge)`
	for _, c := range []struct {
		what         string
		do           func(s *Sheet)
		text, advice string
	}{
		{"a truth", func(*Sheet) { Words("a").Row("idle", true) }, "entry 2 of a row is neither words nor a number", next},
		{"no words", func(*Sheet) { Words("a").Row("") }, "entry 1 of a row is empty", `say in words what it means, such as "none"`},
		{"nothing", func(*Sheet) { Words("a").Row(nil) }, "entry 1 of a row is neither words nor a number", next},
		{"no row", func(s *Sheet) { s.List("a", Words("b")) }, `table "a" is empty`, "give it at least one column and one row"},
		{"too short a row", func(s *Sheet) { s.List("a", Words("b").Words("c").Row("d")) },
			`row 1 of table "a" has 1 entries for 2 columns`, "give each row one entry a column"},
	} {
		t.Run(c.what, func(t *testing.T) {
			defer func() {
				m, ok := recover().(Misuse)
				if !ok || m.Text != c.text || m.Hint != c.advice {
					t.Errorf("got %+v", m)
				}
			}()
			c.do(new(Sheet))
			t.Error("nothing was refused")
		})
	}
}
