package site

import (
	"fmt"
	"slices"

	"slipring/engine/diag"
	"slipring/engine/story"
	"slipring/render/page"
)

// kind is a kind of page.
type kind struct {
	path     string // in the house's first language; %s stands for a lesson's name
	about    string // key of the text that says what a page about several lessons holds, where its own code does not
	template string // in the folder web, without its ending; up to a dash, the name of its style sheet
	features []page.Feature
	paper    bool // made to be printed
	kiosk    bool // leads nowhere but to the kiosk's own pages
}

// overview is a page about several lessons.
type overview struct {
	kind
	page func(b *builder) (s shell, ok bool) // not ok where there is nothing to show
}

// overviews lists the pages about several lessons.
func overviews() []overview {
	all := []overview{
		{kind{path: "index.html", about: "start.about", template: "start"}, (*builder).start},
		{kind{path: "kiosk/index.html", about: "start.visit-more", template: "kiosk-map", features: []page.Feature{page.WholeSet, attracts, screens}, kiosk: true}, (*builder).kioskStart},
		{kind{path: "course/index.html", about: "course.lead", template: "course-map", features: []page.Feature{page.WholeSet, progress, signing}}, (*builder).courseMap},
		{kind{path: signOffPath, about: "sign-off.lead", template: "course-signoff", features: []page.Feature{progress, signing}, paper: true}, (*builder).signOff},
		{kind{path: machinePath, about: "machine.lead", template: "course-machine", features: []page.Feature{works}, paper: true}, (*builder).atMachine},
		{kind{path: endPath, about: "step.lead", template: "course-end", features: []page.Feature{works}, paper: true}, (*builder).fromEndToEnd},
		{kind{path: cuttingPath, about: "cutting.lead", template: "course-cutting", features: []page.Feature{cuts}, paper: true}, (*builder).cuttingList},
		{kind{path: sourcesPath, about: "sources.lead", template: "course-sources"}, (*builder).sources},
		{kind{path: glossaryPath, about: "glossary.lead", template: "course-glossary"}, (*builder).glossary},
		{kind{path: partsPath, about: "engine.intro", template: "engine", features: []page.Feature{page.WholeSet}}, (*builder).parts},
		{kind{path: askedPath, about: "asked.intro", template: "engine-cells"}, (*builder).asked},
		{kind{path: "handout/index.html", about: "handout.lead", template: "handout-map"}, (*builder).handoutMap},
		{kind{path: teachersPath, about: "teachers.lead", template: "handout-teachers", paper: true}, (*builder).teachers},
		{kind{path: hangingPath, about: "hanging.lead", template: "handout-hanging", features: []page.Feature{hangs}, paper: true}, (*builder).hanging},
		{kind{path: scriptPath, about: "spoken.lead", template: "handout-script", paper: true}, (*builder).script},
		{kind{path: readingsFormPath, about: "readings-form.lead", template: "handout-readings", features: []page.Feature{formed}, paper: true}, (*builder).readingsForm},
		{kind{path: testsPath, about: "tests.lead", template: "handout-tests", features: []page.Feature{tested}, paper: true}, (*builder).tests},
		{kind{path: symbolsPath, about: "symbols.lead", template: "handout-symbols", features: []page.Feature{charts}, paper: true}, (*builder).symbols},
		{kind{path: logbookPath, template: "logbook"}, (*builder).logbook},
		{kind{path: measuredPath, about: "measured.lead", template: "measured"}, (*builder).measured},
		{kind{path: bookPath, about: "book.lead", template: "book", features: []page.Feature{pictures}, paper: true}, (*builder).book},
	}
	for _, pkg := range askedPackages() {
		all = append(all, overview{kind{path: askedIn(pkg), template: "engine-asked"}, func(b *builder) (shell, bool) { return b.askedOf(pkg) }})
	}
	for _, p := range story.Parts() {
		all = append(all, overview{kind{path: partPath(p.Name), template: "engine-part", features: []page.Feature{page.WholeSet}}, func(b *builder) (shell, bool) { return b.part(p.Name) }})
	}
	return all
}

// reader is somebody for whom a lesson is printed.
type reader struct {
	name string // also that of a sheet's edition
	kind
	print func(b *builder, e *lessonPages) []diag.Message // makes what the page shows
	page  func(b *builder, e *lessonPages) (s shell, ok bool)
}

// readers lists those for whom a lesson is printed.
func readers() []reader {
	return []reader{
		{"course", kind{path: "course/%s/index.html", template: "course", features: []page.Feature{progress}}, (*builder).printCourse, (*builder).coursePage},
		{"kiosk", kind{path: "kiosk/%s.html", template: "kiosk", features: []page.Feature{page.WholeSet, screens, reads}, kiosk: true}, (*builder).printKiosk, (*builder).kioskPage},
		sheet("visitors", page.Visitors, "handout/%s.html", "", "handout.window"),
		sheet("guide", page.Guide, "handout/%s-guide.html", "handout.guide", "handout.window-guide"),
		// A dot is in no lesson's name.
		sheet("large", page.LargePrint, "handout/%s.large.html", "handout.large", "handout.window-large", large),
		talks(),
		finderCharts(),
	}
}

// Path gives the path of the lesson's page for a reader, in the lesson's
// language.
func (e *lessonPages) Path(name string) string {
	for _, r := range readers() {
		if r.name == name {
			return e.edition.path(fmt.Sprintf(r.path, e.Lesson.Slug))
		}
	}
	panic("there is no reader " + name)
}

// overviews makes the pages about several lessons.
func (b *builder) overviews() {
	for _, o := range overviews() {
		if b.taken(o.path) {
			continue
		}
		if s, ok := o.page(b); ok {
			b.write(o.path, o.kind, s)
		}
	}
}

// taken says whether a lesson stands in the place of another page of the course,
// and reports it once. Package lesson lets no such name through.
func (b *builder) taken(path string) bool {
	i := slices.IndexFunc(b.lessons, func(e *lessonPages) bool { return e.folder()+"index.html" == path })
	if i < 0 {
		return false
	}
	if b.first {
		b.messages = append(b.messages, b.lessons[i].Lesson.Message(0, diag.Error, "lesson-name",
			fmt.Sprintf("a lesson's folder cannot be called %q: the course has a page of that name", b.lessons[i].Lesson.Slug), "give the folder another name"))
	}
	return true
}

// pages makes the pages of a lesson.
func (b *builder) pages(e *lessonPages) {
	for _, r := range readers() {
		s, ok := r.page(b, e)
		if !ok {
			continue
		}
		s.From, s.Of, s.About = b.from(e), e, b.about(r, e)
		b.write(fmt.Sprintf(r.path, e.Lesson.Slug), r.kind, s)
	}
}

// about says what the page of a lesson for a reader holds.
func (b *builder) about(r reader, e *lessonPages) string {
	if r.name == "course" && e.Know() != "" {
		return e.Know()
	}
	return b.words.Text("about."+r.name, "lesson", e.Lesson.Title)
}
