package preview

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// The watcher and the loop run here on synthetic time (testing/synctest), on
// real files: what is a quick save does not depend on how busy the computer is.

func write(t testing.TB, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

func remove(t testing.TB, name string) {
	t.Helper()
	if err := os.RemoveAll(name); err != nil {
		t.Fatal(err)
	}
}

// watched runs the steps one after the other, a second apart, while a watcher
// waits, and gives what each call of wait returned, with the folder cut off.
func watched(t *testing.T, dir string, steps ...func()) (found [][]string) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		w := newWatcher([]string{dir})
		go func() {
			for {
				changed := w.wait(ctx, 100*time.Millisecond, 30*time.Millisecond)
				if ctx.Err() != nil {
					return
				}
				for i := range changed {
					changed[i] = filepath.ToSlash(strings.TrimPrefix(changed[i], dir+string(filepath.Separator)))
				}
				found = append(found, changed)
			}
		}()
		for _, step := range steps {
			time.Sleep(time.Second)
			synctest.Wait()
			step()
		}
		time.Sleep(time.Second)
		synctest.Wait()
		cancel()
		synctest.Wait()
	})
	return found
}

func same(a, b [][]string) bool { return slices.EqualFunc(a, b, slices.Equal) }

func TestWatchKindsOfChange(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(t *testing.T, dir string)
		want   [][]string
	}{
		{"content", func(t *testing.T, dir string) { write(t, dir+"/01-a/lesson.md", "other") }, [][]string{{"01-a/lesson.md"}}},
		{"new file", func(t *testing.T, dir string) { write(t, dir+"/02-b/words/fr.md", "x") }, [][]string{{"02-b/words/fr.md"}}},
		{"deleted file", func(t *testing.T, dir string) { remove(t, dir+"/01-a/lesson.md") }, [][]string{{"01-a/lesson.md"}}},
		{"deleted folder", func(t *testing.T, dir string) { remove(t, dir+"/01-a") }, [][]string{{"01-a/data.csv", "01-a/lesson.md"}}},
		{"all gone", func(t *testing.T, dir string) { remove(t, dir) }, [][]string{{"01-a/data.csv", "01-a/lesson.md", "house.toml"}}},
		{"saved by renaming", func(t *testing.T, dir string) {
			write(t, dir+"/01-a/.lesson.md.new", "by rename")
			if err := os.Rename(dir+"/01-a/.lesson.md.new", dir+"/01-a/lesson.md"); err != nil {
				t.Fatal(err)
			}
		}, [][]string{{"01-a/lesson.md"}}},
		{"saved by renaming, older time", func(t *testing.T, dir string) {
			write(t, dir+"/old~", "older")
			before := time.Date(2001, 2, 3, 4, 5, 6, 0, time.UTC)
			if err := os.Chtimes(dir+"/old~", before, before); err != nil {
				t.Fatal(err)
			}
			if err := os.Rename(dir+"/old~", dir+"/01-a/lesson.md"); err != nil {
				t.Fatal(err)
			}
		}, [][]string{{"01-a/lesson.md"}}},
		{"renamed", func(t *testing.T, dir string) {
			if err := os.Rename(dir+"/01-a/data.csv", dir+"/01-a/bench.csv"); err != nil {
				t.Fatal(err)
			}
		}, [][]string{{"01-a/bench.csv", "01-a/data.csv"}}},
		{"touched", func(t *testing.T, dir string) {
			now := time.Now()
			if err := os.Chtimes(dir+"/01-a/lesson.md", now, now); err != nil {
				t.Fatal(err)
			}
		}, nil},
		{"saved without a change", func(t *testing.T, dir string) { write(t, dir+"/01-a/lesson.md", "words") }, nil},
		{"working files of editors", func(t *testing.T, dir string) {
			write(t, dir+"/01-a/.lesson.md.swp", "x")
			write(t, dir+"/01-a/lesson.md~", "x")
			write(t, dir+"/.history/x", "x")
		}, nil},
		{"nothing", func(*testing.T, string) {}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "lessons")
			write(t, dir+"/01-a/lesson.md", "words")
			write(t, dir+"/01-a/data.csv", "1,2")
			write(t, dir+"/house.toml", "name")
			if found := watched(t, dir, func() { c.change(t, dir) }); !same(found, c.want) {
				t.Errorf("found %q, want %q", found, c.want)
			}
		})
	}
}

// On a FAT stick two saves within 2 s have one time. Source of the step: see
// doubt. Here the time is set by hand, and the size stays.
func TestWatchSameTimeSameSize(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	step := time.Date(2026, 11, 20, 10, 0, 2, 0, time.UTC)
	save := func(text string) func() {
		return func() {
			write(t, name, text)
			if err := os.Chtimes(name, step, step); err != nil {
				t.Fatal(err)
			}
		}
	}
	save("20 Hz")()
	found := watched(t, dir, func() { time.Sleep(time.Minute) }, func() {
		step = step.Add(time.Minute)
		save("21 Hz")()
	}, save("22 Hz"), save("23 Hz"))
	if want := [][]string{{"lesson.md"}, {"lesson.md"}, {"lesson.md"}}; !same(found, want) {
		t.Errorf("found %q, want %q", found, want)
	}
}

func TestWatchDeletedAndRestored(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	write(t, name, "words")
	found := watched(t, dir, func() { remove(t, name) }, func() { write(t, name, "words") })
	if want := [][]string{{"lesson.md"}, {"lesson.md"}}; !same(found, want) {
		t.Errorf("found %q, want %q", found, want)
	}
}

// A folder that is there and cannot be read is not a folder without files.
func TestWatchUnreadable(t *testing.T) {
	if os.Geteuid() == 0 {
		// The administrator can read everything; a file in the place of a
		// folder gives another error than a missing one all the same.
		dir := t.TempDir()
		before := look{filepath.Join(dir, "a", "x"): seen{size: 1}, filepath.Join(dir, "ab"): seen{size: 2}}
		write(t, filepath.Join(dir, "a"), "")
		after := look{}
		after.folder(filepath.Join(dir, "a"), before, time.Now())
		if len(after) != 1 || after[filepath.Join(dir, "a", "x")].size != 1 {
			t.Errorf("after an unreadable folder: %v", after)
		}
		return
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "a", "x"), "1")
	before := lookAt([]string{dir}, nil, time.Now())
	if err := os.Chmod(filepath.Join(dir, "a"), 0); err != nil {
		t.Fatal(err)
	}
	defer os.Chmod(filepath.Join(dir, "a"), 0o777)
	after := lookAt([]string{dir}, before, time.Now())
	if d := differences(before, after, true); len(d) > 0 || len(after) != 1 {
		t.Errorf("after an unreadable folder: %v, differences %q", after, d)
	}
}

// rehearsal runs the loop without a network and records its rebuilds.
type rehearsal struct {
	name    string
	takes   time.Duration
	running int
	most    int
	builds  []string // what each rebuild read when it began
	changed [][]string
	server  *server
}

func (r *rehearsal) rebuild(_ context.Context, changed []string) Build {
	r.running++
	r.most = max(r.most, r.running)
	defer func() { r.running-- }()
	text, err := os.ReadFile(r.name)
	if err != nil {
		text = []byte(err.Error())
	}
	r.builds = append(r.builds, string(text))
	r.changed = append(r.changed, changed)
	time.Sleep(r.takes)
	return Build{Files: map[string][]byte{"index.html": text}}
}

func (r *rehearsal) run(t *testing.T, script func(save func(string))) {
	t.Helper()
	dir := t.TempDir()
	r.name = filepath.Join(dir, "lesson.md")
	write(t, r.name, "first")
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		r.server = newServer("127.0.0.1:1", 1)
		c := Config{Watch: []string{dir}, Rebuild: r.rebuild}.defaults()
		ended := make(chan struct{})
		go func() {
			c.loop(ctx, r.server, func() {})
			close(ended)
		}()
		script(func(text string) {
			synctest.Wait()
			write(t, r.name, text)
		})
		time.Sleep(5 * time.Second)
		cancel()
		<-ended
	})
	if r.most != 1 {
		t.Errorf("%d rebuilds at once", r.most)
	}
}

// shows says what the start page holds in the end.
func (r *rehearsal) shows() string {
	now, _ := r.server.now()
	return string(now.files["index.html"])
}

func TestQuickSavesAreOneRebuild(t *testing.T) {
	r := &rehearsal{takes: time.Millisecond}
	r.run(t, func(save func(string)) {
		time.Sleep(time.Second)
		for i := range 10 {
			save(fmt.Sprintf("save %d", i))
			time.Sleep(10 * time.Millisecond)
		}
	})
	if want := []string{"first", "save 9"}; !slices.Equal(r.builds, want) {
		t.Errorf("rebuilds read %q, want %q", r.builds, want)
	}
	if len(r.changed[0]) != 0 || !slices.Equal(r.changed[1], []string{r.name}) {
		t.Errorf("rebuilds were told of %q", r.changed)
	}
}

// Saves all through a long rebuild make one more rebuild after it.
func TestSavesDuringARebuild(t *testing.T) {
	r := &rehearsal{takes: time.Second}
	r.run(t, func(save func(string)) {
		time.Sleep(2 * time.Second)
		save("a")
		time.Sleep(300 * time.Millisecond) // the rebuild of it began by now
		for i := range 10 {
			save(fmt.Sprintf("b%d", i))
			time.Sleep(50 * time.Millisecond)
		}
	})
	if want := []string{"first", "a", "b9"}; !slices.Equal(r.builds, want) {
		t.Errorf("rebuilds read %q, want %q", r.builds, want)
	}
	if r.shows() != "b9" {
		t.Errorf("shows %q", r.shows())
	}
}

// A change that is taken back while the site is being made from it leaves the
// files as the watcher knows them, and the pages wrong.
func TestTakenBackDuringARebuild(t *testing.T) {
	r := &rehearsal{takes: time.Second}
	r.run(t, func(save func(string)) {
		time.Sleep(2 * time.Second)
		save("good")
		time.Sleep(1500 * time.Millisecond)
		save("bad")
		time.Sleep(300 * time.Millisecond)
		save("good")
		time.Sleep(100 * time.Millisecond)
	})
	if want := []string{"first", "good", "bad", "good"}; !slices.Equal(r.builds, want) || r.shows() != "good" {
		t.Errorf("rebuilds read %q, shows %q", r.builds, r.shows())
	}

	// The same, when the change comes after the watcher's look and goes
	// before the next one: reading the file has to be told from its time.
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	write(t, name, "good")
	synctest.Test(t, func(t *testing.T) {
		w := newWatcher([]string{dir})
		write(t, name, "bad!")
		later := time.Now().Add(time.Hour)
		write(t, name, "good")
		if err := os.Chtimes(name, later, later); err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		if changed := w.wait(ctx, 100*time.Millisecond, 30*time.Millisecond); !slices.Equal(changed, []string{name}) {
			t.Errorf("a file put back during a rebuild: changed %q", changed)
		}
	})
}

func TestNeverStill(t *testing.T) {
	r := &rehearsal{takes: time.Millisecond}
	r.run(t, func(save func(string)) {
		time.Sleep(time.Second)
		for i := range 200 {
			save(fmt.Sprintf("save %d", i))
			time.Sleep(10 * time.Millisecond)
		}
	})
	// 200 saves in 2 s, and 20 settling times are 0.6 s: rebuilds come in
	// between, but not one a save.
	if len(r.builds) < 3 || len(r.builds) > 8 || r.shows() != "save 199" {
		t.Errorf("%d rebuilds, shows %q", len(r.builds), r.shows())
	}
}

func TestTwoHundredSaves(t *testing.T) {
	r := &rehearsal{takes: 7 * time.Millisecond}
	r.run(t, func(save func(string)) {
		for i := range 200 {
			save(fmt.Sprintf("save %d", i))
			time.Sleep(time.Duration(i*37%211) * time.Millisecond)
		}
	})
	if r.shows() != "save 199" {
		t.Errorf("after 200 saves shows %q", r.shows())
	}
}

func TestWatchable(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	write(t, file, "")
	if err := watchable([]string{dir}); err != nil {
		t.Error(err)
	}
	for _, c := range []struct {
		folders []string
		want    string
	}{
		{nil, "there is no folder to watch"},
		{[]string{dir, filepath.Join(dir, "gone")}, "cannot watch"},
		{[]string{file}, "it is not a folder"},
	} {
		if err := watchable(c.folders); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "\n    name the folder") {
			t.Errorf("watchable(%q) = %v, want %q and a hint", c.folders, err, c.want)
		}
	}
}

// A look at a folder the size of a museum's lessons, nothing changed.
func BenchmarkLook(b *testing.B) {
	dir := b.TempDir()
	for i := range 30 {
		for j := range 10 {
			write(b, fmt.Sprintf("%s/%02d/%02d.md", dir, i, j), strings.Repeat("word ", 1000))
		}
	}
	begin := time.Now()
	before := lookAt([]string{dir}, nil, begin)
	for b.Loop() {
		lookAt([]string{dir}, before, begin.Add(time.Minute))
	}
}
