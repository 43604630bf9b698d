package site

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/card"
	"slipring/render/scene"
)

// Heights of the numbers in the drawing, in units of its sheet: they are read
// from where a visitor stands, or on paper. There the drawing is so wide that
// they are no smaller than the words around them: 125 pt on a visitors' sheet,
// 202 on a guide's, 450 in large print.
const (
	marksOnScreen = 48
	marksSmall    = 124
	marksForGuide = 67
	marksLarge    = 52
)

// saidScene gives the house's drawing in the words of the edition; not ok for a
// house without one.
func (b *builder) saidScene() (s card.Scene, ok bool) {
	return b.Scene.Say(b.words.Language()), len(b.Scene.Parts) > 0
}

// drawScene draws the whole demonstration. What is about the lesson is lit.
func (b *builder) drawScene(set scene.Settings) template.HTML {
	s, ok := b.saidScene()
	if !ok {
		return ""
	}
	set.Language = b.words.Language()
	set.Description = b.toldScene(s, set.Lesson)
	return template.HTML(scene.Draw(s, set))
}

// toldScene says for those who listen what the drawing shows.
func (b *builder) toldScene(s card.Scene, slug string) string {
	var there, gone, lit []string
	for _, p := range s.Parts {
		switch {
		case p.Name == "":
		case p.Gone:
			gone = append(gone, p.Name)
		default:
			there = append(there, p.Name)
		}
	}
	for _, p := range s.About(slug) {
		lit = append(lit, p.Name)
	}
	told := b.words.Text("scene.shows", "parts", strings.Join(there, ", "))
	if len(gone) > 0 {
		told += " " + b.words.Text("scene.gone", "parts", strings.Join(gone, ", "))
	}
	if len(lit) > 0 {
		told += " " + b.words.Text("scene.marked", "parts", strings.Join(lit, ", "))
	}
	return told
}

// place is a lesson's own drawing: the whole, with what the lesson is about
// marked.
type place struct {
	Drawing template.HTML
	Key     []keyed // empty where the drawing has no numbers
}

// keyed is one part in the key of a drawing.
type keyed struct {
	Number int
	Name   string
	Lit    bool
}

// place gives a lesson's drawing, with numbers of a height and their key, where
// it is not 0. Where only those of the lesson's own parts find room, others have
// none.
func (b *builder) place(e *lessonPages, id string, marks float64, few bool) (p place) {
	s, ok := b.saidScene()
	if !ok {
		return p
	}
	set := scene.Settings{ID: id, Lesson: e.Lesson.Slug}
	if set.Marks = marks; marks > 0 {
		about := s.About(e.Lesson.Slug)
		lit := func(one card.ScenePart) bool {
			return slices.ContainsFunc(about, func(a card.ScenePart) bool { return a.Number == one.Number })
		}
		for _, one := range s.Parts {
			if one.Number > 0 && (!few || lit(one)) {
				p.Key = append(p.Key, keyed{one.Number, one.Name, lit(one)})
			}
		}
		if few {
			set.Mark = func(one card.ScenePart) string {
				if one.Number > 0 && lit(one) {
					return strconv.Itoa(one.Number)
				}
				return ""
			}
		}
	}
	p.Drawing = b.drawScene(set)
	return p
}

// surveyed is the drawing on a page that lists lessons. All is "" for a house
// without one.
type surveyed struct {
	Whole template.HTML            // with links from its parts to lessons
	Crops map[string]template.HTML // what a lesson is about, by the lesson's name
}

// survey draws the whole for the list of lessons on a page, for one of the
// readers. It numbers them as the list does.
func (b *builder) survey(path, reader string, lessons []*lessonPages) (out surveyed) {
	s, ok := b.saidScene()
	if !ok {
		return out
	}
	const id = "whole"
	out.Crops = map[string]template.HTML{}
	for _, e := range lessons {
		out.Crops[e.Lesson.Slug] = template.HTML(scene.Crop(s, id, scene.Around(s, e.Lesson.Slug, 1.3)))
	}
	nth := func(slug string) int {
		return slices.IndexFunc(lessons, func(e *lessonPages) bool { return e.Lesson.Slug == slug })
	}
	marked := map[string]bool{}
	out.Whole = b.drawScene(scene.Settings{
		ID: id, Marks: marksOnScreen,
		Link: func(p card.ScenePart) string {
			for _, l := range p.Lessons {
				if i := nth(l.Slug); i >= 0 {
					return relative(b.path(path), lessons[i].Path(reader))
				}
			}
			return ""
		},
		Mark: func(p card.ScenePart) string {
			var all []int
			for _, l := range p.Lessons {
				if i := nth(l.Slug); i >= 0 && !marked[l.Slug] {
					all = append(all, i+1)
					marked[l.Slug] = true
				}
			}
			slices.Sort(all)
			var text []string
			for _, n := range all {
				text = append(text, strconv.Itoa(n))
			}
			return strings.Join(text, " · ")
		},
	})
	return out
}
