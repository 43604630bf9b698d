package publish

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
)

func smallTree(version string) Tree {
	t := Tree{}
	for i := range 40 {
		t[fmt.Sprintf("course/%d/index.html", i)] = []byte(version)
	}
	t["index.html"] = []byte(version)
	t["look/fonts/a.ttf"] = []byte(strings.Repeat(version, 1000))
	return t
}

// onDisk reads a folder as a tree, without the marker.
func onDisk(t *testing.T, dir string) Tree {
	t.Helper()
	tree := Tree{}
	err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(dir, name)
		if err != nil {
			return err
		}
		if d.Type()&fs.ModeSymlink != 0 {
			to, err := os.Readlink(name)
			tree[filepath.ToSlash(rel)] = []byte("a link to " + to)
			return err
		}
		if rel != Marker {
			tree[filepath.ToSlash(rel)], err = os.ReadFile(name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return tree
}

func sameTree(a, b Tree) bool {
	return maps.EqualFunc(a, b, func(x, y []byte) bool { return string(x) == string(y) })
}

// names lists what stands in a folder.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func mustWrite(t *testing.T, tree Tree, out string) {
	t.Helper()
	if err := Write(tree, out); err != nil {
		t.Fatal(err)
	}
	if !sameTree(onDisk(t, out), tree) {
		t.Fatalf("%s does not hold what was written", out)
	}
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "deep", "visit")
	mustWrite(t, smallTree("one"), out)
	mustWrite(t, smallTree("two"), out)
	fewer := Tree{"index.html": []byte("three")}
	mustWrite(t, fewer, out)
	if got := names(t, filepath.Join(dir, "deep")); !slices.Equal(got, []string{"visit"}) {
		t.Errorf("beside the site stand %q", got)
	}
	empty := filepath.Join(dir, "empty")
	if err := os.Mkdir(empty, 0o755); err != nil {
		t.Fatal(err)
	}
	mustWrite(t, fewer, empty)
	t.Chdir(dir)
	mustWrite(t, fewer, "here")
}

// Each folder that is not ours is refused, and left exactly as it was.
func TestWriteRefuses(t *testing.T) {
	dir := t.TempDir()
	place := func(name string) string { return filepath.Join(dir, name) }
	put := func(name, content string) {
		if err := os.MkdirAll(filepath.Dir(place(name)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(place(name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := func(to, name string) {
		if err := os.Symlink(to, place(name)); err != nil {
			t.Skipf("this system makes no links: %v", err)
		}
	}
	put("photos/cat.jpg", "cat")
	put("file", "words")
	put("linked-marker/notes", "mine")
	put("marker-folder/"+Marker+"/x", "mine")
	mustWrite(t, smallTree("one"), place("ours"))
	link("ours", "link")
	link("nowhere", "dangling")
	link(filepath.Join("..", "ours", Marker), "linked-marker/"+Marker)
	before := onDisk(t, dir)
	for out, want := range map[string]string{
		"":                         "cannot be written here",
		string(filepath.Separator): "cannot be written here",
		place("photos"):            "holds files that slipring did not make",
		place("linked-marker"):     "holds files that slipring did not make",
		place("marker-folder"):     "holds files that slipring did not make",
		place("file"):              "this is no folder",
		place("link"):              "this is a link",
		place("dangling"):          "this is a link",
		place("file/visit"):        "the pages cannot be written",
	} {
		err := Write(smallTree("two"), out)
		var m diag.Message
		if err == nil || !strings.Contains(err.Error(), want) || !errors.As(err, &m) || m.Hint == "" || m.File != out {
			t.Errorf("writing to %q gives %v, want %q", out, err, want)
		}
	}
	if !sameTree(onDisk(t, dir), before) {
		t.Error("a refused Write changed something")
	}
}

func TestWriteRefusesNames(t *testing.T) {
	out := filepath.Join(t.TempDir(), "visit")
	mustWrite(t, smallTree("one"), out)
	for _, list := range [][]string{
		{}, {"../x"}, {"/x"}, {"a/../../x"}, {"a//b"}, {"."}, {""}, {"a/"}, {`a\b`}, {"c:x"}, {"a\x00b"}, {Marker},
		{"a", "a/b"}, {"a", "A"}, {"a/b", "A"}, {"x/Y", "X/y"},
	} {
		tree := Tree{}
		for _, name := range list {
			tree[name] = nil
		}
		if err := Write(tree, out); err == nil {
			t.Errorf("a tree of %q is written", list)
		}
	}
	if runtime.GOOS == "windows" {
		if err := Write(Tree{"con": nil}, out); err == nil {
			t.Error("a device is written to")
		}
	}
	if !sameTree(onDisk(t, out), smallTree("one")) {
		t.Error("a refused tree changed the site")
	}
}

// When a file cannot be written, the old site stays and nothing is left beside
// it. No file system takes a name of 300 bytes.
func TestWriteFails(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	mustWrite(t, smallTree("one"), out)
	bad := smallTree("two")
	bad["zz/"+strings.Repeat("x", 300)] = nil
	if err := Write(bad, out); err == nil {
		t.Fatal("a name of 300 bytes is written")
	}
	if !sameTree(onDisk(t, out), smallTree("one")) {
		t.Error("the old site was changed")
	}
	if got := names(t, dir); !slices.Equal(got, []string{"visit"}) {
		t.Errorf("beside the site stand %q", got)
	}
}

// mustTake takes a place that nobody holds.
func mustTake(t *testing.T, out string) *Target {
	t.Helper()
	target, err := Take(t.Context(), out, func() { t.Errorf("%s is held by somebody", out) })
	if err != nil {
		t.Fatal(err)
	}
	return target
}

// stagedAt fills a folder beside out, as Write does before the swap.
func stagedAt(t *testing.T, out string, tree Tree) *Target {
	t.Helper()
	order, err := checkTree(tree)
	if err != nil {
		t.Fatal(err)
	}
	target := mustTake(t, out)
	if err := target.stage(tree, order); err != nil {
		t.Fatal(err)
	}
	return target
}

// killed drops the locks of a place, as the system does when a run is killed.
func (t *Target) killed() {
	t.unlock()
	t.root.Close()
}

// The way by two renames, which systems without a swap take.
func TestTwoRenames(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	mustWrite(t, smallTree("one"), out)
	target := stagedAt(t, out, smallTree("two"))
	if runtime.GOOS == "windows" {
		target.unlock()
	}
	if err := target.twoRenames(); err != nil {
		t.Fatal(err)
	}
	target.Release()
	if !sameTree(onDisk(t, out), smallTree("two")) || len(names(t, dir)) != 1 {
		t.Errorf("after two renames there is %q", names(t, dir))
	}
	// The second rename fails when the new folder is gone.
	target = stagedAt(t, out, smallTree("three"))
	if runtime.GOOS == "windows" {
		target.unlock()
	}
	if err := os.RemoveAll(filepath.Join(dir, target.fresh)); err != nil {
		t.Fatal(err)
	}
	if err := target.twoRenames(); err == nil {
		t.Error("a folder that is gone was moved in")
	}
	target.Release()
	if !sameTree(onDisk(t, out), smallTree("two")) || len(names(t, dir)) != 1 {
		t.Errorf("after a rename that failed there is %q", names(t, dir))
	}
}

// A folder that somebody puts in the site's place at the last moment is given
// back.
func TestSwapLooksAgain(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	target := stagedAt(t, out, smallTree("two"))
	if err := os.MkdirAll(out, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(out, "letter"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := target.swap(); err == nil {
		t.Error("somebody's folder was replaced")
	}
	target.Release()
	if got := onDisk(t, out); len(got) != 1 || string(got["letter"]) != "mine" {
		t.Errorf("somebody's folder now holds %v", slices.Sorted(maps.Keys(got)))
	}
	if got := names(t, dir); !slices.Equal(got, []string{"visit"}) {
		t.Errorf("beside it stand %q", got)
	}
}

// What killed runs leave goes at the next, but nothing else does.
func TestRecover(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	mustWrite(t, smallTree("one"), out)
	// killed while it filled its folder
	stagedAt(t, out, smallTree("dead")).killed()
	// killed while it removed the old site, of which the marker goes last
	half := filepath.Join(dir, "visit.new-3")
	mustWrite(t, Tree{"left/over": nil}, half)
	// killed before its marker was there
	if err := os.Mkdir(filepath.Join(dir, "visit.new-77"), 0o755); err != nil {
		t.Fatal(err)
	}
	// somebody's own
	for _, name := range []string{"visit.new-1", "visit.new-5", "visit.old-5", "visit.new-x", "visit.news"} {
		if err := os.MkdirAll(filepath.Join(dir, name, "mine"), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	// killed between its two renames
	if err := os.Rename(out, filepath.Join(dir, "visit.old-0")); err != nil {
		t.Fatal(err)
	}
	bad := Tree{strings.Repeat("x", 300): nil}
	if err := Write(bad, out); err == nil {
		t.Fatal("a name of 300 bytes is written")
	}
	if !sameTree(onDisk(t, out), smallTree("one")) {
		t.Error("the site that was out of the way did not come back")
	}
	mustWrite(t, smallTree("two"), out)
	want := []string{"visit", "visit.new-1", "visit.new-5", "visit.new-x", "visit.news", "visit.old-5"}
	if got := names(t, dir); !slices.Equal(got, want) {
		t.Errorf("beside the site stand %q, want %q", got, want)
	}
}

// What a link in the old site leads to outlives it.
func TestWriteFollowsNoLink(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	mustWrite(t, smallTree("one"), out)
	keep := filepath.Join(dir, "keep")
	if err := os.MkdirAll(keep, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(keep, "letter"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(keep, filepath.Join(out, "away")); err != nil {
		t.Skipf("this system makes no links: %v", err)
	}
	mustWrite(t, smallTree("two"), out)
	if got := onDisk(t, keep); string(got["letter"]) != "mine" {
		t.Error("what a link led to is gone")
	}
}

// Whoever looks while sites are swapped finds one.
func TestSwapIsNeverSeen(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux swaps in one step")
	}
	out := filepath.Join(t.TempDir(), "visit")
	mustWrite(t, smallTree("one"), out)
	stop, seen := make(chan bool), make(chan error)
	go func() {
		var missing error
		looks := 0
		for {
			select {
			case <-stop:
				if looks == 0 {
					missing = errors.New("nobody looked")
				}
				seen <- missing
				return
			default:
			}
			looks++
			if _, err := os.ReadFile(filepath.Join(out, "index.html")); err != nil && missing == nil {
				missing = err
			}
		}
	}()
	for i := range 8 {
		mustWrite(t, smallTree(fmt.Sprint(i)), out)
	}
	close(stop)
	if err := <-seen; err != nil {
		t.Error(err)
	}
}

// A run that is killed at any moment leaves a whole site, old or new.
func TestKilled(t *testing.T) {
	if out := os.Getenv("SLIPRING_TEST_WRITE"); out != "" {
		for i := 0; ; i++ { // until somebody kills us
			if err := Write(smallTree([]string{"even", "odd"}[i%2]), out); err != nil {
				fmt.Println(err)
				os.Exit(3)
			}
			fmt.Println("written")
		}
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	mustWrite(t, smallTree("even"), out)
	random := sweeptest.Random(t)
	for i := range sweeptest.Count(10, 25) {
		child := exec.Command(self, "-test.run=^TestKilled$")
		child.Env = append(os.Environ(), "SLIPRING_TEST_WRITE="+out)
		said, err := child.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		if line, err := bufio.NewReader(said).ReadString('\n'); line != "written\n" {
			t.Fatalf("the child says %q, %v", line, err)
		}
		time.Sleep(time.Duration(random.IntN(20_000)) * time.Microsecond) // it writes on and on
		if err := child.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		if err := child.Wait(); child.ProcessState.ExitCode() == 3 {
			t.Fatalf("the child failed: %v", err)
		}
		if _, err := os.Stat(out); errors.Is(err, fs.ErrNotExist) && runtime.GOOS != "linux" {
			continue // between two renames; the next child puts it right
		}
		got := onDisk(t, out)
		if !sameTree(got, smallTree("even")) && !sameTree(got, smallTree("odd")) {
			t.Fatalf("kill %d leaves %d files of no site", i, len(got))
		}
	}
	mustWrite(t, smallTree("last"), out)
	if got := names(t, dir); !slices.Equal(got, []string{"visit"}) {
		t.Errorf("after the last run %q are left", got)
	}
}
