package folder

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

func write(t *testing.T, dir, name, text string) {
	t.Helper()
	file := filepath.Join(dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func open(t *testing.T, dir string) *Folder {
	t.Helper()
	f := Open(dir)
	t.Cleanup(f.Close)
	return f
}

// huge makes a file of 4 GB that takes no room.
func huge(t *testing.T, file string) {
	t.Helper()
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Truncate(4 << 30); err != nil {
		t.Skip("there is no room for a large file with nothing in it:", err)
	}
}

// What was read stays as it was, also when the folder is closed or gone.
func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "01-a/lesson.md", "old")
	f := open(t, dir)
	for _, text := range []string{"old", "new"} {
		write(t, dir, "01-a/lesson.md", text)
		if got, err := f.ReadFile("01-a/lesson.md", 10); string(got) != "old" || err != nil {
			t.Errorf("reads %q, %v", got, err)
		}
	}
	if got, err := f.ReadFile("01-a/lesson.md", 1); string(got) != "ol" || err != nil {
		t.Errorf("of a file with more than 1 byte, reads %q, %v", got, err)
	}
	f.Close()
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	if got, ok := f.Read("01-a/lesson.md"); string(got) != "old" || !ok {
		t.Errorf("still has %q, %v", got, ok)
	}
	if _, ok := f.Read("other"); ok {
		t.Error("has what nobody read")
	}
}

func TestReadFileRefuses(t *testing.T) {
	above := t.TempDir()
	write(t, above, "secret", "mine")
	dir := filepath.Join(above, "lessons")
	write(t, dir, "real", "text")
	links := map[string]string{"out": "../secret", "lost": "nowhere", "loop": "loop", "zero": "/dev/zero", "inside": "real"}
	for name, to := range links {
		if err := os.Symlink(to, filepath.Join(dir, name)); err != nil {
			t.Skip("no links here:", err)
		}
	}
	f := open(t, dir)
	for name, want := range map[string]string{
		"real": "", "inside": "", "out": "escapes", "zero": "escapes", "loop": "too many levels", "lost": "no such file", "none": "no such file", ".": "no ordinary file", "../secret": "escapes",
	} {
		_, err := f.ReadFile(name, 10)
		if (want == "") != (err == nil) || err != nil && runtime.GOOS == "linux" && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: want %q, got %v", name, want, err)
		}
		if err != nil && runtime.GOOS == "linux" && !strings.Contains(Hint(err), "a link must not lead out") {
			t.Errorf("%s: %v has the hint %q", name, err, Hint(err))
		}
	}
	if hint := Hint(&os.PathError{Err: syscall.EACCES}); hint != "check that you may read it" {
		t.Error(hint)
	}
	if f.Sure() || f.Holds(nil) {
		t.Error("is sure of a folder with links")
	}
	none := open(t, filepath.Join(dir, "none"))
	if _, err := none.ReadFile("real", 10); err == nil || none.Sure() {
		t.Error("reads a folder that is not there")
	}
}

// A huge file takes no time, whether it is asked for or not.
func TestHuge(t *testing.T) {
	dir := t.TempDir()
	huge(t, filepath.Join(dir, "large.csv"))
	huge(t, filepath.Join(dir, "unread.csv"))
	f := open(t, dir)
	if got, err := f.ReadFile("large.csv", Largest); len(got) != Largest+1 || err != nil {
		t.Errorf("reads %d bytes, %v", len(got), err)
	}
	if _, read := f.Sums()["unread.csv"]; read || len(f.Sums()) != 1 {
		t.Errorf("has sums of %v", slices.Collect(maps.Keys(f.Sums())))
	}
	if m := f.Changed(); len(m) > 0 {
		t.Error(m)
	}
}

func TestHolds(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "a", "one")
	write(t, dir, "b", "unread")
	f := open(t, dir)
	if _, err := f.ReadFile("a", 10); err != nil {
		t.Fatal(err)
	}
	if _, err := f.ReadFile("missing", 10); err == nil {
		t.Fatal("reads what is not there")
	}
	sums, names := f.Sums(), f.Names()
	for _, c := range []struct {
		name, text   string
		names, holds bool
	}{{"a", "one", true, true}, {"b", "other", true, true}, {"a", "two", true, false}, {"c", "", false, false}} {
		write(t, dir, c.name, c.text)
		now := open(t, dir)
		if same := bytes.Equal(now.Names(), names); same != c.names || now.Holds(sums) != c.holds {
			t.Errorf("with %q in %s, the names are the same: %v, and it holds the same: %v", c.text, c.name, same, now.Holds(sums))
		}
	}
}

// A change shows in the content of what was read, whatever its date, and in the
// date of what was not.
func TestChanged(t *testing.T) {
	date := time.Date(1912, 3, 1, 0, 0, 0, 0, time.UTC)
	dated := func(dir, name, text string, date time.Time) {
		write(t, dir, name, text)
		if err := os.Chtimes(filepath.Join(dir, name), date, date); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		want   string
		change func(dir string)
	}{
		{"", func(string) {}},
		{"", func(dir string) { write(t, dir, ".a.swp", "") }},
		{"", func(dir string) { dated(dir, "unread", "two", date) }},
		{"read: this file was saved", func(dir string) { dated(dir, "read", "two", date) }},
		{"read: this file was saved", func(dir string) { dated(dir, "read", "one", date.Add(time.Second)) }},
		{"unread: this file was saved", func(dir string) { dated(dir, "unread", "one", date.Add(time.Second)) }},
		{"unread: this file was saved", func(dir string) { dated(dir, "unread", "longer", date) }},
		{"new: this file was added", func(dir string) { write(t, dir, "new", "") }},
		{"missing: this file was added", func(dir string) { write(t, dir, "missing", "") }},
		{"unread: this file was removed", func(dir string) { os.Remove(filepath.Join(dir, "unread")) }},
	} {
		dir := t.TempDir()
		dated(dir, "read", "one", date)
		dated(dir, "unread", "one", date)
		f := open(t, dir)
		f.ReadFile("read", 10)
		f.ReadFile("missing", 10)
		c.change(dir)
		if got := f.Changed(); c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || !strings.Contains(got[0].Error(), c.want)) {
			t.Errorf("want %q, got %v", c.want, got)
		}
	}
}

func TestStat(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "cards/set.toml", "")
	f := open(t, dir)
	info, err := f.Stat("cards")
	entries, failed := f.ReadDir("cards")
	if err != nil || !info.IsDir() || failed != nil || len(entries) != 1 || entries[0].Name() != "set.toml" {
		t.Error(info, err, entries, failed)
	}
	if got, want := f.Path("cards/set.toml"), filepath.Join(dir, "cards", "set.toml"); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
