package site

import (
	"html/template"
	"slices"
	"strings"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/lesson"
	"slipring/render/page"
)

type handoutPage struct {
	*lessonPages
	page.Handout
	Edition string // what it is called at its top; "" for the sheet that most visitors get
	Guide   bool
	Large   bool
	Place   place // where in the whole set the lesson is
	Stop    stop  // on the tour; of the guide's edition only
}

// Talk gives the guide's talking points of a purpose, "" for what to say.
func (p handoutPage) Talk(purpose string) []template.HTML { return p.Points[purpose] }

// First is the story up to what Last holds.
func (p handoutPage) First() []page.Scene {
	last := p.Last()
	if len(last) == 0 {
		return p.Story
	}
	n := len(p.Story) - 1
	first := slices.Clone(p.Story[:n])
	if last[0].Text == "" && p.Story[n].Text != "" {
		first = append(first, page.Scene{Text: p.Story[n].Text})
	}
	return first
}

// Last is what is kept on a page with the house's lines, which in large print
// would else have one to themselves: the figures of the last scene, or its words
// where it has none.
func (p handoutPage) Last() []page.Scene {
	if !p.Large || len(p.Story) == 0 {
		return nil
	}
	last := p.Story[len(p.Story)-1]
	if last.Figures != "" {
		last.Text = ""
	}
	return []page.Scene{last}
}

// sheet is the reader of one edition of a lesson's handout. Title and window are
// the keys of what it is called at its top and in the browser's window.
func sheet(name string, of page.Edition, path, title, window string, features ...page.Feature) reader {
	return reader{
		name: name,
		kind: kind{path: path, template: "handout", features: append([]page.Feature{page.WholeSet}, features...), paper: true},
		print: func(b *builder, e *lessonPages) (messages []diag.Message) {
			e.sheets[of], messages = page.NewHandout(e.Input, of)
			return messages
		},
		page: func(b *builder, e *lessonPages) (shell, bool) {
			p := handoutPage{lessonPages: e, Handout: e.sheets[of], Guide: of == page.Guide, Large: of == page.LargePrint}
			if title != "" {
				p.Edition = b.words.Text(title)
			}
			switch of {
			case page.Guide:
				p.Stop, p.Place = b.stop(e), b.place(e, "whole", marksForGuide, false)
			case page.LargePrint:
				p.Place = b.place(e, "whole", marksLarge, false)
			default:
				p.Place = b.place(e, "whole", marksSmall, true)
			}
			return shell{Title: b.title(e.Lesson.Title, b.words.Text(window)), Features: p.Features, Page: p}, !e.Lesson.Facts.Beside
		},
	}
}

// stop is a lesson's place on the tour. Nth is 0 where the tour does not stop.
type stop struct {
	Nth, Of, Minutes int
	Before, After    *lessonPages // nil at the ends
}

// tour lists the lessons at which a tour stops, in the order of the course.
func (b *builder) tour() []*lessonPages {
	return slices.DeleteFunc(slices.Clone(b.lessons), func(e *lessonPages) bool { return e.Lesson.Facts.Stop == 0 || e.Lesson.Facts.Beside })
}

func (b *builder) stop(e *lessonPages) (s stop) {
	tour := b.tour()
	i := slices.Index(tour, e)
	if i < 0 {
		return s
	}
	s = stop{Nth: i + 1, Of: len(tour), Minutes: e.Lesson.Facts.Stop}
	if i > 0 {
		s.Before = tour[i-1]
	}
	if i+1 < len(tour) {
		s.After = tour[i+1]
	}
	return s
}

// Gravest is the class and the word of the gravest hazard of the page's lesson.
func (s shell) Gravest() (n page.Notice) {
	at := len(card.Signals())
	for _, one := range s.Notices(s.Of) {
		if i := slices.Index(card.Signals(), one.Class); i >= 0 && i < at {
			n, at = one, i
		}
	}
	return n
}

// Scanned is the code that leads to the house's pages, "" where it states no
// address of them.
func (s shell) Scanned() (template.HTML, error) {
	if s.House.Web == "" {
		return "", nil
	}
	return scanned(s.Words, s.House.Web)
}

// WebName is the address of the house's pages as people write it.
func (s shell) WebName() string {
	_, name, _ := strings.Cut(s.House.Web, "://")
	return strings.TrimSuffix(name, "/")
}

// handoutMapPage is the page that leads to all handouts.
type handoutMapPage struct {
	Lessons []*lessonPages
	Stops   map[string]stop // by the lesson's name
	Stop    int             // how many there are
	Minutes int             // of the whole tour
}

func (b *builder) handoutMap() (shell, bool) {
	p := handoutMapPage{Lessons: b.course(), Stops: map[string]stop{}}
	for _, e := range b.tour() {
		p.Stops[e.Lesson.Slug] = b.stop(e)
		p.Stop++
		p.Minutes += e.Lesson.Facts.Stop
	}
	return shell{Title: b.title(b.words.Text("handout.title")), From: b.from(b.lessons...), Page: p}, true
}

// teachersPath holds a dot, which is in no lesson's name.
const teachersPath = "handout/teachers.sheet.html"

// teachersSheet is the edition of the sheet for teachers.
const teachersSheet = "teachers"

// teachersPage is what the lessons have for teachers.
type teachersPage struct {
	Experiments []template.HTML
	Ages        []teachersAge
}

type teachersAge struct {
	Ages      string
	Questions []template.HTML
}

// teachers makes the sheet, where a lesson has something for it.
func (b *builder) teachers() (shell, bool) {
	var p teachersPage
	all := map[string][]template.HTML{}
	for _, e := range b.lessons {
		if !b.teaches(e) {
			continue
		}
		had, messages := page.ForTeachers(e.Input)
		b.messages = append(b.messages, messages...)
		for what, blocks := range had {
			all[what] = append(all[what], blocks...)
		}
	}
	for _, what := range lesson.TeacherPurposes() {
		if what == "experiment" {
			p.Experiments = all[what]
		} else if len(all[what]) > 0 {
			p.Ages = append(p.Ages, teachersAge{b.ages(what), all[what]})
		}
	}
	return shell{Title: b.title(b.words.Text("teachers.title")), From: b.from(b.lessons...), Page: p}, len(all) > 0
}

// ages says in words for which ages a question is.
func (b *builder) ages(purpose string) string {
	switch purpose {
	case "8-10":
		return b.words.Text("teachers.age-8-10")
	case "11-14":
		return b.words.Text("teachers.age-11-14")
	}
	return b.words.Text("teachers.age-15")
}

// teaches says whether a lesson of the edition's language has something for
// teachers.
func (e *edition) teaches(l *lessonPages) bool {
	return e.own(l) && !l.Lesson.Facts.Beside && slices.ContainsFunc(l.Lesson.Body.Children, func(n *lesson.Node) bool { return n.Kind == lesson.TeacherBlock })
}

// Teaches leads to the sheet for teachers, "" where there is none.
func (s shell) Teaches() string {
	if !slices.ContainsFunc(s.edition.lessons, s.edition.teaches) {
		return ""
	}
	return s.To(teachersPath)
}

// Sheet is a page that is made to be printed.
type Sheet struct {
	Path    string // in the tree
	Edition string // one of SheetEditions
}

// signOffSheet is the edition of the sheet on which a volunteer signs for the
// whole course.
const signOffSheet = "sign-off"

// SheetEditions lists what sheets there are: those of each lesson, the one for
// the whole course, and those for teachers and about the kiosk.
func SheetEditions() []string {
	var names []string
	for _, r := range readers() {
		if r.paper {
			names = append(names, r.name)
		}
	}
	return append(names, teachersSheet, signOffSheet, machineSheet, endSheet, cuttingSheet, hangingSheet, scriptSheet, readingsFormSheet, testsSheet, symbolsSheet, bookSheet)
}

// Sheets lists the pages that Build makes to be printed, in each language.
func Sheets(in Input) []Sheet {
	editions, err := newEditions(in)
	if err != nil {
		return nil // Build says why
	}
	var sheets []Sheet
	for _, edition := range editions {
		spoken := false
		for _, e := range edition.lessons {
			spoken = spoken || edition.own(e) && onKiosk(in.House, e)
			for _, r := range readers() {
				if r.paper && edition.own(e) && !e.Lesson.Facts.Beside && (r.name != talkSheet || hasTalk(e)) && (r.name != chartSheet || hasChart(e)) {
					sheets = append(sheets, Sheet{e.Path(r.name), r.name})
				}
			}
		}
		if slices.ContainsFunc(edition.lessons, edition.teaches) {
			sheets = append(sheets, Sheet{edition.path(teachersPath), teachersSheet})
		}
		sheets = append(sheets, Sheet{edition.path(signOffPath), signOffSheet})
		if edition.holds(lesson.MachineSteps) {
			sheets = append(sheets, Sheet{edition.path(machinePath), machineSheet})
		}
		if edition.holds(lesson.StepBlock) {
			sheets = append(sheets, Sheet{edition.path(endPath), endSheet})
		}
		if edition.cuts {
			sheets = append(sheets, Sheet{edition.path(cuttingPath), cuttingSheet})
		}
		if edition.booked {
			sheets = append(sheets, Sheet{edition.path(bookPath), bookSheet})
		}
		if len(in.House.Screens) > 0 {
			sheets = append(sheets, Sheet{edition.path(hangingPath), hangingSheet})
		}
		if _, ok := edition.formCard(); ok {
			sheets = append(sheets, Sheet{edition.path(readingsFormPath), readingsFormSheet})
		}
		if len(in.Tests) > 0 {
			sheets = append(sheets, Sheet{edition.path(testsPath), testsSheet})
		}
		if slices.ContainsFunc(edition.lessons, draws) {
			sheets = append(sheets, Sheet{edition.path(symbolsPath), symbolsSheet})
		}
		if spoken {
			sheets = append(sheets, Sheet{edition.path(scriptPath), scriptSheet})
		}
	}
	return sheets
}

// Name is a name for the sheet's file, without an ending. It differs from that
// of every other sheet.
func (s Sheet) Name() string {
	name := strings.TrimSuffix(s.Path, ".html")
	if own, ok := strings.CutPrefix(name, "handout/"); ok {
		return own
	}
	return strings.ReplaceAll(name, "/", ".") // a lesson's name holds no dot
}
