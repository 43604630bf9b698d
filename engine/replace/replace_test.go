package replace

import (
	"os"
	"path/filepath"
	"testing"
)

func TestFile(t *testing.T) {
	for _, care := range []Care{Lasting, Loose} {
		dir := t.TempDir()
		name := filepath.Join(dir, "a")
		for _, content := range []string{"first", "second"} {
			if err := File(name, []byte(content), 0o640, care); err != nil {
				t.Fatal(err)
			}
			got, err := os.ReadFile(name)
			if err != nil || string(got) != content {
				t.Errorf("%q, %v; want %q", got, err, content)
			}
		}
		if info, err := os.Stat(name); err != nil || info.Mode().Perm() != 0o640 {
			t.Errorf("%v, %v", info, err)
		}
		onlyFile(t, dir, "a")
	}
}

// A place that cannot be taken, here since a folder with something in it has
// the name, keeps what it has, and nothing is left beside it.
func TestFileKeepsWhatWasThere(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a")
	if err := os.MkdirAll(filepath.Join(name, "kept"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := File(name, []byte("x"), 0o644, Lasting); err == nil {
		t.Error("a folder was replaced")
	}
	if _, err := os.Stat(filepath.Join(name, "kept")); err != nil {
		t.Error(err)
	}
	onlyFile(t, dir, "a")
	if err := File(filepath.Join(dir, "none", "a"), nil, 0o644, Lasting); err == nil {
		t.Error("a file was written into a folder that is not there")
	}
}

func onlyFile(t *testing.T, dir, name string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 || entries[0].Name() != name {
		t.Errorf("the folder holds %v, %v; want %q alone", entries, err, name)
	}
}
