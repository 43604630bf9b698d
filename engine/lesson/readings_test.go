package lesson

import (
	"fmt"
	"strings"
	"testing"
)

const someReadings = "# Read on one day.\ndate;role;quantity;expect;value;unit;uncertainty;note\n" +
	"2026-11-03;docent;speed;;16,64;Hz;0,02;\n;;;;;;;\n2026-11-03;docent;;field.ohms;84,2;ohm;;cold\n"

// A file in the form of readings is read as such, with a spreadsheet's
// semicolons and decimal commas, and is a table as well.
func TestParseReadings(t *testing.T) {
	d, messages := ParseData("07-a/day.csv", []byte(someReadings))
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	if len(d.Readings) != 2 || d.Readings[0].Value != 16.64 || d.Readings[1].Expect != "field.ohms" || d.Readings[1].Line != 5 {
		t.Errorf("%+v", d.Readings)
	}
	if got, want := fmt.Sprint(d.Columns), "[{date  true 0} {role  true 0} {quantity  true 0} {expect  true 0} {value  false 2} {unit  true 0} {uncertainty  true 0} {note  true 0}]"; got != want {
		t.Errorf("columns %s, want %s", got, want)
	}
	var rows []string
	for _, row := range d.Rows {
		var fields []string
		for _, e := range row {
			fields = append(fields, fmt.Sprintf("%s %v %v", e.Text, e.Number, e.Missing))
		}
		rows = append(rows, strings.Join(fields, "|"))
	}
	if got, want := strings.Join(rows, "\n"), "2026-11-03 0 false|docent 0 false|speed 0 false| 0 true|16,64 16.64 false|Hz 0 false|0,02 0 false| 0 true\n"+
		"2026-11-03 0 false|docent 0 false| 0 true|field.ohms 0 false|84,2 84.2 false|ohm 0 false| 0 true|cold 0 false"; got != want {
		t.Errorf("rows\n%s\nwant\n%s", got, want)
	}
	if _, messages := ParseData("07-a/day.csv", []byte(strings.Replace(someReadings, "speed", "sped", 1))); len(messages) != 1 || !strings.Contains(messages[0].String(), `day.csv:3:19: "sped" is nothing that the model can be held against`) {
		t.Errorf("%s", list(messages))
	}
	// The form of readings at steps of earlier days says what it lacks.
	_, messages = ParseData("07-a/day.csv", []byte("# Old.\nexpect,reading,unit,when\nvolts,3,V,Monday\n"))
	if got := list(messages); !strings.Contains(got, `unknown column "reading"`) || !strings.Contains(got, `did you mean "value"`) || !strings.Contains(got, `did you mean "date"`) {
		t.Errorf("%s", got)
	}
}

// A table of something else is one, whatever its spreadsheet puts between the
// columns.
func TestDataSemicolons(t *testing.T) {
	for _, source := range []string{"# A.\nload (A);speed (Hz)\n0,5;16,52\n", "# A.\nload (A)\tspeed (Hz)\n0,5\t16,52\n", "# A.\nload (A);speed (Hz)\n0.5;16.52\n"} {
		d, messages := ParseData("a.csv", []byte(source))
		if len(messages) > 0 || d.Readings != nil || d.Rows[0][0].Number != 0.5 || d.Rows[0][1].Number != 16.52 || d.Columns[1].Decimals != 2 {
			t.Errorf("%q: %+v %s", source, d, list(messages))
		}
	}
	if _, messages := ParseData("a.csv", []byte("# A.\nload (A),speed (Hz)\n\"0,5\",16\n")); len(messages) != 1 { // half, or five?
		t.Errorf("%s", list(messages))
	}
}

// What was read beside lessons is the house's, but for what is of a step alone,
// and for the lessons beside the course. Whoever wants nothing else gets the same.
func TestEntered(t *testing.T) {
	dir := tree(t, map[string]string{
		"01-a/lesson.md": block(`data = ["day.csv"]`), "01-a/day.csv": someReadings,
		"02-b/lesson.md": block("data = [\"day.csv\", \"odd.csv\"]\nbeside = true"), "02-b/day.csv": someReadings, "02-b/odd.csv": "a,b\n",
	})
	in := open(t, dir)
	lessons, _ := ReadAll(in)
	all := Entered(lessons)
	if len(all) != 1 || all[0].Quantity != "speed" || len(lessons[1].Entered()) != 1 {
		t.Errorf("%+v", all)
	}
	if len(lessons[0].ForCells(all)) != 1 || len(lessons[1].ForCells(all)) != 2 {
		t.Error("cells of the lesson beside the course do not see its readings, or see them twice")
	}
	again, messages := ReadEntered(in)
	if fmt.Sprint(again) != fmt.Sprint(all) || len(messages) != 1 || !strings.Contains(messages[0].File, "odd.csv") {
		t.Errorf("%+v, %s", again, list(messages))
	}
}
