package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/machine"
)

// fitFolder makes a folder with the shipped card, as of a day that is past
// everywhere, and readings and a history of the test's own.
func fitFolder(t *testing.T, readings, history string) (dir string) {
	t.Helper()
	dir = t.TempDir()
	source, err := os.ReadFile("../../lessons/cards/bell-current-set.toml")
	if err != nil {
		t.Fatal(err)
	}
	text := regexp.MustCompile(`(?m)^revised = .*$`).ReplaceAllString(string(source), "revised = 2024-01-05")
	files := map[string]string{"cards/bell-current-set.toml": text, "readings/first.csv": readings, "house.toml": ""}
	if history != "" {
		files["history.toml"] = history
	}
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o640); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// contents gives all files of a folder.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			var b []byte
			b, err = os.ReadFile(filepath.Join(dir, name))
			out[name] = string(b)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func amendIn(t *testing.T, dir string, flags ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(t.Context(), append(append([]string{"calibrate", "-amend"}, flags...), dir), &out, &errs)
	clean := strings.NewReplacer(dir+string(filepath.Separator), "")
	return code, clean.Replace(out.String()), clean.Replace(errs.String())
}

const (
	fitReadings = "# Invented for this test.\ndate;role;quantity;value;unit;uncertainty;instrument;class;load\n" +
		"2024-02-01;docent;speed;16,654;Hz;0,005;;;idle\n2024-02-01;docent;contact open;62,9;%;0,5;;;idle\n2024-02-02;docent;motor.armature-resistance;0,53;ohm;;ohmmeter;1 %;\n"
	fitHistory = "# Newest first.\n\n[warm]\ndate = 2024-01-05\ncard = \"bell-current-set\"\nby = \"a docent\"\nwhy = \"Warm.\"\n" +
		"changed = [ { constant = \"motor.armature-resistance\", was = 0.5, is = 0.52, unit = \"ohm\" } ]\n"
	both = "governor.contact-speed,motor.armature-resistance"
)

// Amending writes two constants, how they go together, the day, and an entry,
// and nothing else. What proof reads then is sound.
func TestAmendCard(t *testing.T) {
	dir := fitFolder(t, fitReadings, fitHistory)
	before := contents(t, dir)
	code, stdout, stderr := amendIn(t, dir, "-constants", both, "-by", "the duty docent", "-why", `It runs "warm" now.`, "-date", "2024-02-03")
	if code != exitClean || stderr != "" {
		t.Fatalf("%d\n%s%s", code, stdout, stderr)
	}
	for _, want := range []string{
		"motor.armature-resistance: 0.52 ± 0.02 ohm (measured) -> 0.52", "governor.contact-speed: 16.79 Hz (assumed) -> 16.79",
		"its note was about the value before, and goes into the history with that: chosen by computation", `history.toml: the entry "fit-of-2024-02-03"`} {
		if !strings.Contains(stdout, want) {
			t.Errorf("without %q:\n%s", want, stdout)
		}
	}
	after := contents(t, dir)
	const name = "cards/bell-current-set.toml"
	s, messages := card.ReadSheet(name, []byte(after[name]))
	h, more := card.ReadHistory("history.toml", []byte(after["history.toml"]))
	if messages = append(append(messages, more...), h.Against([]card.Sheet{s})...); len(messages) > 0 {
		t.Fatal(messages)
	}
	speed, _ := s.Constant("governor.contact-speed")
	resistance, _ := s.Constant("motor.armature-resistance")
	for _, c := range []machine.Constant{speed, resistance} {
		if c.Origin != machine.Fitted || c.Date != "2024-02-03" || c.Uncertainty == 0 || c.Note != "" {
			t.Errorf("%+v", c)
		}
	}
	x := h.List[0]
	if len(h.List) != 2 || x.Label != "fit-of-2024-02-03" || x.Date != "2024-02-03" || x.By != "the duty docent" || x.Why != `It runs "warm" now.` || len(x.Changed) != 2 || s.Revised != "2024-02-03" {
		t.Fatalf("%+v", x)
	}
	if c := x.Changed[0]; c.Constant != resistance.Name() || c.Was != 0.52 || c.Is != resistance.Value || c.WasUncertainty != 0.02 || c.IsUncertainty != resistance.Uncertainty || c.WasFrom != machine.Measured || c.IsFrom != machine.Fitted {
		t.Errorf("%+v", c)
	}
	for i, want := range [][2]string{{"volt-ampere method, warm", "méthode voltampèremétrique, à chaud"}, {"chosen by computation", "choisie par le calcul"}} {
		if c := x.Changed[i]; !strings.HasPrefix(c.WasNote, want[0]) || !strings.HasPrefix(c.WasNoteIn["fr"], want[1]) {
			t.Errorf("the history keeps of the notes on %s %q, %q", c.Constant, c.WasNote, c.WasNoteIn)
		}
	}
	if r := s.Together.Of(speed.Name(), resistance.Name()); r == 0 || len(s.Together.Constants) != 2 {
		t.Errorf("correlations %+v", s.Together)
	}

	// All but the two lines, their notes in French, the day and the table are byte for
	// byte as before.
	changed, was := strings.Split(after[name], "\n"), strings.Split(before[name], "\n")
	var differ []string
	i := 0
	for _, line := range was {
		if strings.HasPrefix(line, `armature-resistance = "méthode voltampèremétrique, à chaud`) || strings.HasPrefix(line, `contact-speed = "choisie`) {
			continue
		}
		if line != changed[i] {
			differ = append(differ, line)
		}
		i++
	}
	if len(differ) != 3 || len(changed) != len(was)-2+7 {
		t.Errorf("%d lines of %d, now %d, differ: %q", len(differ), len(was), len(changed), differ)
	}
	if !strings.HasSuffix(after["history.toml"], strings.TrimPrefix(before["history.toml"], "# Newest first.\n\n")) {
		t.Errorf("the history is\n%s", after["history.toml"])
	}
	delete(after, name)
	delete(after, "history.toml")
	if len(after) != 2 {
		t.Errorf("other files: %v", after)
	}

	// A second entry of that day gets a name of its own.
	if code, _, stderr := amendIn(t, dir, "-constants", both, "-by", "x", "-why", "y", "-date", "2024-02-03"); code != exitClean {
		t.Fatalf("%d\n%s", code, stderr)
	}
	if h, messages := card.ReadHistory("history.toml", []byte(contents(t, dir)["history.toml"])); diag.HasError(messages) || h.List[0].Label != "fit-of-2024-02-03-2" || h.List[0].Changed[0].WasFrom != machine.Fitted {
		t.Errorf("%v %+v", messages, h.List[0])
	}
}

// Each refusal is one message with its place and a next step, and leaves every
// file as it was.
func TestAmendRefuses(t *testing.T) {
	who := []string{"-by", "a docent", "-why", "New."}
	dated := append([]string{"-constants", both, "-date", "2024-02-03"}, who...)
	for name, c := range map[string]struct {
		readings, history string
		flags             []string
		code              int
		want              string
	}{
		"no role":          {"", "", []string{"-why", "New."}, exitUsage, "-amend needs -by\n    say in which role"},
		"no reason":        {"", "", []string{"-by", "a docent"}, exitUsage, "-amend needs -why\n"},
		"lines":            {"", "", []string{"-by", "a\tb", "-why", "New."}, exitUsage, "-by holds what is no text of one line\n"},
		"no day":           {"", "", append([]string{"-date", "soon"}, who...), exitUsage, `-date: "soon" is no day` + "\n"},
		"a day to come":    {"", "", append([]string{"-date", "2999-01-01"}, who...), exitUsage, "-date: 2999-01-01 is after today, 20"},
		"json":             {"", "", append([]string{"-json"}, who...), exitUsage, "-json and -amend do not go together\n"},
		"a later reading":  {fitReadings, "", append([]string{"-constants", both, "-date", "2024-02-01"}, who...), exitWrong, "readings/first.csv:5:1: this reading is of 2024-02-02, which is after 2024-02-01\n"},
		"a later entry":    {fitReadings, strings.Replace(fitHistory, "2024-01-05", "2024-02-09", 1), dated, exitWrong, "history.toml:3:2: the newest entry is of 2024-02-09, which is after 2024-02-03\n    give a later day"},
		"a broken history": {fitReadings, strings.Replace(fitHistory, `"ohm"`, `"V"`, 1), dated, exitWrong, `history.toml:8:15: "V" is no unit for armature-resistance`},
		"a card ahead":     {fitReadings, strings.Replace(fitHistory, "is = 0.52", "is = 0.51", 1), dated, exitWrong, "cards/bell-current-set.toml:42:23: armature-resistance of the motor is 0.52 ohm, but its newest entry"},
		"no uncertainty":   {strings.Replace(fitReadings, "0,005", "", 1), "", dated, exitWrong, "readings/first.csv:3:35: this reading has no uncertainty\n"},
		"a wrong unit":     {strings.Replace(fitReadings, "Hz", "V", 1), "", dated, exitWrong, `readings/first.csv:3:32: "V" is no unit of speed` + "\n"},
		"too few readings": {fitReadings, "", append([]string{"-constants", both + ",shaft.friction,governor.radius", "-date", "2024-02-03"}, who...), exitWrong, "readings: 3 readings cannot fix 4 constants\n    take 1 more, such as "},
		"nothing new":      {fitReadings, "", append([]string{"-constants", "low-tone.winding-resistance", "-date", "2024-02-03"}, who...), exitWrong, "readings: the readings say no more of these constants than the card\n"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := fitFolder(t, c.readings, c.history)
			before := contents(t, dir)
			code, _, stderr := amendIn(t, dir, c.flags...)
			if code != c.code || !strings.Contains(stderr, c.want) || !strings.Contains(stderr, "\n    ") {
				t.Errorf("%d\n%s\nwant %d %s", code, stderr, c.code, c.want)
			}
			after := contents(t, dir)
			for name, text := range after {
				if before[name] != text {
					t.Errorf("%s is now\n%s", name, text)
				}
			}
			if len(after) != len(before) {
				t.Errorf("%d files, and %d before", len(after), len(before))
			}
		})
	}
}

// A file that was saved meanwhile, or is gone, is not written; a link stays one.
func TestAmendPlace(t *testing.T) {
	dir := t.TempDir()
	file, link := filepath.Join(dir, "history.toml"), filepath.Join(dir, "link.toml")
	if got, err := place(file, nil, []byte("new")); err != nil || got.Name != file {
		t.Errorf("%+v, %v", got, err)
	}
	if _, err := place(file, []byte("old"), []byte("new")); err == nil {
		t.Error("a file that is gone was written")
	}
	if err := os.WriteFile(file, []byte("old"), 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(file, link); err != nil {
		t.Fatal(err)
	}
	if got, err := place(link, []byte("old"), []byte("new")); err != nil || filepath.Base(got.Name) != "history.toml" || got.Perm != 0o640 {
		t.Errorf("%+v, %v", got, err)
	}
	for _, read := range []string{"older", ""} {
		if _, err := place(file, []byte(read), []byte("new")); err == nil || !strings.Contains(err.Error(), "changed meanwhile") {
			t.Errorf("with %q read: %v", read, err)
		}
	}
}
