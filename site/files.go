package site

import (
	"encoding/json"
	"fmt"

	"slipring/engine/lesson"
	"slipring/render/page"
	"slipring/render/plot"
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
	files := []file{{"values.json", values}}
	for _, f := range in.Result.Figures {
		files = append(files, file{numbersFile(lesson.Figure, f.Name), in.Drawings.CSV(f, in.Result.Knobs...)})
	}
	for _, t := range in.Readings() {
		files = append(files, file{numbersFile(lesson.Table, t.Name), plot.TableCSV(t)})
	}
	for _, t := range in.Result.Tables {
		files = append(files, file{numbersFile(lesson.Table, t.Name), plot.TableCSV(t, in.Result.Knobs...)})
	}
	for _, s := range in.Result.Sounds {
		all := s.Frames
		if len(all) == 0 {
			all = append(all, s.Heard)
		}
		for i, one := range all {
			of, err := json.Marshal(one)
			var content []byte
			if err == nil {
				content, err = b.kept(append([]byte("sound "), of...), one.File)
			}
			if err != nil { // which package tell has tried
				return nil, fmt.Errorf("the sound %q of %s: %w", s.Name, in.Lesson.Slug, err)
			}
			files = append(files, file{soundFile(s.Name, i), content})
		}
	}
	return files, nil
}

func numbersFile(kind, name string) string { return kind + "-" + name + ".csv" }

// soundFile names the file of a sound. A sound that no knob changes has the
// frame 0 only.
func soundFile(name string, frame int) string { return fmt.Sprintf("sound-%s.%d.wav", name, frame+1) }

// folder is where a lesson's course page stands, in all languages.
func (e *lessonPages) folder() string { return "course/" + e.Lesson.Slug + "/" }

// kioskLinks gives the links of a kiosk page, which stands one folder deep.
func kioskLinks(e *lessonPages) page.Links {
	return page.Links{Sound: func(name string, frame int) string { return "../" + e.folder() + soundFile(name, frame) }}
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
