package logbook

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/reading"
	"slipring/engine/tell"
)

// All numbers here are invented.

func entryOf(blocks string) string {
	return "```entry\ntitle = \"An entry\"\nby = \"the drum keeper\"\ncard = \"set\"\nparts = [\"battery\"]\n```\n\n" + blocks
}

// opened writes files below a folder and opens it.
func opened(t *testing.T, files map[string]string) *folder.Folder {
	t.Helper()
	dir := t.TempDir()
	for name, content := range files {
		at := filepath.Join(dir, "logbook", filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	in := folder.Open(dir)
	t.Cleanup(in.Close)
	return in
}

func said(messages []diag.Message) string {
	var b strings.Builder
	for _, m := range messages {
		fmt.Fprintf(&b, "%s:%d:%d: %s\n", filepath.Base(m.File), m.Line, m.Column, m.Text)
	}
	return b.String()
}

func around(t *testing.T) Around {
	t.Helper()
	history, messages := card.ReadHistory("history.toml", []byte(`
[again]
date = 2026-09-01
card = "set"
by = "the drum keeper"
why = "Once more."
changed = [ { constant = "battery.voltage", was = 49, is = 48, unit = "V" } ]

[first]
date = 2026-05-12
card = "set"
by = "the drum keeper"
why = "It was read."
changed = [ { constant = "battery.voltage", was = 50, is = 49, unit = "V" } ]

[other]
date = 2026-05-01
card = "other"
by = "the drum keeper"
why = "It is another set."
changed = [ { constant = "battery.voltage", was = 12, is = 13, unit = "V" } ]
`))
	readings, more := reading.Parse("readings.csv", []byte("# Invented.\ndate,role,set,quantity,where,value,unit,uncertainty,load\n"+
		"2026-05-12,the drum keeper,set,speed,coupling,16.70,Hz,0.01,idle\n"+
		"2026-05-12,the drum keeper,set,speed,coupling,16.60,Hz,0.01,full\n"+
		"2026-05-12,the drum keeper,set,speed,crank,16.61,Hz,0.01,full\n"+
		"2026-05-12,the drum keeper,other,speed,coupling,11.00,Hz,0.01,idle\n"+
		"2026-05-12,the drum keeper,set,bus voltage,board,47.0,V,0.1,idle\n"+
		"2026-05-12,the drum keeper,set,bus voltage,board,47.0,V,0.1,full\n"))
	if messages = append(messages, more...); diag.HasError(messages) {
		t.Fatal(messages)
	}
	one := func(name string, volts float64) machine.Card {
		return machine.Card{Name: name, Parts: []machine.Part{{Name: "battery", Given: map[string]machine.Given{"voltage": {Value: volts, Unit: "V"}}}}}
	}
	return Around{
		Folder:  proof.Folder{Cards: []machine.Card{one("set", 48), one("other", 13)}, Lessons: []*lesson.Lesson{{Slug: "speed"}}},
		History: history, Readings: readings,
		Told: []proof.Checked{{Lesson: &lesson.Lesson{Slug: "speed"}, Result: tell.Result{Values: []tell.Value{{Name: "idle.speed", Number: 16.65, Unit: "Hz"}}}}},
	}
}

// A number of an entry is that of its day: what was read, and what the card said
// at the end of it, however often the card has changed since.
func TestNumbersOfTheDay(t *testing.T) {
	for _, c := range []struct{ day, number, want string }{
		{"2026-05-11", "[50 V][card.battery.voltage]", ""},
		{"2026-05-11", "[48 V][card.battery.voltage]", `"48 V" is written, but the card of that day gives 50 V`},
		{"2026-05-12", "[49 V][card.battery.voltage]", ""},
		{"2026-08-31", "[49 V][card.battery.voltage]", ""},
		{"2026-09-01", "[48 V][card.battery.voltage]", ""},
		{"2027-01-01", "[48 V][card.battery.voltage]", ""},
		{"2027-01-01", "[50 V][was.first.battery.voltage], [49 V][is.first.battery.voltage], [49 V][was.again.battery.voltage]", ""},
		{"2027-01-01", "[12 V][was.other.battery.voltage]", `nothing defines the label "was.other.battery.voltage"`},
		{"2027-01-01", "[16.7 Hz][reading.2026-05-12.speed.idle]", ""},
		{"2027-01-01", "[1002 r/min][reading.2026-05-12.speed.idle]", ""},
		{"2027-01-01", "[16.7 Hz][reading.2026-05-12.speed]", `"reading.2026-05-12.speed" means several readings`},
		{"2027-01-01", "[16.6 Hz][reading.2026-05-12.speed.full.coupling]", ""},
		{"2027-01-01", "[16.6 Hz][reading.2026-05-12.speed.full]", "means several readings"},
		{"2027-01-01", "[47 V][reading.2026-05-12.bus-voltage]", ""}, // both say the same
		{"2027-01-01", "[16.65 Hz][lesson.speed.idle.speed]", "what was found hangs on the model"},
	} {
		in := opened(t, map[string]string{c.day + "-a.md": entryOf("```found\nIt is " + c.number + ".\n```\n")})
		entries, messages := ReadAll(in, language.Set{}, nil)
		if len(messages) > 0 || len(entries) != 1 {
			t.Fatal(said(messages))
		}
		got := said(Check(entries, around(t)))
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s on %s: %q, want %q", c.number, c.day, got, c.want)
		}
	}
}

// What the model gave on the day stays as it was written, and the page is told
// what the model gives now; a card that was changed since explains it.
func TestModelMovesOn(t *testing.T) {
	for day, warned := range map[string]bool{"2026-08-31": false, "2026-09-02": true} {
		in := opened(t, map[string]string{day + "-a.md": entryOf("```done\nThe model gives [16.5 Hz][lesson.speed.idle.speed].\n```\n")})
		entries, _ := ReadAll(in, language.Set{}, nil)
		messages := Check(entries, around(t))
		if got := len(messages) == 1 && messages[0].Level == diag.Warning; got != warned || diag.HasError(messages) {
			t.Errorf("%s: %s", day, said(messages))
		}
		r := entries[0].Report
		if len(r.Drifts) != 0 {
			t.Errorf("%s: amending would write %v", day, r.Drifts)
		}
		if len(r.Printed) != 1 {
			t.Errorf("%s: the page prints %v", day, r.Printed)
		}
		for n, printed := range r.Printed {
			if printed != "16.5\u00a0Hz" && printed != "16.5 Hz" || !strings.HasPrefix(r.Now[n], "16.6") && !strings.HasPrefix(r.Now[n], "16.7") {
				t.Errorf("%s: the page prints %q, and now %q", day, printed, r.Now[n])
			}
		}
	}
}

func TestQuestions(t *testing.T) {
	in := opened(t, map[string]string{
		"2026-01-01-a.md": entryOf("```open why\nWhy?\n```\n"),
		"2026-01-02-b.md": entryOf("```answer why\nSo.\n```\n\n```answer where\nThere.\n```\n"),
		"2026-01-03-c.md": entryOf("```open why\nWhy?\n```\n\n```answer why\nSo again.\n```\n\n```open where\nWhere?\n```\n"),
	})
	entries, messages := ReadAll(in, language.Set{}, nil)
	if len(messages) > 0 {
		t.Fatal(said(messages))
	}
	want := "2026-01-02-b.md:12:1: no entry before this one asked the question \"where\"\n" +
		"2026-01-03-c.md:8:1: the question \"why\" was asked in the entry \"a\" of 2026-01-01\n" +
		"2026-01-03-c.md:12:1: the question \"why\" was answered in the entry \"b\" of 2026-01-02\n"
	if got := said(Check(entries, around(t))); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// What is read, and in which order; words in another language lie below words.
func TestReadAll(t *testing.T) {
	french := "```entry\ntitle = \"Une note\"\nby = \"le gardien\"\n```\n\n```done\nFait.\n```\n"
	in := opened(t, map[string]string{
		"2026-02-01-b.md": entryOf("```done\nDone.\n```\n"), "2025-12-31-a.md": entryOf("```done\nDone.\n```\n"),
		"notes.txt": "x", ".swp.md": "x", "words/fr/2026-02-01-b.md": french, "words/fr/2026-02-02-b.md": french, "words/de/2026-02-01-b.md": french,
	})
	entries, messages := ReadAll(in, language.Set{}, []string{"en", "fr"})
	want := "de:0:0: \"de\" is not one of the house's other languages\n2026-02-02-b.md:0:0: this translates no entry\n"
	if got := said(messages); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if len(entries) != 2 || entries[0].Name != "a" || entries[1].Date != "2026-02-01" || len(entries[1].Translations) != 1 {
		t.Fatalf("%+v", entries)
	}
	if tr := entries[1].Translations[0].Lesson; tr.Title != "Une note" || tr.Facts.By != "le gardien" || tr.Facts.Card != "set" || !slices.Equal(tr.Facts.Parts, []string{"battery"}) {
		t.Errorf("%+v", tr.Facts)
	}
	if later := Later(entries, "2026-01-31"); len(later) != 1 || later[0].Level != diag.Warning {
		t.Errorf("later: %v", later)
	}
	if entries, messages := ReadAll(opened(t, nil), language.Set{}, []string{"en"}); len(entries)+len(messages) > 0 {
		t.Errorf("a house without a logbook has %v, %v", entries, messages)
	}
}

// A picture is drawn anew: of what else the file holds, such as what a camera
// notes, nothing is left (JPEG's application segments: ITU-T T.81, B.2.4.6).
func TestPicturesHoldNothingElse(t *testing.T) {
	grey := image.NewGray(image.Rect(0, 0, 40, 30))
	grey.Set(3, 4, color.White)
	var p, j bytes.Buffer
	if err := png.Encode(&p, grey); err != nil {
		t.Fatal(err)
	}
	if err := jpeg.Encode(&j, grey, nil); err != nil {
		t.Fatal(err)
	}
	const secret = "Exif\x00\x00 taken at home by somebody"
	segment := append([]byte{0xff, 0xe1, 0, byte(len(secret) + 2)}, secret...)
	noted := slices.Concat(j.Bytes()[:2], segment, j.Bytes()[2:])
	in := opened(t, map[string]string{
		"2026-02-01-b.md": entryOf("```done\n![One](picture:a.png)\n\n![Two](picture:b.jpg)\n```\n"),
		"a.png":           p.String() + secret, "b.jpg": string(noted) + secret,
	})
	entries, messages := ReadAll(in, language.Set{}, nil)
	if len(messages) > 0 {
		t.Fatal(said(messages))
	}
	for _, picture := range entries[0].Pictures {
		drawn, format, err := image.Decode(bytes.NewReader(picture.Content))
		if err != nil || drawn.Bounds().Dx() != 40 || picture.Width != 40 || picture.Height != 30 {
			t.Errorf("%s is a %s of %v, %v", picture.Name, format, drawn, err)
		}
		if bytes.Contains(picture.Content, []byte("somebody")) {
			t.Errorf("%s still says where it was taken", picture.Name)
		}
	}
	if len(entries[0].Pictures) != 2 {
		t.Errorf("%d pictures", len(entries[0].Pictures))
	}
}
