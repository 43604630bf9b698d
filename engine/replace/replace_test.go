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

// Of two files, the second of which cannot be replaced, neither is.
func TestFilesAllOrNone(t *testing.T) {
	dir := t.TempDir()
	first, second := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	list := []New{{first, []byte("new a"), 0o644}, {second, []byte("new b"), 0o644}}
	if err := os.MkdirAll(filepath.Join(second, "kept"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := Files(list, Lasting); err == nil {
		t.Error("a folder was replaced")
	}
	onlyFile(t, dir, "b") // the first, which there was not, is gone again
	if err := os.WriteFile(first, []byte("old a"), 0o640); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := Files(list, Lasting); err == nil {
			t.Error("a folder was replaced")
		}
		if got, err := os.ReadFile(first); err != nil || string(got) != "old a" {
			t.Errorf("%q, %v", got, err)
		}
		if info, err := os.Stat(first); err != nil || info.Mode().Perm() != 0o640 {
			t.Errorf("%v, %v", info, err)
		}
	}
	if err := os.RemoveAll(second); err != nil {
		t.Fatal(err)
	}
	if err := Files(list, Lasting); err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		if got, err := os.ReadFile(f.Name); err != nil || string(got) != string(f.Content) {
			t.Errorf("%q, %v", got, err)
		}
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 2 {
		t.Errorf("%v, %v", entries, err)
	}
}

func onlyFile(t *testing.T, dir, name string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 || entries[0].Name() != name {
		t.Errorf("the folder holds %v, %v; want %q alone", entries, err, name)
	}
}
