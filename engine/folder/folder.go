// Package folder reads a lessons folder once, so that everything is made of the
// same bytes.
//
//	f := folder.Open("lessons")
//	defer f.Close()
//	source, err := f.ReadFile("01-speed/lesson.md", lesson.Largest)
//
// Whoever asks for a file again gets what the first one got, even where it was
// saved meanwhile; Changed then says so. A file that nobody asks for is not
// read: its size and its date stand for it. No link leads out of the folder.
//
// The package knows nothing of what files hold.
package folder

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"slipring/engine/diag"
)

// Largest is the size, in bytes, up to which any file is read.
const Largest = 16 << 20

// Folder is a folder as it was when it was opened. It is not safe for
// concurrent use, except for Read.
type Folder struct {
	dir    string
	root   *os.Root
	err    error // why there is no root
	files  map[string]state
	places []string // of all files and folders, in order; a folder ends in a slash
	sure   bool
	read   map[string]content
}

// state is what the system says of a file.
type state struct {
	mode fs.FileMode
	size int64
	date int64 // in ns; most systems keep it less finely
}

// content is what a file held when it was read.
type content struct {
	bytes []byte // up to one more than Largest
	sum   string // of these
	err   error
}

// Open looks at all names in a folder. Names within it are written with
// slashes; dir is used in messages as it is. Where there is no such folder,
// whatever is read of it gives the reason.
func Open(dir string) *Folder {
	f := &Folder{dir: dir, files: map[string]state{}, read: map[string]content{}}
	if f.root, f.err = os.OpenRoot(dir); f.err != nil {
		return f
	}
	f.sure = true
	_ = fs.WalkDir(f.root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() {
			f.places = append(f.places, name+"/")
			return nil
		}
		var info fs.FileInfo
		if err == nil {
			info, err = d.Info()
		}
		if err != nil {
			f.sure = false
			return nil // the rest counts too
		}
		f.sure = f.sure && info.Mode().IsRegular()
		f.places = append(f.places, name)
		f.files[name] = state{info.Mode(), info.Size(), info.ModTime().UnixNano()}
		return nil
	})
	return f
}

// Close ends reading. What was read can still be asked for.
func (f *Folder) Close() {
	if f.root != nil {
		f.root.Close()
	}
}

// Path gives the path of a file as the user would write it.
func (f *Folder) Path(name string) string { return filepath.Join(f.dir, filepath.FromSlash(name)) }

// Stat describes a file or folder, following links.
func (f *Folder) Stat(name string) (fs.FileInfo, error) {
	if f.err != nil {
		return nil, f.err
	}
	return f.root.Stat(name)
}

// ReadDir lists what is in a folder, in the order of names.
func (f *Folder) ReadDir(name string) ([]fs.DirEntry, error) {
	if f.err != nil {
		return nil, f.err
	}
	return fs.ReadDir(f.root.FS(), name)
}

// ReadFile gives the content of an ordinary file, and at most one byte more of
// it than most, which is at most Largest. A link that leads out of the folder, a
// device or a pipe is an error.
func (f *Folder) ReadFile(name string, most int) ([]byte, error) {
	c := f.content(name)
	return c.bytes[:min(len(c.bytes), most+1)], c.err
}

// Read gives the content of a file that was read before.
func (f *Folder) Read(name string) (source []byte, ok bool) {
	c, ok := f.read[name]
	return c.bytes, ok && c.err == nil
}

func (f *Folder) content(name string) content {
	c, had := f.read[name]
	if !had {
		c.bytes, c.err = f.load(name)
		sum := sha256.Sum256(c.bytes)
		c.sum = hex.EncodeToString(sum[:])
		f.read[name] = c
	}
	return c
}

func (f *Folder) load(name string) ([]byte, error) {
	info, err := f.Stat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("it is no ordinary file")
	}
	file, err := f.root.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, Largest+1))
}

// Unreadable says that a file cannot be read; the name is as messages show it.
func Unreadable(file string, err error) diag.Message {
	hint := Hint(err)
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return diag.Message{File: file, Text: "cannot be read: " + err.Error(), Hint: hint}
}

// Hint says what to do about an error of Stat, ReadDir or ReadFile with a name
// that the folder lists. A system has a number for whatever it refuses; what
// leads out of the folder, or is no file, has none.
func Hint(err error) string {
	var number syscall.Errno
	if errors.As(err, &number) && number != syscall.ELOOP && number != syscall.ENOENT {
		return "check that you may read it"
	}
	return "put the file itself into the folder; a link must not lead out of the lessons folder"
}

// Names lists all files and folders, with zeros between. What they hold does not
// show there.
func (f *Folder) Names() []byte { return []byte(strings.Join(f.places, "\x00")) }

// Sums gives the SHA-256 of each file that was read, by its name.
func (f *Folder) Sums() map[string]string {
	sums := map[string]string{}
	for name, c := range f.read {
		if c.err == nil {
			sums[name] = c.sum
		}
	}
	return sums
}

// Holds says whether files have these sums. It is not sure where something
// cannot be looked at, nor where the folder holds anything but folders and
// plain files, such as a link, which may lead to what can change unseen.
func (f *Folder) Holds(sums map[string]string) bool {
	for name, sum := range sums {
		if c := f.content(name); c.err != nil || c.sum != sum {
			return false
		}
	}
	return f.sure
}

// Sure says whether nothing in the folder can change unseen.
func (f *Folder) Sure() bool { return f.sure }

// Changed gives a message where a file was saved, removed or added since Open:
// files that were read meanwhile may never have been there at one time, and
// results kept of them may be those of another state, even where the change was
// taken back. What editors keep for themselves is free to change.
func (f *Folder) Changed() []diag.Message {
	now := Open(f.dir)
	defer now.Close()
	names := map[string]bool{}
	for _, all := range []map[string]state{f.files, now.files} {
		for name := range all {
			names[name] = true
		}
	}
	for name := range f.read { // through links, too
		names[name] = true
	}
	for _, name := range slices.Sorted(maps.Keys(names)) {
		was, had := f.files[name]
		is, has := now.files[name]
		read, known := f.read[name]
		what := ""
		switch {
		case EditorsOwn(path.Base(name)):
		case has && !had:
			what = "this file was added"
		case had && !has:
			what = "this file was removed"
		case was != is, known && read.sum != now.content(name).sum:
			what = "this file was saved"
		}
		if what != "" {
			return []diag.Message{{File: f.Path(name), Rule: "changed",
				Text: what + " while the pages were made", Hint: "run this again once the files are at rest"}}
		}
	}
	return nil
}

// EditorsOwn says whether a file has such a name as editors and word processors
// give to what they keep for themselves beside a text.
func EditorsOwn(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~") || strings.HasSuffix(name, "~")
}
