package lesson

import (
	"fmt"
	"strings"
	"testing"

	"slipring/engine/diag"
)

const someData = `# Invented for the demonstration:
# made by the engine, with noise.
load (A),speed (Hz),"who, and when",mark
0.5,19.95,"Tuesday, 10:00",3
1,-,"said ""fast""",4
1.25e0,+19.845, - ,-5
`

func TestParseData(t *testing.T) {
	d, messages := ParseData("lessons/07-a/readings.csv", []byte(someData))
	if len(messages) > 0 {
		t.Fatal(list(messages))
	}
	if d.Name != "readings" || d.Note != "Invented for the demonstration: made by the engine, with noise." {
		t.Errorf("%q: %q", d.Name, d.Note)
	}
	want := "[{load A false 2} {speed Hz false 3} {who, and when  true 0} {mark  false 0}]"
	if got := fmt.Sprint(d.Columns); got != want {
		t.Errorf("columns %s, want %s", got, want)
	}
	want = "[[{ 0.5 false 4 1} { 19.95 false 4 5} {Tuesday, 10:00 0 false 4 11} { 3 false 4 28}] " +
		"[{ 1 false 5 1} { 0 true 5 3} {said \"fast\" 0 false 5 5} { 4 false 5 21}] " +
		"[{ 1.25 false 6 1} { 19.845 false 6 8} { 0 true 6 16} { -5 false 6 20}]]"
	if got := fmt.Sprint(d.Rows); got != want {
		t.Errorf("rows\n%s\nwant\n%s", got, want)
	}
	again, messages := ParseData("lessons/07-a/readings.csv", []byte("\ufeff"+strings.ReplaceAll(someData, "\n", "\r\n")))
	if len(messages) > 0 || fmt.Sprint(again) != fmt.Sprint(d) {
		t.Errorf("with carriage returns: %v %s", again, list(messages))
	}
}

// The examples of RFC 4180, section 2, under a comment and a head of our form.
// A field may hold commas, quotation marks written twice, and line breaks; the
// last line may go without its end.
func TestDataAfterRFC4180(t *testing.T) {
	const above = "# RFC 4180.\r\n"
	for _, c := range []struct{ source, want string }{
		{"a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", "aaa|bbb|ccc\nzzz|yyy|xxx\n"},
		{"a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx", "aaa|bbb|ccc\nzzz|yyy|xxx\n"},
		{"a,b,c\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", "aaa|bbb|ccc\nzzz|yyy|xxx\n"},
		{"a,b,c\r\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", "aaa|b\nbb|ccc\nzzz|yyy|xxx\n"},
		{"a,b,c\r\n\"aaa\",\"b\"\"bb\",\"ccc\"", "aaa|b\"bb|ccc\n"},
	} {
		d, messages := ParseData("a.csv", []byte(above+c.source))
		if len(messages) > 0 {
			t.Errorf("%q: %s", c.source, list(messages))
		}
		var b strings.Builder
		for _, row := range d.Rows {
			var fields []string
			for _, f := range row {
				fields = append(fields, f.Text)
			}
			b.WriteString(strings.Join(fields, "|") + "\n")
		}
		if b.String() != c.want {
			t.Errorf("%q gives %q, want %q", c.source, b.String(), c.want)
		}
	}
}

func TestParseDataRefuses(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"no comment", "# Invented for the demonstration:\n# made by the engine, with noise.\n", "", "1:1: the first line does not say where the data come from"},
		{"empty comment", "# Invented for the demonstration:\n# made by the engine, with noise.\n", "#\n# \n", "1:1: the first line does not say where the data come from"},
		{"no head", "load (A),speed (Hz),\"who, and when\",mark\n", "", `3:1: the head of a column is the number "0.5"`},
		{"empty head", "mark", " ", "3:37: a column has no head"},
		{"head twice", "mark", "load (V)", `3:37: two columns are headed "load"`},
		{"too few", "1,-,", "1,", "5:1: this line has 3 fields, and the head has 4"},
		{"decimal comma", "0.5,", "0,5,", "4:1: this line has 5 fields, and the head has 4"},
		{"word for a number", "19.95", "fast", `4:5: "fast" stands in the column "speed", which holds numbers`},
		{"number with its unit", "19.95", "19.95 Hz", `4:5: "19.95 Hz" stands in the column "speed", which holds numbers`},
		{"not a number", "19.95", "NaN", `4:5: "NaN" stands in`},
		{"infinite", "19.95", "Inf", `4:5: "Inf" stands in`},
		{"hexadecimal", "19.95", "0x13", `4:5: "0x13" stands in`},
		{"too large", "19.95", "1e999", "4:5: the number 1e999 is too large"},
		{"mixed", "4\n", "four\n", `5:21: "four" stands in the column "mark", which holds numbers`},
		{"empty field", "1,-,", "1,,", "5:3: this field is empty"},
		{"long field", "Tuesday", strings.Repeat("x", 201), "4:11: this field has 208 bytes, more than 200"},
		{"quotation mark", "mark", "ma\"rk", "3:39: a quotation mark stands alone in a field"},
		{"never closed", "\"said", "\"\"said", "5:6: a quotation mark stands alone in a field"},
		{"nothing below", someData[strings.Index(someData, "0.5"):], "", "1:1: the file holds no data"},
		{"nothing at all", someData, "# Only this.", "1:1: the file holds no data"},
		{"turned around", "mark", "m\u202erk", "3:38: the character U+202E, which cannot be seen and turns the text behind it around"},
		{"not text", "mark", "m\xffrk", "3:38: the byte 0xff here is not UTF-8"},
		{"too large a file", "mark", strings.Repeat("x", LargestData), "1:1: the file has 4194482 bytes, more than"},
		{"too many columns", "load (A)", "a,b,c,d,e,f,g,h,i,j,k,l,m,n,o,p,q,r,s,t,u,v,w,x,y,z,aa,bb,cc,dd,ee", "3:65: the file has 34 columns, more than 30"},
	} {
		t.Run(c.name, func(t *testing.T) {
			changed := strings.Replace(someData, c.old, c.new, 1)
			if changed == someData {
				t.Fatalf("%q is not in the file", c.old)
			}
			_, messages := ParseData("readings.csv", []byte(changed))
			if len(messages) == 0 {
				t.Fatal("nothing is wrong")
			}
			if got := messages[0].String(); !strings.HasPrefix(got, "readings.csv:"+c.want) {
				t.Errorf("got %s, want %s", got, c.want)
			}
			for _, m := range messages {
				if m.Hint == "" || m.Rule != "data" || m.Level != diag.Error {
					t.Errorf("%+v", m)
				}
			}
		})
	}
}

func TestReadAllData(t *testing.T) {
	dir := tree(t, map[string]string{
		"01-a/lesson.md":     block(`data = ["good.csv", "bad.csv", "missing.csv", "out.csv", "folder.csv"]`),
		"01-a/good.csv":      someData,
		"01-a/bad.csv":       "a,b\n",
		"01-a/out.csv":       "-> ../../secret.csv",
		"01-a/folder.csv/x":  "",
		"01-a/not-asked.csv": "",
	})
	lessons, messages := ReadAll(open(t, dir))
	const want = `01-a/bad.csv:1:1: the first line does not say where the data come from
01-a/lesson.md:3:32: "missing.csv" is not beside the lesson
01-a/lesson.md:3:47: "out.csv" cannot be read: path escapes from parent
01-a/lesson.md:3:58: "folder.csv" cannot be read: it is no ordinary file
`
	var b strings.Builder
	for _, m := range messages {
		line, _, _ := strings.Cut(m.String(), "\n")
		b.WriteString(strings.ReplaceAll(strings.TrimPrefix(line, dir)[1:], `\`, "/") + "\n")
	}
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
	if d, ok := lessons[0].DataNamed("good"); !ok || len(d.Rows) != 3 {
		t.Errorf("good: %v %+v", ok, d)
	}
	if _, ok := lessons[0].DataNamed("not-asked"); ok {
		t.Error("data that the lesson does not name are there")
	}
}

// Whatever the file: no panic, findings with a place in it, and a table whose
// rows are all as long as its head.
func FuzzParseData(f *testing.F) {
	for _, s := range []string{someData, "", "#", "# a\n", "# a\na", "# a\na\n1", "# a\na\n-\n", "# a\n\"a\n\",b\n1,2", "\ufeff# a\r\na\r\n1\r\n", "# a\na\n1e308\n1e309", "# a\n(b)\n1"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, source []byte) {
		d, messages := ParseData("a.csv", source)
		lines := strings.Count(string(source), "\n") + 1
		for _, m := range messages {
			if m.Line < 1 || m.Line > lines || m.Column < 1 || m.Text == "" || m.Hint == "" {
				t.Errorf("%+v", m)
			}
		}
		if len(messages) > 0 {
			return
		}
		if d.Note == "" || len(d.Columns) == 0 || len(d.Rows) == 0 {
			t.Errorf("accepted %+v", d)
		}
		for _, row := range d.Rows {
			if len(row) != len(d.Columns) {
				t.Fatalf("%d fields under %d heads", len(row), len(d.Columns))
			}
			for i, e := range row {
				if e.Line < 1 || e.Line > lines || e.Column < 1 || d.Columns[i].Words != (e.Text != "") && !e.Missing {
					t.Errorf("%+v under %+v", e, d.Columns[i])
				}
			}
		}
	})
}
