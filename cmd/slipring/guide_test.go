package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The whole small lesson that the author's guide prints, to be copied, is
// clean as it stands there.
func TestGuideLesson(t *testing.T) {
	guide, err := os.ReadFile(filepath.Join(root, "lessons", "00-how-to-write-a-lesson", "lesson.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(guide), "\n## A whole small lesson")
	folder := regexp.MustCompile("`lessons/([0-9]+-[a-z-]+)`").FindStringSubmatch(section)
	readings := regexp.MustCompile("(?s)\n```text\n(.*?)```\n").FindStringSubmatch(section)
	text := regexp.MustCompile("(?s)\n````markdown\n(.*?)````\n").FindStringSubmatch(section)
	if folder == nil || readings == nil || text == nil {
		t.Fatal("the guide prints no whole lesson")
	}
	dir := t.TempDir()
	lessons := filepath.Join(dir, "lessons")
	startFolder(t, lessons)
	writeFolder(t, lessons, map[string]string{folder[1] + "/bearing.csv": readings[1], folder[1] + "/lesson.md": text[1]})
	r := command(t, dir, "proof")
	if want := "1 lesson (1 run anew), 1 quote checked, 0 claims held, 0 warnings\n"; r.code != exitClean || r.stdout != want {
		t.Errorf("proof exits %d and says\n%s\nwant:\n%s", r.code, r.stdout, want)
	}
}
