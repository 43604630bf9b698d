package main

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// smallDisk gives a folder on a disk of its own of so many bytes. Making one
// needs root.
func smallDisk(t *testing.T, bytes int) string {
	t.Helper()
	dir := t.TempDir()
	err := unix.Mount("none", dir, "tmpfs", 0, fmt.Sprintf("size=%d", bytes))
	if errors.Is(err, unix.EPERM) {
		t.Skip("only root may make the small disk that this test fills")
	}
	if err != nil {
		t.Fatalf("making a small disk: %v", err)
	}
	t.Cleanup(func() {
		if err := unix.Unmount(dir, 0); err != nil {
			t.Errorf("removing the small disk: %v", err)
		}
	})
	return dir
}

// TestDiskFull publishes onto a disk that has room for one site and no room
// for a second beside it, and then for nothing at all: an error, and the old
// site stays.
func TestDiskFull(t *testing.T) {
	s := newTwo(t)
	size := 0
	for _, page := range s.pages[0] {
		size += (len(page)/4096 + 2) * 4096
	}
	disk := smallDisk(t, size*3/2)
	out := filepath.Join(disk, "museum", "visit")
	refused := func(what string, target int) {
		t.Helper()
		code, text := call("publish", "-out", out, s.lessons[target])
		if code != exitWrong || !strings.Contains(text, out+": the pages cannot be written: no space left on device\n") || !strings.Contains(text, "nothing was published") {
			t.Errorf("%s: publish exits %d\n%s", what, code, text)
		}
		if !maps.Equal(must(readTree(out)), s.pages[0]) {
			t.Errorf("%s: the old site has changed", what)
		}
		if got := must(os.ReadDir(filepath.Dir(out))); len(got) != 1 {
			t.Errorf("%s: beside the site stand %v", what, got)
		}
	}
	if code, text := call("publish", "-out", out, s.lessons[0]); code != exitClean {
		t.Fatalf("publish exits %d\n%s", code, text)
	}
	refused("no room for a second site", 1)

	ballast := filepath.Join(disk, "ballast")
	f, err := os.Create(ballast)
	if err != nil {
		t.Fatal(err)
	}
	for err == nil {
		_, err = f.Write(make([]byte, 4096))
	}
	f.Close()
	if !errors.Is(err, unix.ENOSPC) {
		t.Fatal(err)
	}
	refused("no room at all", 1)

	if err := os.Remove(ballast); err != nil {
		t.Fatal(err)
	}
	if err := unix.Mount("none", disk, "", unix.MS_REMOUNT, fmt.Sprintf("size=%d", 8*size)); err != nil {
		t.Fatal(err)
	}
	if code, text := call("publish", "-out", out, s.lessons[1]); code != exitClean || !maps.Equal(must(readTree(out)), s.pages[1]) {
		t.Errorf("with room again, publish exits %d\n%s", code, text)
	}
}

// TestReadOnly publishes onto a disk that cannot be written to.
func TestReadOnly(t *testing.T) {
	s := newTwo(t)
	disk := smallDisk(t, 64<<20)
	out := filepath.Join(disk, "visit")
	if code, text := call("publish", "-out", out, s.lessons[0]); code != exitClean {
		t.Fatalf("publish exits %d\n%s", code, text)
	}
	if err := unix.Mount("none", disk, "", unix.MS_REMOUNT|unix.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	for _, to := range []string{out, filepath.Join(disk, "new", "visit")} {
		code, text := call("publish", "-out", to, s.lessons[1])
		if code != exitWrong || !strings.Contains(text, to+": the pages cannot be written: read-only file system\n") || strings.Contains(text, "ran 1") {
			t.Errorf("publish exits %d, and should before it runs anything\n%s", code, text)
		}
	}
	if !maps.Equal(must(readTree(out)), s.pages[0]) {
		t.Error("the old site has changed")
	}
}

// TestMountPoint publishes to where a disk begins, which no rename can replace.
func TestMountPoint(t *testing.T) {
	s := newTwo(t)
	disk := smallDisk(t, 64<<20)
	code, text := call("publish", "-out", disk, s.lessons[0])
	if code != exitWrong || !strings.Contains(text, disk+": the pages cannot be written: ") || !strings.Contains(text, "such as -out "+filepath.Join(disk, "visit")+"\n") {
		t.Errorf("publish exits %d\n%s", code, text)
	}
	if left := must(os.ReadDir(filepath.Dir(disk))); len(left) != 1 {
		t.Errorf("beside the disk stand %v", left)
	}
	if code, text := call("publish", "-out", filepath.Join(disk, "visit"), s.lessons[0]); code != exitClean {
		t.Errorf("publish in the disk exits %d\n%s", code, text)
	}
}

// TestForbidden publishes into a folder of somebody else's.
func TestForbidden(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may write everywhere")
	}
	s := newTwo(t)
	dir := t.TempDir()
	out := filepath.Join(dir, "visit")
	if code, text := call("publish", "-out", out, s.lessons[0]); code != exitClean {
		t.Fatalf("publish exits %d\n%s", code, text)
	}
	if err := os.Chmod(dir, 0o555); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(dir, 0o755) })
	code, text := call("publish", "-out", out, s.lessons[1])
	if code != exitWrong || !strings.Contains(text, out+": the pages cannot be written: permission denied\n") {
		t.Errorf("publish exits %d\n%s", code, text)
	}
	if !maps.Equal(must(readTree(out)), s.pages[0]) {
		t.Error("the old site has changed")
	}
}
