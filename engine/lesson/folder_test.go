package lesson

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"slipring/engine/folder"
)

// tree writes files below a new folder and gives it. A content that begins
// with "-> " makes a symbolic link.
func tree(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "lessons")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, content := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if target, ok := strings.CutPrefix(content, "-> "); ok {
			if runtime.GOOS == "windows" {
				t.Skip("links need a privilege there")
			}
			if err := os.Symlink(target, file); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if err := os.WriteFile(file, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// open opens a folder for one test.
func open(t *testing.T, dir string) *folder.Folder {
	t.Helper()
	f := folder.Open(dir)
	t.Cleanup(f.Close)
	return f
}

func block(facts string) string { return "```lesson\ntitle = \"A\"\n" + facts + "\n```\n" }

func TestReadAll(t *testing.T) {
	for _, c := range []struct {
		name  string
		files map[string]string
		want  []string // slugs in order
		say   string   // findings, with the folder's own path cut off
	}{
		{name: "by number", files: map[string]string{
			"10-ten/lesson.md": block(""), "02-two/lesson.md": block(""), "100-hundred/lesson.md": block(""),
			"cards/set.toml": "", "house.toml": "", ".hidden/lesson.md": "", "notes/readme.md": "",
		}, want: []string{"two", "ten", "hundred"}},
		{name: "link to a file", files: map[string]string{
			"01-a/lesson.md": block(""), "notes.md": "-> real.md", "real.md": "",
		}, want: []string{"a"}},
		{name: "by need", files: map[string]string{
			"01-a/lesson.md": block(`needs = ["c"]`), "02-b/lesson.md": block(""), "03-c/lesson.md": block(`needs = ["d"]`), "04-d/lesson.md": block(""),
		}, want: []string{"b", "d", "c", "a"}},
		{name: "same number", files: map[string]string{
			"01-b/lesson.md": block(""), "01-a/lesson.md": block(""), "001-c/lesson.md": block(""),
		}, want: []string{"c", "a", "b"}},
		{name: "unknown need", files: map[string]string{
			"01-field-weakening/lesson.md": block(`needs = ["02-hunting", "hunt"]`), "02-hunting/lesson.md": block("needs = [\"field-weakning\",\n\"start\"]"),
		}, want: []string{"field-weakening", "hunting"}, say: `
01-field-weakening/lesson.md:3:10: there is no lesson "02-hunting" to come first
    did you mean "hunting"?
01-field-weakening/lesson.md:3:24: there is no lesson "hunt" to come first
    name a lesson by its folder without the number
02-hunting/lesson.md:3:10: there is no lesson "field-weakning" to come first
    did you mean "field-weakening"?
02-hunting/lesson.md:4:1: there is no lesson "start" to come first
    name a lesson by its folder without the number
`},
		{name: "circle", files: map[string]string{
			"01-a/lesson.md": block(`needs = ["b"]`), "02-b/lesson.md": block(`needs = ["d", "c"]`), "03-c/lesson.md": block(`needs = ["b"]`),
			"04-d/lesson.md": block(""), "05-e/lesson.md": block(`needs = ["e"]`),
		}, want: []string{"d", "b", "a", "c", "e"}, say: `
02-b/lesson.md:3:15: lessons need each other in a circle: b -> c -> b
    take out the need that matters least
05-e/lesson.md:3:10: the lesson needs itself
    take out the need that matters least
`},
		{name: "same slug", files: map[string]string{
			"01-a/lesson.md": block(""), "02-a/lesson.md": block(""),
		}, want: []string{"a", "a"}, say: `
02-a/lesson.md: the lesson has the same name as that in "01-a": "a"
    rename one of the two folders; the number does not count
`},
		{name: "name of a page", files: map[string]string{
			"01-motor/lesson.md": block(""), "02-motor-guide/lesson.md": block(""), "03-field-guide/lesson.md": block(""),
		}, want: []string{"motor", "motor-guide", "field-guide"}, say: `
02-motor-guide/lesson.md: "motor-guide" is the name of a page of the lesson in "01-motor": its handout for guides
    rename one of the two folders
`},
		{name: "odd names", files: map[string]string{
			"7-a/lesson.md": block(""), "07_a/lesson.md": block(""), "07-A/lesson.md": block(""), "07-a b/lesson.md": block(""), "a/lesson.md": block(""),
			"08-index/lesson.md": block(""), "09-con/lesson.md": block(""), "10-lpt1/lesson.md": block(""), "11-/lesson.md": block(""),
			"15-sources/lesson.md": block(""), "16-glossary/lesson.md": block(""), "17-engine/lesson.md": block(""),
			"12-" + strings.Repeat("a", 61) + "/lesson.md": block(""), "13-empty/other.md": "", "18-hidden/lesson.md.txt": "", "19-words/lesson.docx": "", "20-none/readings.csv": "", "14-folder/lesson.md/x": "",
		}, say: `
07-A/lesson.md: "07-A" cannot be the name of a lesson's folder
    use two digits, a dash, and small letters, digits and dashes, such as 07-why-it-does-not-hunt
07-a b/lesson.md: "07-a b" cannot be the name of a lesson's folder
    use two digits, a dash, and small letters, digits and dashes, such as 07-why-it-does-not-hunt
07_a/lesson.md: "07_a" cannot be the name of a lesson's folder
    use two digits, a dash, and small letters, digits and dashes, such as 07-why-it-does-not-hunt
08-index/lesson.md: "index" cannot be the name of a lesson, since a page or a device has that name
    choose another name
09-con/lesson.md: "con" cannot be the name of a lesson, since a page or a device has that name
    choose another name
10-lpt1/lesson.md: "lpt1" cannot be the name of a lesson, since a page or a device has that name
    choose another name
11-/lesson.md: "11-" cannot be the name of a lesson's folder
    use two digits, a dash, and small letters, digits and dashes, such as 07-why-it-does-not-hunt
12-aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa/lesson.md: the folder's name is too long
    use at most 60 characters behind the number
13-empty/lesson.md: the lesson's file is missing
    rename "other.md" to lesson.md (some systems hide the ending of a name), or remove the folder
14-folder/lesson.md: this is no ordinary file
    put the lesson's text there
15-sources/lesson.md: "sources" cannot be the name of a lesson, since a page or a device has that name
    choose another name
16-glossary/lesson.md: "glossary" cannot be the name of a lesson, since a page or a device has that name
    choose another name
17-engine/lesson.md: "engine" cannot be the name of a lesson, since a page or a device has that name
    choose another name
18-hidden/lesson.md: the lesson's file is missing
    rename "lesson.md.txt" to lesson.md (some systems hide the ending of a name), or remove the folder
19-words/lesson.md: the lesson's file is missing
    save the text of "lesson.docx" as plain text, in UTF-8, under the name lesson.md
20-none/lesson.md: the lesson's file is missing
    write it, or remove the folder
7-a/lesson.md: "7-a" cannot be the name of a lesson's folder
    use two digits, a dash, and small letters, digits and dashes, such as 07-why-it-does-not-hunt
a/lesson.md: "a" cannot be the name of a lesson's folder
    use two digits, a dash, and small letters, digits and dashes, such as 07-why-it-does-not-hunt
`},
		{name: "links", files: map[string]string{
			"01-inside/lesson.md": "-> ../02-real/lesson.md", "02-real/lesson.md": block(""), "03-out/lesson.md": "-> ../../secret.md",
			"04-out": "-> ..", "05-absolute/lesson.md": "-> /etc/passwd", "06-lost/lesson.md": "-> nowhere.md", "07-loop": "-> 07-loop", "other": "-> ..",
			"08-folder": "-> 02-real",
		}, want: []string{"inside", "real", "folder"}, say: `
03-out/lesson.md: cannot be read: path escapes from parent
    put the file itself into the folder; a link must not lead out of the lessons folder
04-out/lesson.md: cannot be read: path escapes from parent
    put the file itself into the folder; a link must not lead out of the lessons folder
05-absolute/lesson.md: cannot be read: path escapes from parent
    put the file itself into the folder; a link must not lead out of the lessons folder
06-lost/lesson.md: the lesson's file is missing
    write it, or remove the folder
07-loop/lesson.md: cannot be read: too many levels of symbolic links
    put the file itself into the folder; a link must not lead out of the lessons folder
other/lesson.md: cannot be read: path escapes from parent
    put the file itself into the folder; a link must not lead out of the lessons folder
`},
		{name: "large", files: map[string]string{"01-a/lesson.md": block("") + strings.Repeat("a ", Largest)}, want: []string{"a"}, say: `
01-a/lesson.md:1:1: the lesson has 1048577 bytes, more than the 1048576 that a lesson may have
    make two lessons of it
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := tree(t, c.files)
			lessons, messages := ReadAll(open(t, dir))
			var got []string
			for _, l := range lessons {
				got = append(got, l.Slug)
				if want := filepath.Join(dir, l.Folder, "lesson.md"); l.File != want {
					t.Errorf("file is %q, want %q", l.File, want)
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
			say := filepath.ToSlash(strings.ReplaceAll(list(messages), dir+string(filepath.Separator), ""))
			if say != strings.TrimPrefix(c.say, "\n") {
				t.Errorf("got:\n%s\nwant:%s", say, c.say)
			}
		})
	}
}

func TestReadAllNothing(t *testing.T) {
	dir := tree(t, map[string]string{"notes/readme.md": ""})
	if _, messages := ReadAll(open(t, dir)); len(messages) != 1 || messages[0].Text != "there is no lesson in this folder" {
		t.Errorf("got %s", list(messages))
	}
	if _, messages := ReadAll(open(t, filepath.Join(dir, "missing"))); len(messages) != 1 || !strings.HasPrefix(messages[0].Text, "cannot be read: ") {
		t.Errorf("got %s", list(messages))
	}
}

// The lessons that the project ships are read without a finding.
func TestShipped(t *testing.T) {
	lessons, messages := ReadAll(open(t, filepath.Join("..", "..", "lessons")))
	if len(lessons) == 0 || len(messages) > 0 {
		t.Errorf("%d lessons, %s", len(lessons), list(messages))
	}
}
