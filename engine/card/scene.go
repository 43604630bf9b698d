package card

import (
	"fmt"
	"slices"

	"slipring/engine/diag"
)

// Scene is the drawing of a whole demonstration, as the house describes it.
// Lengths are in units of its own sheet, from the upper left corner.
type Scene struct {
	File          string
	Title         string
	In            map[string]string // the title in other languages
	Width, Height float64
	Whole         []SceneLesson // about all of it, whatever part else they are about
	Parts         []ScenePart   // in the order in which they are drawn
}

// ScenePart is one thing of a scene.
type ScenePart struct {
	Label         string
	Draws         string            // the name of a shape
	At            [][2]float64      // the middle of each place where it stands, or the points of a line
	Width, Height float64           // of one of them
	Count         int               // such as the teeth of a wheel; what the shape's Counts says
	Of            string            // what it is made of, "" for what is usual
	Gone          bool              // it stood there once
	Lit           bool              // it shines, as a lamp does
	Mark          []float64         // where its number stands; nil beside its first place
	Number        int               // of the parts with a name, from 1; 0 for one without
	Name          string            // "" for scenery
	Names         map[string]string // the name in other languages
	Lessons       []SceneLesson     // about it, the first being the one that it leads to

	Line, Column int // of its label in the file
}

// SceneLesson names a lesson by its folder without the number.
type SceneLesson struct {
	Slug         string
	Line, Column int
}

// Shape is a kind of thing that can be drawn.
type Shape struct {
	Name                string
	Width, Height       float64 // where the part does not say
	Counts              string  // the key of what it has several of, "" for nothing
	Usual, Fewest, Most int     // of these
	Line                bool    // its places are the points of a line
}

// What a scene may hold. More would be neither seen nor loaded in time.
const (
	mostParts        = 80
	mostPlaces       = 24 // of one part
	mostSceneLessons = 8  // of one part
	leastSheet       = 200
	mostSheet        = 4000
)

// Say gives the scene's title and the names of its parts in a language, or in
// the file's where it has none in that one.
func (s Scene) Say(language string) Scene {
	if t := s.In[language]; t != "" {
		s.Title = t
	}
	s.Parts = slices.Clone(s.Parts)
	for i, p := range s.Parts {
		if n := p.Names[language]; n != "" {
			s.Parts[i].Name = n
		}
	}
	return s
}

// About gives the parts that a lesson is about; none where it is about all.
func (s Scene) About(slug string) (parts []ScenePart) {
	is := func(l SceneLesson) bool { return l.Slug == slug }
	if slices.ContainsFunc(s.Whole, is) {
		return nil
	}
	for _, p := range s.Parts {
		if slices.ContainsFunc(p.Lessons, is) {
			parts = append(parts, p)
		}
	}
	return parts
}

// Lacks warns of words that the scene has not got in one of the languages.
func (s Scene) Lacks(languages []string) (messages []diag.Message) {
	for _, language := range languages {
		if s.In[language] == "" && s.Title != "" {
			messages = append(messages, lacking(s.File, 1, 1, "scene", "the title", language, fmt.Sprintf("at the end of the file, write below [%s]: title = \"...\"", language)))
		}
		for _, p := range s.Parts {
			if p.Name != "" && p.Names[language] == "" {
				messages = append(messages, lacking(s.File, p.Line, p.Column, "scene", fmt.Sprintf("the part %q", p.Label), language,
					fmt.Sprintf("write below it [%s.%s] and name = \"...\"", p.Label, language)))
			}
		}
	}
	return messages
}

// Against holds the scene against the lessons that there are.
func (s Scene) Against(slugs []string) (messages []diag.Message) {
	all := slices.Clone(s.Whole)
	for _, p := range s.Parts {
		all = append(all, p.Lessons...)
	}
	for _, l := range all {
		if !slices.Contains(slugs, l.Slug) {
			messages = append(messages, diag.Message{File: s.File, Line: l.Line, Column: l.Column, Rule: "scene-lesson",
				Text: fmt.Sprintf("there is no lesson %q for the drawing to lead to", l.Slug),
				Hint: hintNear(l.Slug, slugs, "lessons are called by the name of their folder, without the number")})
		}
	}
	return messages
}
