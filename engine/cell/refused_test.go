package cell

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "write what Assemble says into testdata/refused, to be read before it is committed")

// Each program in testdata/refused is followed by what Assemble says about
// it, in the words that an author sees. The first line of a cell is line 4 of
// its lesson.
func TestRefused(t *testing.T) {
	files, err := filepath.Glob("testdata/refused/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no programs to refuse", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		a := txtar.Parse(data)
		out := &txtar.Archive{Comment: a.Comment}
		for i, part := range a.Files {
			if strings.HasSuffix(part.Name, " says") {
				continue
			}
			cells := strings.Split(string(part.Data), "-next cell-\n")
			p, messages := Assemble(lessonOf(cells...))
			var b strings.Builder
			for _, m := range messages {
				b.WriteString(strings.TrimPrefix(m.String(), "lessons/01-test/lesson.md:") + "\n")
				if strings.Contains(m.Text+m.Hint, "__") && !strings.Contains(string(part.Data), "__") {
					t.Errorf("%s: %s: a name of ours leaks: %v", file, part.Name, m)
				}
				if m.Hint == "" || m.Line == 0 || m.Column == 0 || m.Rule == "" || m.File == "" {
					t.Errorf("%s: %s: incomplete message: %#v", file, part.Name, m)
				}
			}
			if p != nil || len(messages) == 0 {
				t.Errorf("%s: %s: not refused", file, part.Name)
			}
			out.Files = append(out.Files, part, txtar.File{Name: part.Name + " says", Data: []byte(b.String())})
			if *update {
				continue
			}
			want := ""
			if i+1 < len(a.Files) && a.Files[i+1].Name == part.Name+" says" {
				want = string(a.Files[i+1].Data)
			}
			if b.String() != want {
				t.Errorf("%s: %s says\n%s\nwant\n%s", file, part.Name, b.String(), want)
			}
		}
		if now := txtar.Format(out); *update && !bytes.Equal(now, data) {
			if err := os.WriteFile(file, now, 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}
