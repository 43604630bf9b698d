package site

import (
	"encoding/json"
	"fmt"
	"html/template"
	"slices"

	"slipring/engine/lesson"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/story"
	"slipring/engine/tell"
	"slipring/render/page"
	"slipring/render/plot"
	"slipring/render/schematic"
	"slipring/render/strips"
	"slipring/render/words"
)

// file stands beside the course page of a lesson.
type file struct {
	name    string
	content []byte
}

// filesOf makes a lesson's values, the numbers of its figures and tables, and
// its sounds.
func (b *builder) filesOf(in page.Input) ([]file, error) {
	values, err := valuesJSON(in)
	if err != nil {
		return nil, err
	}
	english, err := words.In("en") // files are the same in all languages
	if err != nil {
		return nil, err
	}
	files := []file{{"values.json", values}}
	all := proof.ShownBy(in.Lesson, in.Result)
	for _, one := range all {
		numbers := func(content []byte) { files = append(files, file{numbersFile(one.Kind, one.Name), content}) }
		switch what := one.What.(type) {
		case tell.Figure:
			numbers(in.Drawings.CSV(what, in.Result.Knobs...))
		case tell.Table:
			numbers(plot.TableCSV(what, in.Result.Knobs...))
		case lesson.Data:
			if places(in.Lesson.Body, what, all) {
				numbers(plot.TableCSV(proof.Table(what, func(number string) string { return number })))
			}
		case tell.Finder:
			numbers(plot.FinderCSV(what))
		case tell.Schematic:
			numbers(schematic.CSV(what))
		case tell.Strips:
			numbers(plot.TableCSV(strips.Table(what, english)))
		case tell.Sound:
			sounds, err := b.sounds(what)
			if err != nil { // which package tell has tried
				return nil, fmt.Errorf("the sound %q of %s: %w", what.Name, in.Lesson.Slug, err)
			}
			files = append(files, sounds...)
		}
	}
	return files, nil
}

// places says whether a lesson places some readings.
func places(body *lesson.Node, readings lesson.Data, all []proof.Shown) (found bool) {
	body.Walk(func(n *lesson.Node) bool {
		one, _ := proof.Placed(n, all)
		d, ok := one.What.(lesson.Data)
		found = found || ok && d.Name == readings.Name
		return !found
	})
	return found
}

// sounds makes the file of each frame of a sound.
func (b *builder) sounds(s tell.Sound) ([]file, error) {
	all := s.Frames
	if len(all) == 0 {
		all = append(all, s.Heard)
	}
	var files []file
	for i, one := range all {
		of, err := json.Marshal(one)
		if err != nil {
			return nil, err
		}
		content, err := b.kept(append([]byte("sound "), of...), one.File)
		if err != nil {
			return nil, err
		}
		files = append(files, file{soundFile(s.Name, i), content})
	}
	return files, nil
}

func numbersFile(kind, name string) string { return kind + "-" + name + ".csv" }

// soundFile names the file of a sound. A sound that no knob changes has the
// frame 0 only.
func soundFile(name string, frame int) string { return fmt.Sprintf("sound-%s.%d.wav", name, frame+1) }

// folder is where a lesson's course page stands, in all languages.
func (e *lessonPages) folder() string { return "course/" + e.Lesson.Slug + "/" }

// linksFrom gives the links of a lesson's page for a reader, but for those to
// other lessons.
func (b *builder) linksFrom(reader string, e *lessonPages) page.Links {
	here := e.Path(reader)
	link := func(to string) string { return relative(here, to) }
	return page.Links{
		Card: func(card string, c machine.Constant) string {
			return link(b.path(logbookPath)) + "#" + constantID(card, c)
		},
		Term:   func(label string) string { return link(b.path(glossaryPath)) + "#" + label },
		File:   func(kind, name string) string { return link(e.folder() + numbersFile(kind, name)) },
		Sound:  func(name string, frame int) string { return link(e.folder() + soundFile(name, frame)) },
		Part:   func(key string) string { return b.partHref(here, key) },
		Source: func(source string) string { return b.sourceHref(here, source) },
		Note: func(card string, c machine.Constant) template.HTML {
			i := slices.IndexFunc(b.Cards, func(one machine.Card) bool { return one.Name == card })
			if i < 0 {
				return ""
			}
			return shell{edition: b.edition, main: b.editions[0].words, path: here}.said(b.sheet(b.Cards[i]).NoteIn(b.words.Language(), c))
		},
		Code: func(name string) string {
			if keys := story.Decides(name); len(keys) > 0 && b.hasPart(keys[0]) {
				return b.partHref(here, keys[0])
			}
			return b.askedHref(here, name)
		},
	}
}

// addFiles adds the files of a lesson, which are the same in all languages.
func (b *builder) addFiles(e *lessonPages) {
	if e.err != nil {
		b.fail(e.err)
	}
	for _, f := range e.files {
		b.add(e.folder()+f.name, f.content)
	}
}
