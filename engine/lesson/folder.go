package lesson

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/folder"
)

var (
	slugForm   = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	folderForm = regexp.MustCompile(`^([0-9]{2,3})-([a-z0-9]+(?:-[a-z0-9]+)*)$`)
)

// lessonFile is the name of a lesson's text within its folder.
const lessonFile = "lesson.md"

// IsFolder says whether a folder of this name within the lessons folder is a
// lesson's.
func IsFolder(name string) bool { return folderForm.MatchString(name) }

// ReadAll reads every lesson of a folder, each from NN-name/lesson.md there,
// and puts them into course order: a lesson comes after all that it needs,
// and where that leaves a choice, the folders' numbers decide.
//
// Other folders are left alone, unless they hold a lesson.md, which is then an
// error.
func ReadAll(in *folder.Folder) ([]*Lesson, []diag.Message) {
	entries, err := in.ReadDir(".")
	if err != nil {
		return nil, []diag.Message{unreadable(in.Path(""), err)}
	}
	var lessons []*Lesson
	var messages []diag.Message
	for _, e := range entries {
		l, ms := readFolder(in, e.Name())
		messages = append(messages, ms...)
		if l != nil {
			lessons = append(lessons, l)
		}
	}
	if len(lessons) == 0 && len(messages) == 0 {
		messages = append(messages, diag.Message{
			File: in.Path(""), Rule: "folder", Text: "there is no lesson in this folder",
			Hint: "make a folder such as 01-first-steps with a file " + lessonFile + " in it",
		})
	}
	messages = append(messages, sameSlug(lessons)...)
	messages = append(messages, samePage(lessons)...)
	lessons, ms := order(lessons)
	return lessons, diag.Sort(append(messages, ms...))
}

// readFolder reads the lesson in one entry of the lessons folder, with what lies
// beside it, or gives nil when it holds none.
func readFolder(in *folder.Folder, name string) (*Lesson, []diag.Message) {
	l, messages := readBody(in, name)
	if l != nil {
		messages = append(messages, l.readData(in)...)
		messages = append(messages, l.readCaptures(func(capture string) ([]byte, error) { return in.ReadFile(name+"/"+capture, LargestCapture) })...)
	}
	return l, messages
}

func (l *Lesson) readData(in *folder.Folder) []diag.Message {
	return l.ReadData(func(data string) ([]byte, error) { return in.ReadFile(l.Folder+"/"+data, LargestData) })
}

// readBody reads its text alone.
func readBody(in *folder.Folder, name string) (*Lesson, []diag.Message) {
	if strings.HasPrefix(name, ".") {
		return nil, nil
	}
	inside := name + "/" + lessonFile
	file := in.Path(inside)
	fail := func(text, hint string) (*Lesson, []diag.Message) {
		return nil, []diag.Message{{File: file, Rule: "folder", Text: text, Hint: hint}}
	}
	form := folderForm.FindStringSubmatch(name)
	info, err := in.Stat(inside)
	switch {
	case err != nil && form == nil && (filepath.Ext(name) == ".toml" || notThere(in, name, err)):
		return nil, nil
	case errors.Is(err, fs.ErrNotExist) && form != nil:
		return fail("the lesson's file is missing", missingHint(in, name))
	case err != nil:
		return fail("cannot be read: "+reason(err), folder.Hint(err))
	case form == nil:
		return fail(fmt.Sprintf("%q cannot be the name of a lesson's folder", name),
			"use two digits, a dash, and small letters, digits and dashes, such as 07-why-it-does-not-hunt")
	case !info.Mode().IsRegular():
		return fail("this is no ordinary file", "put the lesson's text there")
	case reserved(form[2]):
		return fail(fmt.Sprintf("%q cannot be the name of a lesson, since a page or a device has that name", form[2]), "choose another name")
	case len(form[2]) > 60:
		return fail("the folder's name is too long", "use at most 60 characters behind the number")
	}
	source, err := in.ReadFile(inside, Largest)
	if err != nil {
		return fail("cannot be read: "+reason(err), folder.Hint(err))
	}
	l, messages := Parse(file, source)
	l.Folder, l.Slug = name, form[2]
	l.Number, _ = strconv.Atoi(form[1])
	return l, messages
}

// missingHint says what to do about a lesson's folder that holds no lesson.md.
// Most often the text is there, under the name that a system or a word processor
// gave it.
func missingHint(in *folder.Folder, name string) string {
	entries, _ := in.ReadDir(name)
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		switch stem, _, _ := strings.Cut(name, "."); {
		case e.IsDir(), e.Name() == lessonFile, stem != "lesson" && filepath.Ext(name) != ".md":
		case name == lessonFile, name == lessonFile+".txt", name == "lesson.txt", filepath.Ext(name) == ".md":
			return fmt.Sprintf("rename %q to %s (some systems hide the ending of a name), or remove the folder", e.Name(), lessonFile)
		default:
			return fmt.Sprintf("save the text of %q as plain text, in UTF-8, under the name %s", e.Name(), lessonFile)
		}
	}
	return "write it, or remove the folder"
}

// notThere says whether an entry of the lessons folder has nothing to do with
// lessons: a file, or a folder without a lesson's text.
func notThere(in *folder.Folder, name string, err error) bool {
	if errors.Is(err, fs.ErrNotExist) {
		return true
	}
	info, serr := in.Stat(name)
	return serr == nil && !info.IsDir()
}

// reserved says whether a page or, on some systems, a device has the name.
// The course has pages about sources, words and the engine beside the lessons.
func reserved(slug string) bool {
	switch slug {
	case "index", "sources", "glossary", "engine", "con", "prn", "aux", "nul":
		return true
	}
	return len(slug) == 4 && (strings.HasPrefix(slug, "com") || strings.HasPrefix(slug, "lpt")) && slug[3] >= '0' && slug[3] <= '9'
}

func sameSlug(lessons []*Lesson) []diag.Message {
	var messages []diag.Message
	first := map[string]*Lesson{}
	for _, l := range lessons {
		if had := first[l.Slug]; had != nil {
			messages = append(messages, diag.Message{
				File: l.File, Rule: "folder",
				Text: fmt.Sprintf("the lesson has the same name as that in %q: %q", had.Folder, l.Slug),
				Hint: "rename one of the two folders; the number does not count",
			})
			continue
		}
		first[l.Slug] = l
	}
	return messages
}

// guideEnding is what the page of a lesson's handout for guides is called by,
// behind the lesson's name.
const guideEnding = "-guide"

// samePage reports lessons that bear the name of another one's page.
func samePage(lessons []*Lesson) []diag.Message {
	var messages []diag.Message
	for _, l := range lessons {
		of, ok := strings.CutSuffix(l.Slug, guideEnding)
		if !ok {
			continue
		}
		if i := slices.IndexFunc(lessons, func(other *Lesson) bool { return other.Slug == of }); i >= 0 {
			messages = append(messages, diag.Message{
				File: l.File, Rule: "folder",
				Text: fmt.Sprintf("%q is the name of a page of the lesson in %q: its handout for guides", l.Slug, lessons[i].Folder),
				Hint: "rename one of the two folders",
			})
		}
	}
	return messages
}

func unreadable(file string, err error) diag.Message {
	return diag.Message{File: file, Rule: "folder", Text: "cannot be read: " + reason(err), Hint: folder.Hint(err)}
}

// reason leaves out the path that an error of the file system repeats.
func reason(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return err.Error()
}

// order sorts lessons into course order.
func order(lessons []*Lesson) ([]*Lesson, []diag.Message) {
	waiting := slices.Clone(lessons)
	slices.SortFunc(waiting, func(a, b *Lesson) int {
		return cmp.Or(cmp.Compare(a.Number, b.Number), cmp.Compare(a.Folder, b.Folder))
	})
	known := map[string]bool{}
	var slugs []string
	for _, l := range waiting {
		known[l.Slug] = true
		slugs = append(slugs, l.Slug)
	}
	var messages []diag.Message
	for _, l := range waiting {
		for i, need := range l.Facts.Needs {
			if !known[need] {
				messages = append(messages, l.Message(l.Facts.NeedsAt[i], diag.Error, "needs",
					fmt.Sprintf("there is no lesson %q to come first", need), suggestLesson(need, slugs)))
			}
		}
	}
	var sorted []*Lesson
	done := map[string]bool{}
	for len(waiting) > 0 {
		next := slices.IndexFunc(waiting, func(l *Lesson) bool {
			return !slices.ContainsFunc(l.Facts.Needs, func(need string) bool { return known[need] && !done[need] })
		})
		if next < 0 {
			l, message := circle(waiting, done)
			messages = append(messages, message)
			next = slices.Index(waiting, l) // go on as if it needed nothing
		}
		sorted = append(sorted, waiting[next])
		done[waiting[next].Slug] = true
		waiting = slices.Delete(waiting, next, next+1)
	}
	return sorted, messages
}

// circle reports lessons that need each other, of which there are some among
// those that wait, and gives one of them.
func circle(waiting []*Lesson, done map[string]bool) (*Lesson, diag.Message) {
	bySlug := map[string]*Lesson{}
	for _, l := range waiting {
		bySlug[l.Slug] = l
	}
	var path []string
	var at []int
	l := waiting[0]
	for !slices.Contains(path, l.Slug) {
		path = append(path, l.Slug)
		i := slices.IndexFunc(l.Facts.Needs, func(need string) bool { return bySlug[need] != nil && !done[need] })
		at = append(at, l.Facts.NeedsAt[i])
		l = bySlug[l.Facts.Needs[i]]
	}
	from := slices.Index(path, l.Slug)
	text := "the lesson needs itself"
	if len(path)-from > 1 {
		text = "lessons need each other in a circle: " + strings.Join(append(path[from:], l.Slug), " -> ")
	}
	return l, l.Message(at[from], diag.Error, "needs", text, "take out the need that matters least")
}

// suggestLesson helps somebody who named a lesson that is not there.
func suggestLesson(word string, slugs []string) string {
	near := diag.Nearest(word, slugs)
	if m := folderForm.FindStringSubmatch(word); m != nil && slices.Contains(slugs, m[2]) {
		near = m[2]
	}
	if near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return "name a lesson by its folder without the number"
}
