package site

import (
	"html/template"

	"slipring/engine/lesson"
	"slipring/render/page"
)

const (
	machinePath  = "course/at-the-machine/index.html"
	machineSheet = "at-the-machine" // its edition, for those who print
)

// machinePage is all that the lessons have volunteers do at the machine, in the
// order of a day.
type machinePage struct {
	Cautions []template.HTML // in full, of all lessons that have steps
	Hours    []hour
	People   []string // who is there, to be filled in
}

// hour is one time of the day.
type hour struct {
	Day     string // one of lesson.Days
	Name    string
	Off     bool // nothing may be touched before the set is isolated
	Running bool
	Limits  []limited
	Rounds  []rounded
}

// limited is what says stop, with the lesson that says so.
type limited struct {
	Words template.HTML
	Of    *lessonPages
}

// rounded is what one lesson has to be done at one time of the day.
type rounded struct {
	page.Round
	Of    *lessonPages
	Added []page.Added // the lesson's cautions
	Above *hour        // where these stand in full; nil where they do here
}

// machineLinks are those of a page that lies as deep as a lesson's own. It has
// no list of terms to describe their words with.
func (b *builder) machineLinks(e *lessonPages) page.Links {
	links := b.linksFrom("course", e)
	links.Lesson, links.Term = b.lessonHref, nil
	return links
}

// atMachine is the page of all steps at the machine.
func (b *builder) atMachine() (shell, bool) {
	var p machinePage
	var with []*lessonPages
	warned := map[*lessonPages]*hour{}
	for _, day := range lesson.Days() {
		h := hour{Day: day, Name: b.words.Text("machine." + day)}
		switch day {
		case "isolated", "stopped":
			h.Off = true
		case "start", "idle", "load":
			h.Running = true
		}
		for _, e := range b.course() {
			for _, r := range e.atMachine.Rounds {
				if r.Day != day {
					continue
				}
				for _, words := range r.Limits {
					h.Limits = append(h.Limits, limited{words, e})
				}
				if len(r.Steps) == 0 {
					continue
				}
				h.Rounds = append(h.Rounds, rounded{r, e, e.atMachine.Added, warned[e]})
				if warned[e] == nil {
					warned[e] = &hour{Day: h.Day, Name: h.Name}
				}
				with = append(with, e)
			}
		}
		if len(h.Rounds) > 0 {
			p.Hours = append(p.Hours, h)
		}
	}
	if len(p.Hours) == 0 {
		return shell{}, false
	}
	p.Cautions, p.People = b.dangers(with), b.people()
	return shell{Title: b.title(b.words.Text("machine.title")), From: b.from(b.course()...), Page: p}, true
}

// Safe gives links to the lessons about safety.
func (s shell) Safe() template.HTML {
	var safe []*lessonPages
	for _, e := range s.edition.lessons {
		if e.Lesson.Facts.Safety && !e.Lesson.Facts.Beside {
			safe = append(safe, e)
		}
	}
	return s.lessonLinks(safe)
}

// AtMachine gives a link to the page of all steps, "" where lessons have none.
func (s shell) AtMachine() string {
	if !s.edition.holds(lesson.MachineSteps) {
		return ""
	}
	return s.To(machinePath)
}

// holds says whether a lesson of the course has a block of a kind.
func (e *edition) holds(kind lesson.Kind) bool {
	for _, l := range e.lessons {
		for _, n := range l.Lesson.Body.Children {
			if n.Kind == kind && !l.Lesson.Facts.Beside {
				return true
			}
		}
	}
	return false
}

// StopSign is for the template.
func (p machinePage) StopSign() template.HTML { return page.StopSign() }

// Warned is the id of the lesson's cautions in full.
func (r rounded) Warned() string { return "warned." + r.Of.Lesson.Slug }

// AlertSign is for the template.
func (p machinePage) AlertSign() template.HTML { return page.AlertSign() }
