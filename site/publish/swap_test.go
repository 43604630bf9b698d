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
	"testing"
	"time"

	"slipring/engine/sweeptest"
)

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
