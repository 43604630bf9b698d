package language

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"slipring/engine/diag"
	"slipring/engine/folder"
)

// Folder is where a house has languages of its own, within its lessons folder.
const Folder = "languages"

// largest is the size in bytes up to which a file of a language is read.
const largest = 1 << 20

// Read reads the languages of a house's own, languages/TAG.toml in its lessons
// folder. Where one comes with the program too, the file replaces single texts
// of it. In a new one, what is missing is taken from the house's first language, or from
// English where it is itself the first; one message lists it. house are the house's
// languages.
func Read(in *folder.Folder, house []string) (Set, []diag.Message) {
	var set Set
	var messages []diag.Message
	say := func(name, text, hint string) {
		messages = append(messages, diag.Message{File: in.Path(name), Rule: rule, Text: text, Hint: hint})
	}
	entries, err := in.ReadDir(Folder)
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			say(Folder, "cannot be read: "+err.Error(), folder.Hint(err))
		}
		return set, nil
	}
	var tags []string
	for _, e := range entries {
		name := Folder + "/" + e.Name()
		tag, ok := strings.CutSuffix(e.Name(), ".toml")
		switch {
		case folder.EditorsOwn(e.Name()):
		case !ok || e.IsDir():
			say(name, "this is no file of a language", "a language is one file, named after it, such as es.toml; keep other files elsewhere")
		case !slices.Contains(house, tag):
			say(name, fmt.Sprintf("%q is not one of the house's languages", tag), "add it to languages in house.toml, or take the file away")
		default:
			tags = append(tags, tag)
		}
	}
	// The first language may be the base of the others.
	slices.SortStableFunc(tags, func(a, b string) int { return slices.Index(house, a) - slices.Index(house, b) })
	for _, tag := range tags {
		name := Folder + "/" + tag + ".toml"
		source, err := in.ReadFile(name, largest)
		if err != nil {
			say(name, "cannot be read: "+err.Error(), folder.Hint(err))
			continue
		}
		base, shipped := Set{}.Find(tag)
		if !shipped {
			base = set.Of(house[0])
		}
		l, found := read(in.Path(name), tag, source, base)
		l.digest = fmt.Sprintf("%s %x %s", tag, sha256.Sum256(source), base.digest)
		if !shipped && !diag.HasError(found) {
			found = append(found, l.lacking(in.Path(name))...)
		}
		messages = append(messages, found...)
		if diag.HasError(found) {
			// The language is known all the same, so that nothing else is said of it.
			known := *base
			known.Tag, l = tag, &known
		}
		set.own = append(set.own, l)
	}
	return set, diag.Sort(messages)
}

// shownMissing is how many missing texts a message shows.
const shownMissing = 6

// lacking says what a language of a house's own has no words for, with the
// English of some.
func (l *Language) lacking(name string) []diag.Message {
	english := l
	for english.base != nil {
		english = english.base
	}
	var missing []string
	for _, key := range slices.Sorted(maps.Keys(english.texts)) {
		if _, ok := l.texts[key]; !ok {
			missing = append(missing, fmt.Sprintf("%s = %q", key, english.texts[key]))
		}
	}
	if len(l.months) == 0 {
		missing = append([]string{fmt.Sprintf("date.months = [%q, ...]", english.months[0])}, missing...)
	}
	for _, r := range [...]struct {
		lacks bool
		what  string
	}{
		{!l.counts, "[language.numbers] the signs of numbers"},
		{len(l.agreements) == 0 && len(l.units) == len(l.base.units), "[language.units] units in words"},
		{!l.reads.said, "[language.reading] how hard a text is, or none = true"},
		{l.compares.phrases == nil, "[language.comparing] words that compare"},
		{l.Guess == never, "[language.asking] words that ask to guess"},
		{l.Dead.proved == nil, "[language.dead] words for what is proved dead"},
	} {
		if r.lacks {
			missing = append(missing, r.what)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	shown := missing[:min(len(missing), shownMissing)]
	text := fmt.Sprintf("%d of the texts and rules of a language are missing", len(missing))
	hint := "write, in the words of the language:\n" + strings.Join(shown, "\n")
	if len(shown) < len(missing) {
		hint += fmt.Sprintf("\nand %d more; write these, and the next ones are listed", len(missing)-len(shown))
	}
	hint += fmt.Sprintf("\nuntil then pages have them in %s, and rules of words look at nothing", l.base.Name)
	return []diag.Message{{File: name, Level: diag.Warning, Rule: rule, Text: text, Hint: hint}}
}
