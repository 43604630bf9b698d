package publish

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"slipring/engine/diag"
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
