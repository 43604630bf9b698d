package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"slipring/engine/sweeptest"
)

// mostMemory bounds what the command itself, without its child processes, has
// in use at most while it deals with any of the lessons below, in bytes. It
// holds one lesson's answer of 32 MB as bytes, as values and as pages; what is
// runMeasured is printed by go test -v.
const mostMemory = 384 << 20

// hostile is a lessons folder that is wrong in one way, or a strange one that
// must work: its name then begins with "fine-".
type hostile struct {
	name  string
	flags []string
	write func(t *testing.T, lessons string)
	want  string // golden file
}

// usual flags bring endless cells to an end soon, and roomy ones do under the
// race detector, with which cells are slower and take more memory.
var (
	usual     = []string{"-time", "3s", "-memory", "256"}
	roomy     = []string{"-time", "20s", "-memory", "1024"}
	asIfUsual = strings.NewReplacer("after 20 s", "after 3 s", "1024 MB", "256 MB")
	// Of two functions that call each other, either is rightly named: which of
	// them is on top where the stack ends depends on how this program was built.
	eitherOfTwo = strings.NewReplacer("lesson.md:9:25: functions call each other", "lesson.md:10:25: functions call each other")
)

// TestBroken publishes lessons that are wrong in one way each, over a site
// that was good, by the command as its users start it. The golden file beside
// each holds all that proof says. Whatever the lessons are, the command ends in
// order with its exit code, the site stays as it was, byte for byte, no child
// process is left, and the memory that the command needs is bounded.
func TestBroken(t *testing.T) {
	t.Parallel()
	cases := hostileCases(t)
	if len(cases) < 20 {
		t.Fatalf("found %d broken folders; some are missing", len(cases))
	}
	few := 7
	if testing.Short() { // under the race detector each takes many times as long
		few = 2
	}
	if !*update {
		cases = sweeptest.SampleEach(t, cases, few, func(h hostile) string { return filepath.Dir(h.want) })
	}
	work := t.TempDir()
	good := filepath.Join(work, "good")
	startFolder(t, filepath.Join(good, "lessons"))
	writeFolder(t, filepath.Join(good, "lessons"), map[string]string{"01-good/lesson.md": "```lesson\ntitle = \"A good lesson\"\n```\n\nIt was here before.\n"})
	site := filepath.Join(work, "visit")
	if r := command(t, good, "publish", "-out", site); r.code != exitClean {
		t.Fatalf("the site before cannot be published: %s", r.stderr)
	}
	before, err := readTree(site)
	if err != nil || len(before) < 5 {
		t.Fatal(len(before), err)
	}
	t.Run("all", func(t *testing.T) {
		for _, c := range cases {
			t.Run(c.name, func(t *testing.T) {
				t.Parallel()
				dir := filepath.Join(work, c.name)
				startFolder(t, filepath.Join(dir, "lessons"))
				c.write(t, filepath.Join(dir, "lessons"))
				fine := strings.HasPrefix(c.name, "fine-")
				flags := slices.Concat(usual, c.flags)
				if sweeptest.UnderRaceDetector() {
					flags = slices.Concat(roomy, c.flags)
				}

				code, out := exitWrong, site
				if fine {
					code, out = exitClean, filepath.Join(dir, "visit")
				}
				proofed := command(t, dir, append([]string{"proof"}, flags...)...)
				said := eitherOfTwo.Replace(proofed.stdout)
				if sweeptest.UnderRaceDetector() {
					said = asIfUsual.Replace(said)
				}
				golden(t, c.want, said)
				if proofed.code != code {
					t.Errorf("proof exits %d, want %d", proofed.code, code)
				}
				published := command(t, dir, append([]string{"publish", "-out", out}, flags...)...)
				if published.code != code {
					t.Errorf("publish exits %d, want %d\n%s", published.code, code, published.stderr)
				}
				if now, err := readTree(site); err != nil || !maps.Equal(before, now) {
					t.Error("the site that was published before has changed, by this lesson or by one before", err)
				}
				lines := strings.Split(strings.TrimSpace(said), "\n")
				for _, line := range lines[:len(lines)-1] { // the last counts lessons
					if !fine && !strings.Contains(eitherOfTwo.Replace(published.stderr), line+"\n") {
						t.Errorf("publish does not say %q but\n%s", line, published.stderr)
					}
				}
			})
		}
	})
	if entries, _ := os.ReadDir(work); slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return strings.HasPrefix(e.Name(), "visit.") }) {
		t.Error("something is left beside the site")
	}
}

// hostileCases gathers what is written in testdata and what hostileFolders
// makes, each with its golden file.
func hostileCases(t *testing.T) []hostile {
	t.Helper()
	var cases []hostile
	goldens := map[string]bool{}
	add := func(dir string, c hostile) {
		c.want = filepath.Join(root, "cmd", "slipring", "testdata", dir, c.name+".want")
		goldens[c.want] = true
		if slices.ContainsFunc(cases, func(had hostile) bool { return had.name == c.name }) {
			t.Errorf("two cases are called %s", c.name)
		}
		cases = append(cases, c)
	}
	for _, dir := range []string{"broken", "hostile"} {
		here := filepath.Join(root, "cmd", "slipring", "testdata", dir)
		for file, content := range must(readTree(here)) {
			name, form := strings.TrimSuffix(file, filepath.Ext(file)), filepath.Ext(file)
			switch form {
			case ".md":
				add(dir, hostile{name: name, write: func(t *testing.T, lessons string) {
					writeFolder(t, lessons, map[string]string{"01-broken/lesson.md": content})
				}})
			case ".txtar":
				a := txtar.Parse([]byte(content))
				files := map[string]string{}
				for _, f := range a.Files {
					files[f.Name] = string(f.Data)
				}
				c := hostile{name: name, write: func(t *testing.T, lessons string) { writeFolder(t, lessons, files) }}
				for line := range strings.Lines(string(a.Comment)) {
					if flags, ok := strings.CutPrefix(line, "flags: "); ok {
						c.flags = strings.Fields(flags)
					}
				}
				add(dir, c)
			}
		}
	}
	folders := hostileFolders()
	maps.Copy(folders, brokenCaptures(t))
	for name, g := range folders {
		add("hostile", hostile{name: name, flags: g.flags, write: func(t *testing.T, lessons string) {
			writeFolder(t, lessons, g.files)
			if g.more != nil {
				g.more(t, lessons)
			}
		}})
	}
	for _, dir := range []string{"broken", "hostile"} {
		wants, err := filepath.Glob(filepath.Join(root, "cmd", "slipring", "testdata", dir, "*.want"))
		if err != nil {
			t.Fatal("no golden file", err)
		}
		for _, w := range wants {
			if !goldens[w] {
				t.Errorf("golden file %s belongs to nothing", w)
			}
		}
	}
	slices.SortFunc(cases, func(a, b hostile) int { return strings.Compare(a.name, b.name) })
	return cases
}

// startFolder makes a lessons folder with a house and a card and no lesson.
func startFolder(t *testing.T, lessons string) {
	t.Helper()
	writeFile(t, filepath.Join(lessons, "house.toml"), []byte(house+rotating))
	if err := os.CopyFS(filepath.Join(lessons, "cards"), os.DirFS(filepath.Join(root, "lessons", "cards"))); err != nil {
		t.Fatal(err)
	}
}

// writeFolder writes files below a lessons folder. A content that begins with "-> " makes a symbolic link.
func writeFolder(t *testing.T, lessons string, files map[string]string) {
	t.Helper()
	for name, content := range files {
		file := filepath.Join(lessons, filepath.FromSlash(name))
		if target, ok := strings.CutPrefix(content, "-> "); ok {
			if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink(strings.TrimSpace(target), file); err != nil {
				t.Skip("this system makes no links: ", err)
			}
			continue
		}
		writeFile(t, file, []byte(content))
	}
}

// outcome is how a command ended.
type outcome struct {
	code           int
	stdout, stderr string
}

var crash = regexp.MustCompile(`(?m)^(panic:|fatal error:|goroutine \d+ |SIG[A-Z]+:|runtime:)`)

// command runs the real command in a folder, with -fresh, and looks at what it
// leaves behind.
func command(t *testing.T, dir string, args ...string) outcome {
	t.Helper()
	name, err := exec.LookPath("slipring-measured")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), sweeptest.Patience) // only ever used up by a test that fails
	defer cancel()
	args = slices.Insert(args, 1, "-fresh")
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Dir = dir
	peak := filepath.Join(t.TempDir(), "peak")
	cmd.Env = append(os.Environ(), peakFile+"="+peak)
	apart(cmd)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err = cmd.Run()
	var ended *exec.ExitError
	if err != nil && !errors.As(err, &ended) {
		t.Fatal(err)
	}
	o := outcome{cmd.ProcessState.ExitCode(), stdout.String(), stderr.String()}
	if o.code < 0 || crash.MatchString(o.stdout+o.stderr) {
		t.Errorf("slipring %s did not end in order: %v\n%.3000s", args[0], cmd.ProcessState, o.stdout+o.stderr)
	}
	if processes := left(cmd.Process.Pid); len(processes) > 0 {
		t.Errorf("slipring %s leaves processes: %q", args[0], processes)
	}
	most := int64(mostMemory)
	if sweeptest.UnderRaceDetector() { // which notes each access beside what is accessed
		most *= 4
	}
	text, err := os.ReadFile(peak)
	bytes, _ := strconv.ParseInt(string(text), 10, 64)
	if err != nil || bytes > most {
		t.Errorf("slipring %s had %d MB in use, more than %d: %v", args[0], bytes>>20, most>>20, err)
	}
	t.Logf("slipring %s: at most %d MB in use", args[0], bytes>>20)
	return o
}

// peakFile is the variable of the environment that tells runMeasured where to
// write the most memory that it had in use.
const peakFile = "SLIPRING_TEST_PEAK"

// runMeasured is the command, which notes its memory at the end.
func runMeasured() {
	code := run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)
	if err := os.WriteFile(os.Getenv(peakFile), fmt.Append(nil, peakMemory()), 0o600); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(3)
	}
	os.Exit(code)
}
