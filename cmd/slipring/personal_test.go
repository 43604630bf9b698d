package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Place, time and device of a photograph reach no page and no output: a capture
// that carries them (in an APP1 segment, as Exif 2.3 has it, and in a comment)
// gives the same pages, to the byte, as one without, and the picture is on none.
func TestNothingPersonalPublished(t *testing.T) {
	source := filepath.Join(root, "lessons", "13-two-traces-on-a-screen", "photograph.jpg")
	plain := must(os.ReadFile(source))
	segment := func(kind byte, words string) []byte {
		return append([]byte{0xff, kind, byte((len(words) + 2) >> 8), byte(len(words) + 2)}, words...)
	}
	secrets := []string{"a device of somebody", "45.1 N 5.7 E", "2026:11:29 14:03:07"}
	marked := bytes.Join([][]byte{plain[:2], segment(0xe1, "Exif\x00\x00"+strings.Join(secrets, ", ")), segment(0xfe, secrets[0]), plain[2:]}, nil)
	publish := func(picture []byte) (map[string]string, string) {
		dir := t.TempDir()
		lessons := filepath.Join(dir, "lessons")
		startFolder(t, lessons)
		writeFolder(t, lessons, map[string]string{
			"01-seen/photograph.jpg": string(picture),
			"01-seen/lesson.md": "```lesson\ntitle = \"A photograph\"\n\n[[capture]]\nfile = \"photograph.jpg\"\nper-division = \"0.025,50\"\ntraces = \"contact=#C46E00, output=#007896\"\n```\n\n" +
				"```go\nseen := bench.Capture(\"photograph\")\ntell.Value(\"speed\", seen.Result(\"contact\", \"frequency\").Value, \"Hz\")\ntell.Draw(\"seen\", tell.Over(\"time\", \"s\").Show(\"output\", \"V\", seen.Line(\"output\", 2)))\n```\n\nIt turns at [16.66 Hz][speed].\n\n![Two turns.](figure:seen)\n",
		})
		out := filepath.Join(dir, "visit")
		r := command(t, dir, "publish", "-out", out)
		if r.code != exitClean {
			t.Fatalf("exits %d: %s", r.code, r.stderr)
		}
		code, measured := call("measure", "-json", "-per-division", "0.025,50", filepath.Join(lessons, "01-seen", "photograph.jpg"))
		if code != exitClean {
			t.Fatalf("measure exits %d: %s", code, measured)
		}
		return must(readTree(out)), strings.ReplaceAll(r.stdout+r.stderr+measured, dir, "")
	}
	with, said := publish(marked)
	without, saidWithout := publish(plain)
	if len(with) < 10 || len(with) != len(without) {
		t.Fatalf("%d files with personal data, %d without", len(with), len(without))
	}
	drawn := false
	for name, content := range with {
		drawn = drawn || strings.Contains(content, "measured")
		if content != without[name] {
			t.Errorf("%s is another file when the photograph says who took it", name)
		}
		if strings.HasPrefix(content, "\xff\xd8\xff") || strings.Contains(content, "Exif") {
			t.Errorf("%s is a photograph, or holds what one has", name)
		}
	}
	if !drawn {
		t.Error("no page shows the capture")
	}
	all := said
	for _, content := range with {
		all += content
	}
	for _, secret := range secrets {
		if strings.Contains(all, secret) {
			t.Errorf("%q gets out", secret)
		}
	}
	if measured := func(s string) string { return s[strings.Index(s, "[\n"):] }; measured(said) != measured(saidWithout) {
		t.Error("measure says something else of the photograph with personal data")
	}
}
