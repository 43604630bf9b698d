package lesson

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/language"
)

// wordsFolder is the folder within a lesson's own that holds its translations,
// each named after its language, such as fr.md.
const wordsFolder = "words"

// ReadTranslations gives each lesson that ReadAll read from a folder its
// language, which is the first of the house's languages, and its translations
// into the others, each from NN-name/words/LANGUAGE.md there.
func ReadTranslations(in *folder.Folder, lessons []*Lesson, known language.Set, house []string) []diag.Message {
	messages := houseLanguages(in, known, house)
	if len(house) == 0 || diag.HasError(messages) {
		return diag.Sort(messages)
	}
	for _, l := range lessons {
		l.Speak(known.Of(house[0]))
		messages = append(messages, readWords(in, l, known, house)...)
	}
	return diag.Sort(messages)
}

// houseLanguages checks that lessons may be written in the house's languages.
func houseLanguages(in *folder.Folder, known language.Set, house []string) []diag.Message {
	var messages []diag.Message
	for i, tag := range house {
		m := diag.Message{File: in.Path("house.toml"), Rule: "language"}
		switch {
		case slices.Contains(house[:i], tag):
			m.Text, m.Hint = fmt.Sprintf("%q stands twice in the house's languages", tag), "leave one out"
		case !slices.Contains(known.Tags(), tag):
			m.Text = fmt.Sprintf("lessons cannot be written in %q", tag)
			m.Hint = suggest(tag, known.Tags()) + "\nor write what pages say in it: " + in.Path(language.Folder+"/"+tag+".toml")
		default:
			continue
		}
		messages = append(messages, m)
	}
	return messages
}

// readWords reads the translations of one lesson.
func readWords(in *folder.Folder, l *Lesson, known language.Set, house []string) []diag.Message {
	inside := l.Folder + "/" + wordsFolder
	at := func(name string) string { return in.Path(inside + "/" + name) }
	var messages []diag.Message
	say := func(file, text, hint string) {
		messages = append(messages, diag.Message{File: file, Rule: "translation", Text: text, Hint: hint})
	}
	beside, _ := in.ReadDir(l.Folder)
	for _, e := range beside {
		stem, isText := strings.CutSuffix(e.Name(), ".md")
		tag := strings.TrimPrefix(stem, "lesson.")
		if isText && !e.IsDir() && slices.Contains(known.Tags(), tag) {
			messages = append(messages, diag.Message{
				File: in.Path(l.Folder + "/" + e.Name()), Level: diag.Warning, Rule: "translation",
				Text: "a translation is not read from here", Hint: fmt.Sprintf("move it to %s/%s.md", wordsFolder, tag),
			})
		}
	}
	var entries []fs.DirEntry
	info, err := in.Stat(inside)
	if err == nil && info.IsDir() {
		entries, err = in.ReadDir(inside)
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		say(at(""), "cannot be read: "+reason(err), "put the translations themselves there; a link must not lead out of the lessons folder")
	case !info.IsDir():
		say(at(""), "this is no folder", "make it one, and put the lesson's translations into it, such as fr.md")
	}
	found := map[string]*Lesson{}
	for _, e := range entries {
		name := e.Name()
		if folder.EditorsOwn(name) {
			continue
		}
		tag, text, hint := translationName(name, known, house)
		if text != "" {
			say(at(name), text, hint)
			continue
		}
		source, text, hint := readText(in, inside+"/"+name)
		if text != "" {
			say(at(name), text, hint)
			found[tag] = nil
			continue
		}
		t, ms := ParseTranslation(at(name), tag, source, l)
		t.Speak(known.Of(tag))
		found[tag] = t
		messages = append(messages, ms...)
	}
	for _, tag := range house[1:] {
		// A lesson without a translation is no fault: its pages say which
		// languages it has.
		if t := found[tag]; t != nil {
			l.Translations = append(l.Translations, t)
		}
	}
	return messages
}

// translationName gives the language that a file in the folder of translations
// is named after, or says what is wrong with the name.
func translationName(name string, known language.Set, house []string) (tag, text, hint string) {
	tag, ok := strings.CutSuffix(name, ".md")
	switch {
	case !ok:
		return "", "this is no translation", "a translation is named after its language, such as fr.md; keep other files elsewhere"
	case !slices.Contains(known.Tags(), tag):
		return "", fmt.Sprintf("lessons cannot be written in a language %q", tag), suggest(tag, known.Tags())
	case !slices.Contains(house, tag):
		return "", fmt.Sprintf("%q is not one of the house's languages", tag), "add it to languages in house.toml, or take the file away"
	case tag == house[0]:
		return "", fmt.Sprintf("%q is the house's first language, which is that of the lesson itself", tag), "write it into " + lessonFile
	}
	return tag, "", ""
}

// readText reads a file below the lessons folder, or says why it cannot.
func readText(in *folder.Folder, name string) (source []byte, text, hint string) {
	info, err := in.Stat(name)
	if err != nil {
		return nil, "cannot be read: " + reason(err), folder.Hint(err)
	}
	if !info.Mode().IsRegular() {
		return nil, "this is no ordinary file", "put the translation's text there"
	}
	if source, err = in.ReadFile(name, Largest); err != nil {
		return nil, "cannot be read: " + reason(err), folder.Hint(err)
	}
	return source, "", ""
}
