package rows_test

import (
	"fmt"
	"strings"
	"testing"

	"slipring/engine/rows"
)

var form = rows.Form{Rule: "form", Sample: "# Note.\na,b\n1,2", Separators: ",;"}

func TestRead(t *testing.T) {
	note, records, messages := rows.Read("x.csv", []byte("\ufeff# One,\n\"# Two\";;\r\na;\"b; c\"\r\n 1,5 ;2\n"), form)
	if len(messages) > 0 || note != "One Two" {
		t.Fatalf("%q, %v", note, messages)
	}
	// As RFC 4180 has it: a separator between quotation marks is none.
	if got, want := fmt.Sprint(records), "[[{a 3 1} {b; c 3 3}] [{1,5 4 1} {2 4 7}]]"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

func TestReadSaysWhere(t *testing.T) {
	for want, source := range map[string]string{
		"x.csv:1:1: the first line does not say where":        "a,b\n",
		"x.csv:3:4: a quotation mark stands alone in a field": "# Note.\na,b\n1,2\"3\n",
		"x.csv:2:1: the": "# Note.\n\u200ba,b\n",
		"x.csv:1:1: the file has 4194305 bytes, more than": "# Note.\n" + strings.Repeat("a", rows.Largest-7),
	} {
		_, _, messages := rows.Read("x.csv", []byte(source), form)
		if len(messages) != 1 || messages[0].Rule != "form" || messages[0].Hint == "" || !strings.HasPrefix(messages[0].String(), want) {
			t.Errorf("%v, want %s", messages, want)
		}
	}
}

// What is written anew keeps how the file was written.
func TestRewrite(t *testing.T) {
	for source, want := range map[string]string{
		"# Note.\na,b\n1,2\n":            "# Note.\na,b\n\"1,5\",2\n",
		"\ufeff# One;\r\na;b\r\n1;2\r\n": "\ufeff# One;\r\na;b\r\n1,5;2\r\n",
		"# New.\n":                       "# New.\na,b\n\"1,5\",2\n",
	} {
		got := string(form.Rewrite([]byte(source), [][]string{{"a", "b"}, {"1,5", "2"}}))
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
		if _, records, messages := rows.Read("x.csv", []byte(got), form); len(messages) > 0 || len(records) != 2 || records[1][0].Text != "1,5" {
			t.Errorf("%q is read as %v %v", got, records, messages)
		}
	}
}

// What stands within words, or before decimals, is no separator.
func TestSeparator(t *testing.T) {
	for source, want := range map[string]rune{
		"a,b\n1,2\n":                       ',',
		"a;b\n1;2\n":                       ';',
		"a;b\n0,5;1,2\n":                   ';',
		"# One, two; three;\n\na,b\n1,2\n": ',',
		"a,\"b; c; d; e\",f\n1,2,3\n":      ',',
		"a, or b (V);c, or d (A)\n0,5;1\n": ';',
		"a,b; c; d; e,f\n1,2,3\n":          ',', // not in the line below
		"a,b; c; d; e,f\n":                 ';', // there is none
		"one column\n1,5\n":                ',',
	} {
		if got := form.Separator([]byte(source)); got != want {
			t.Errorf("%q: %q, want %q", source, got, want)
		}
	}
}

var columns = rows.Columns{Known: []string{"from", "to", "note"}, Needed: 2}

func TestHeads(t *testing.T) {
	for source, want := range map[string]string{
		"to,,From": "", "from,to,note": "",
		"from,note":       `2:1: there is no column "to"`,
		"from,two":        `2:6: unknown column "two", did you mean "to"?`,
		"from,to,colours": `2:9: unknown column "colours", columns are: from, to, note`,
		"from,to,TO":      `2:9: two columns are headed "to"`,
	} {
		_, records, _ := rows.Read("x.csv", []byte("# Note.\n"+source+"\n"), form)
		said := ""
		_, ok := columns.Heads(records[0], func(at rows.Field, text, hint string) {
			said += fmt.Sprintf("%d:%d: %s, %s", at.Line, at.Column, text, hint)
		})
		if ok != (want == "") || !strings.HasPrefix(said, want) || want == "" && said != "" {
			t.Errorf("%s: %s, want %s", source, said, want)
		}
	}
}

func TestFieldsUnderHeads(t *testing.T) {
	_, records, _ := rows.Read("x.csv", []byte("# Note.\nto,,from\nb,,a\n,,\nc\nd,,e,,\nf,,g,h\n"), form)
	said := ""
	heads, _ := columns.Heads(records[0], func(at rows.Field, text, hint string) {
		said += fmt.Sprintf("%d:%d: %s", at.Line, at.Column, text)
	})
	got := ""
	for _, record := range rows.Filled(records[1:]) {
		f, has := heads.Field(record, "from")
		got += fmt.Sprintf("%s %d:%d %v %v; ", f.Text, f.Line, f.Column, has, heads.Fits(record))
	}
	if want := "a 3:4 true true;  5:1 false true; e 6:4 true true; g 7:4 true false; "; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if want := "7:6: this line has 4 fields under 3 columns"; said != want {
		t.Errorf("%s, want %s", said, want)
	}
}
