package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"slipring/engine/cell"
	"slipring/engine/sweeptest"
)

var update = flag.Bool("update", false, "write the golden files anew, to be read before they are committed")

func TestMain(m *testing.M) {
	cell.ChildMain()
	testscript.Main(withScratch{m}, map[string]func(){"slipring": main, "slipring-measured": runMeasured})
}

// scratch is a folder that stays until all tests have run. The results of
// lessons are kept in it, for all tests but those that set another folder.
var scratch string

type withScratch struct{ *testing.M }

func (m withScratch) Run() int {
	flag.Parse() // which ends what a test calls wrongly
	scratch = must(os.MkdirTemp("", "slipring-tests-"))
	defer os.RemoveAll(scratch)
	must(0, os.Setenv("XDG_CACHE_HOME", filepath.Join(scratch, "cache")))
	return m.M.Run()
}

// TestScripts runs the real command as its users do. Each script starts with
// a copy of the shipped lessons in its folder, and with nothing remembered, or
// after the command "know" with their results. What stands behind "[sweeps]" is
// seen to by another test as well.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "scripts"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_CACHE_HOME", filepath.Join(env.WorkDir, ".cache"))
			return os.CopyFS(filepath.Join(env.WorkDir, "lessons"), os.DirFS(shipped))
		},
		Condition: func(name string) (bool, error) {
			if name != sweeptest.Sweeps {
				return false, fmt.Errorf("there is no condition %q", name)
			}
			return sweeptest.All(), nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"know": func(ts *testscript.TestScript, neg bool, args []string) {
				_, err := publishedOnce()
				ts.Check(err)
				ts.Setenv("XDG_CACHE_HOME", os.Getenv("XDG_CACHE_HOME"))
			},
			"replace":  replaceInFile,
			"sametree": sameTree,
			"damage":   damage,
			"generate": generateLessons,
		},
	})
}

// replace FILE OLD NEW: OLD must stand in FILE exactly once.
func replaceInFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: replace FILE OLD NEW")
	}
	name := ts.MkAbs(args[0])
	content := ts.ReadFile(args[0])
	if n := strings.Count(content, args[1]); n != 1 {
		ts.Fatalf("%q stands %d times in %s", args[1], n, args[0])
	}
	ts.Check(os.WriteFile(name, []byte(strings.Replace(content, args[1], args[2], 1)), 0o644))
}

// generate N: the lessons are N small ones in the place of those shipped, for
// scripts that have them run many times.
func generateLessons(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: generate N")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	ts.Check(os.RemoveAll(ts.MkAbs("lessons")))
	ts.Check(generateIn(ts.MkAbs("lessons"), n))
}

// sametree A B: the same files with the same bytes; with ! in front, not so.
func sameTree(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: sametree A B")
	}
	a, err := readTree(ts.MkAbs(args[0]))
	ts.Check(err)
	b, err := readTree(ts.MkAbs(args[1]))
	ts.Check(err)
	if len(a) == 0 {
		ts.Fatalf("%s holds no file", args[0])
	}
	if same := maps.Equal(a, b); same == neg {
		ts.Fatalf("are %s and %s the same? %v", args[0], args[1], same)
	}
}

// damage DIR: the last byte of every file below it is another.
func damage(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: damage DIR")
	}
	dir := ts.MkAbs(args[0])
	files, err := readTree(dir)
	ts.Check(err)
	if len(files) == 0 {
		ts.Fatalf("%s holds no file", args[0])
	}
	for name, content := range files {
		b := []byte(content)
		b[len(b)-1] ^= 1
		ts.Check(os.WriteFile(filepath.Join(dir, name), b, 0o600))
	}
}

// readTree gives each file's content by its path within the folder.
func readTree(dir string) (map[string]string, error) {
	tree := map[string]string{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := os.ReadFile(name)
		rel, _ := filepath.Rel(dir, name)
		tree[rel] = string(content)
		return err
	})
	return tree, err
}

// golden compares got with a golden file, which must exist.
func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (go test ./cmd/slipring -update writes golden files)", err)
	}
	if got != string(want) {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

// call runs the command in this process and gives its exit code and all that
// it printed.
func call(args ...string) (code int, printed string) {
	var out bytes.Buffer
	code = run(context.Background(), args, &out, &out)
	return code, out.String()
}

var root = must(filepath.Abs(filepath.Join("..", "..")))

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	content, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	writeFile(t, to, content)
}

// house is the house of the broken lessons.
const house = `name = "A house of no particular kind"
place = "in a test"
note = "Invented."
contact = "nobody"
languages = ["en"]
`

// rotating describes the hazard that lessons of these tests declare.
const rotating = `
[rotating]
word = "warning"
hazard = "Rotating shaft"
harm = "It winds in sleeves."
avoid = "Keep away."
accident = "Stop it."
`

func writeFile(t *testing.T, to string, content []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, content, 0o644); err != nil {
		t.Fatal(err)
	}
}

func must[T any](x T, err error) T {
	if err != nil {
		panic(fmt.Sprint("a test cannot start: ", err))
	}
	return x
}
