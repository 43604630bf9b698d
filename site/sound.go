package site

import (
	"fmt"

	"slipring/render/page"
)

// soundFile names the file of a sound, beside the course page of its lesson.
// A sound that no knob changes has the frame 0 only.
func soundFile(name string, frame int) string { return fmt.Sprintf("sound-%s.%d.wav", name, frame+1) }

func soundFolder(e *lessonPages) string { return "course/" + e.Lesson.Slug + "/" }

// kioskLinks gives the links of a kiosk page, which stands one folder deep.
func kioskLinks(e *lessonPages) page.Links {
	return page.Links{Sound: func(name string, frame int) string {
		return "../" + soundFolder(e) + soundFile(name, frame)
	}}
}

// sounds writes the sounds that the lesson tells, which are the same
// in all languages.
func (b *builder) sounds(e *lessonPages) {
	for _, s := range e.Result.Sounds {
		all := s.Frames
		if len(all) == 0 {
			all = append(all, s.Heard)
		}
		for i, one := range all {
			file, err := one.File()
			if err != nil { // which package tell has tried
				b.fail(fmt.Errorf("the sound %q of %s: %w", s.Name, e.Lesson.Slug, err))
				return
			}
			b.add(soundFolder(e)+soundFile(s.Name, i), file)
		}
	}
}
