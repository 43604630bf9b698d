// Package site puts a whole visit together as files in memory: kiosk, course,
// handouts and logbook. Package publish puts them on disk.
//
//	tree, messages := site.Build(site.Input{House: house, Cards: cards, Lessons: lessons})
//	err := publish.Write(tree, "visit")
//
// The pages work from a disk as they are, without a server, and ask no other
// host for anything. Build is a pure function: the same input gives the same
// bytes. It runs no cell; what a quote reads was found by package proof.
package site

import (
	"fmt"
	"runtime"
	"slices"
	"sync"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/logbook"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/reconcile"
	"slipring/render/page"
	"slipring/render/plot"
	"slipring/site/publish"
)

// Input is everything that the pages are made from.
type Input struct {
	House card.House
	Cards []machine.Card

	Languages language.Set // that there are; House says which of them its pages are in

	Lessons []proof.Checked // in course order
	Version string          // of the model; machine.Version when empty

	Glossary card.Glossary // pages explain the words that lessons use
	Scene    card.Scene    // of the whole demonstration; pages of a house without one have no drawing of it

	Sheets  []card.Sheet    // of the cards, for their words in other languages
	History card.History    // of the cards
	Logbook []logbook.Entry // of work, the oldest first

	Tests []reconcile.Test // of the board's wires, to be taken next

	Measured []Measured // what was read off the sets, beside their models
	ToCut    ToCut      // wire; none where the house says nothing of it

	// Drawings keeps drawings from one Build to the next; nil keeps none.
	Drawings *plot.Drawings

	// Kept gives a file that was made of the same before, or else makes it; nil
	// makes each.
	Kept func(of []byte, produce func() ([]byte, error)) ([]byte, error)
}

// kept is Kept, for whichever Input.
func (in Input) kept(of []byte, produce func() ([]byte, error)) ([]byte, error) {
	if in.Kept == nil {
		return produce()
	}
	return in.Kept(of, produce)
}

// Build makes every file of the site. The tree may be written only when none
// of the messages is an error.
func Build(in Input) (publish.Tree, []diag.Message) {
	b, err := newBuilder(in)
	if err != nil {
		return nil, []diag.Message{{Text: err.Error(), Hint: "this is a mistake in Slipring, not in a lesson; please report it"}}
	}
	var fonts publish.Tree
	var packed sync.WaitGroup
	packed.Go(func() { fonts, err = b.packFonts() })
	// All lessons are printed first: a page leads to the same place in the
	// other languages.
	for _, b.edition = range b.editions {
		b.printAll()
	}
	for _, b.edition = range b.editions {
		for _, e := range b.lessons {
			if b.own(e) && !e.failed {
				b.pages(e)
				b.addFiles(e)
			}
		}
		b.overviews()
	}
	packed.Wait()
	b.look(fonts, err)
	if b.err != nil {
		b.messages = append(b.messages, diag.Message{Text: b.err.Error(), Hint: "this is a mistake in Slipring, not in a lesson; please report it"})
	}
	return b.tree, diag.Sort(b.messages)
}

// builder is the state of one Build.
type builder struct {
	Input
	templates
	editions []*edition
	*edition // the one that is being built
	tree     publish.Tree
	used     map[string]bool // files of the folder web that pages load
	messages []diag.Message
	err      error
}

// lessonPages is one lesson on its way to its pages.
type lessonPages struct {
	page.Input
	digest  string
	edition *edition
	failed  bool // and has no pages

	messages []diag.Message
	files    []file // beside the course page
	err      error  // of these

	course    page.Course
	atMachine page.AtMachine
	kiosk     page.Kiosk
	sheets    map[page.Edition]page.Handout
	talk      page.Talk
}

func newBuilder(in Input) (*builder, error) {
	t, err := readTemplates()
	if err != nil {
		return nil, err
	}
	if in.Version == "" {
		in.Version = machine.Version
	}
	editions, err := newEditions(in)
	if err != nil {
		return nil, err
	}
	return &builder{Input: in, templates: t, editions: editions, edition: editions[0], tree: publish.Tree{}, used: map[string]bool{}}, nil
}

// printAll makes what the pages of the edition's lessons show, of as many
// lessons at a time as there are processor cores. Printing a lesson changes
// nothing but its lessonPages.
func (b *builder) printAll() {
	next := make(chan *lessonPages)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for e := range next {
				b.print(e)
			}
		})
	}
	for _, e := range b.lessons {
		if b.own(e) {
			next <- e
		}
	}
	close(next)
	wait.Wait()
	for _, e := range b.lessons {
		if b.own(e) {
			b.messages = append(b.messages, e.messages...)
		}
	}
}

// print makes what the pages of one lesson show.
func (b *builder) print(e *lessonPages) {
	e.sheets = map[page.Edition]page.Handout{}
	for _, r := range readers() {
		e.messages = append(e.messages, r.print(b, e)...)
	}
	e.failed = diag.HasError(e.messages)
	if b.first { // files are the same in all languages
		e.files, e.err = b.filesOf(e.Input)
	}
}

func (b *builder) add(path string, content []byte) {
	if _, had := b.tree[path]; had {
		b.fail(fmt.Errorf("two pages would be written to %s", path))
	}
	b.tree[path] = content
}

func (b *builder) fail(err error) {
	if b.err == nil {
		b.err = err
	}
}

// onKiosk says whether visitors see a lesson: it is part of the course, it has
// panels, and the house puts it on the kiosk.
func onKiosk(house card.House, e *lessonPages) bool {
	panels := slices.ContainsFunc(e.Lesson.Body.Children, func(n *lesson.Node) bool { return n.Kind == lesson.VisitorPanel })
	return !e.Lesson.Facts.Beside && panels && (len(house.Kiosk) == 0 || slices.Contains(house.Kiosk, e.Lesson.Slug))
}

// kioskLessons lists the lessons that visitors see.
func (b *builder) kioskLessons() []*lessonPages {
	return slices.DeleteFunc(slices.Clone(b.lessons), func(e *lessonPages) bool { return !onKiosk(b.House, e) })
}
