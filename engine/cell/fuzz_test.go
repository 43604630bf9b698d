package cell

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// FuzzAssemble looks for cells that make Assemble panic, that it neither
// accepts nor finds anything wrong with, or of which it writes something that
// is not Go.
func FuzzAssemble(f *testing.F) {
	for _, folder := range []string{"same", "refused"} {
		files, err := filepath.Glob(filepath.Join("testdata", folder, "*.txt"))
		if err != nil || len(files) == 0 {
			f.Fatal("no programs to begin with", err)
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			for _, part := range txtar.Parse(data).Files {
				f.Add(string(part.Data), "")
			}
		}
	}
	f.Add("x := 1\n", "fmt.Println(x)\n")
	f.Fuzz(func(t *testing.T, first, second string) {
		l := lessonOf(first, second)
		p, messages := Assemble(l)
		if (p == nil) == (len(messages) == 0) {
			t.Fatalf("program %v, messages %v", p, messages)
		}
		for _, m := range messages {
			if m.Line < 1 || m.Column < 1 || m.Text == "" || m.Hint == "" {
				t.Errorf("incomplete message %#v", m)
			}
		}
		if p == nil {
			return
		}
		if _, err := parser.ParseFile(token.NewFileSet(), "", p.Source, 0); err != nil {
			t.Errorf("what is written is not Go: %v\n%s", err, p.Source)
		}
		for _, m := range p.Marks {
			if m.Offset < 0 || m.Offset > len(l.Source) {
				t.Errorf("a mark at %d, outside the lesson", m.Offset)
			}
		}
	})
}
