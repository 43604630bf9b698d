package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// begun runs begin and says how it ended.
func begun(args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	code = beginHouse(args, &out, &errs)
	return code, out.String(), errs.String()
}

// Whatever machine a house begins with, its lessons are clean and publish.
func TestBegin(t *testing.T) {
	for _, machine := range machinesToBegin() {
		house := filepath.Join(t.TempDir(), "mill")
		if code, stdout, stderr := begun("-machine", machine, house); code != exitClean || !strings.Contains(stdout, filepath.Join(house, "lessons")) {
			t.Fatal(machine, code, stdout, stderr)
		}
		var stdout, stderr bytes.Buffer
		lessons, pages := filepath.Join(house, "lessons"), filepath.Join(house, "visit")
		if code := run(t.Context(), []string{"proof", lessons}, &stdout, &stderr); code != exitClean || !strings.Contains(stdout.String(), " 0 warnings") || strings.Contains(stdout.String(), " 0 quotes") {
			t.Errorf("%s: proof exits %d: %s%s", machine, code, stdout.String(), stderr.String())
		}
		if code := run(t.Context(), []string{"publish", "-out", pages, lessons}, &stdout, &stderr); code != exitClean {
			t.Errorf("%s: publish exits %d: %s", machine, code, stderr.String())
		}
		for _, page := range []string{"index.html", "course/first-look/index.html", "kiosk/first-look.html", "handout/first-look.html"} {
			if text, err := os.ReadFile(filepath.Join(pages, page)); err != nil || len(text) < 1000 {
				t.Errorf("%s: page %s has %d bytes, %v", machine, page, len(text), err)
			}
		}
	}
}

// A folder that holds something keeps it, and gets nothing.
func TestBeginWritesOverNothing(t *testing.T) {
	house := t.TempDir()
	writeFile(t, filepath.Join(house, "letter.txt"), []byte("kept"))
	code, _, stderr := begun(house)
	if code != exitWrong || !strings.Contains(stderr, `"letter.txt"`) || !strings.Contains(stderr, "nothing was written") {
		t.Errorf("exit code %d, %q", code, stderr)
	}
	if entries, err := os.ReadDir(house); err != nil || len(entries) != 1 {
		t.Errorf("the folder now holds %v, %v", entries, err)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "0 folders are named"},
		{[]string{"a", "b"}, "2 folders are named"},
		{[]string{"-machine", "locomotive", "a"}, `there is no machine "locomotive"`},
		{[]string{"-colour", "a"}, "-colour"},
	} {
		if code, _, stderr := begun(c.args...); code != exitUsage || !strings.Contains(stderr, c.want) {
			t.Errorf("%q: exit code %d, %q", c.args, code, stderr)
		}
	}
	file := filepath.Join(house, "letter.txt")
	if code, _, stderr := begun(filepath.Join(file, "house")); code != exitWrong || !strings.Contains(stderr, "you may write") {
		t.Errorf("a house below a file: exit code %d, %q", code, stderr)
	}
}

// What a new house says of hazards, and the guesses on its card, are those of the
// shipped house, so that both are mended together.
func TestBeginKnowsWhatTheShippedHouseKnows(t *testing.T) {
	begin := must(readTree("begin"))
	shippedHouse := must(os.ReadFile(filepath.Join(shipped, "house.toml")))
	_, hazards, _ := strings.Cut(begin["every/house.toml"], "# The hazards of the machine.")
	lines := 0
	for line := range strings.Lines(hazards) {
		lines++
		if line != "\n" && !bytes.Contains(shippedHouse, []byte(line)) {
			t.Errorf("the shipped house does not say %q", line)
		}
	}
	if lines < 30 {
		t.Errorf("only %d lines are about hazards", lines)
	}
	values := regexp.MustCompile(`(?m)^\[[a-z-]+\]|^[a-z-]+ = \{ value = [^,]+,.* unit = "[^"]*"`)
	doubt := regexp.MustCompile(` uncertainty = [^,]+,`)
	guesses := values.FindAllString(begin["bell-set/cards/our-set.toml"], -1)
	known := values.FindAllString(doubt.ReplaceAllString(string(must(os.ReadFile(filepath.Join(shipped, "cards", "bell-current-set.toml")))), ""), -1)
	known = slices.DeleteFunc(known, func(v string) bool { return v == "[fr]" })
	if len(guesses) < 50 || !slices.Equal(guesses, known) {
		t.Errorf("the card of a new house has %d values and parts, that of the shipped one %d, or others", len(guesses), len(known))
	}
}
