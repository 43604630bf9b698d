package main

import (
	"context"
	"encoding/json"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"slipring/engine/card"
	"slipring/engine/cell"
	"slipring/engine/cutting"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/language"
	"slipring/engine/lesson"
	"slipring/engine/logbook"
	"slipring/engine/machine"
	"slipring/engine/proof"
	"slipring/engine/reading"
	"slipring/engine/reconcile"
	"slipring/render/page"
	"slipring/render/scene"
	"slipring/site"
)

// lessonRun is one lesson with all that its run gave.
type lessonRun struct {
	proof.Checked
	program  *cell.Program
	messages []diag.Message
	ran      bool // its cells ran, rather than their result being known
}

// texts gives the lesson, then its translations.
func (r lessonRun) texts() []proof.Checked {
	return append([]proof.Checked{r.Checked}, r.Translations...)
}

// workshop is a folder of lessons with what running it gave.
type workshop struct {
	house     card.House
	languages language.Set // that a house can have, with its own
	cards     []machine.Card
	sheets    []card.Sheet // of the cards
	history   card.History
	glossary  card.Glossary
	scene     card.Scene
	entries   []logbook.Entry   // of the logbook of work
	entered   []reading.Reading // off the house's sets
	measured  []site.Measured   // the same beside the models
	wiring    *card.Wiring      // nil when the house has none
	board     *reconcile.Board  // what drawings and continuity readings say of it; nil without drawings
	cutting   *card.Cutting     // what it says of wire to cut; nil when it has nothing
	toCut     cutting.List      // of it
	papers    *reconcile.Papers // these drawings and readings, for cells
	lessons   []lessonRun       // in course order
	messages  []diag.Message
}

// runLessons reads the folder in and runs each lesson, as many side by side as
// there are workers; lessons whose results are in known are not run again.
// A lesson that cannot be read whole is reported and not run; the others are.
// Nothing is printed; progress, which may be nil, is called as each lesson
// ends, one call at a time.
func runLessons(ctx context.Context, o options, in *folder.Folder, known cache, progress func(done, all int, slug string)) workshop {
	var w workshop
	note := func(messages []diag.Message) { w.messages = append(w.messages, messages...) }
	var messages []diag.Message
	w.house, messages = readHouse(in)
	note(messages)
	if !diag.HasError(messages) {
		note(site.CheckScreens(w.house))
	}
	w.sheets, messages = readCards(in)
	note(messages)
	w.cards = cardsOf(w.sheets)
	w.languages, messages = language.Read(in, w.house.Languages)
	note(messages)
	all := proof.Folder{House: w.house, Languages: w.languages, Cards: w.cards}
	w.wiring, messages = readWiring(in, w.cards)
	note(messages)
	if w.wiring != nil {
		w.board, messages = readDrawings(in, w.wiring.Wiring)
		note(messages)
		w.cutting, messages = readCutting(in, *w.wiring)
		note(messages)
		if w.board != nil {
			w.papers = &reconcile.Papers{Sheets: w.board.Sheets(), Readings: w.board.Readings()}
		}
	}
	all.Sources, messages = readList(in, "sources.toml", card.ReadSources)
	note(messages)
	all.Glossary, messages = readList(in, "glossary.toml", card.ReadGlossary)
	note(messages)
	w.glossary = all.Glossary
	w.scene, messages = readList(in, "scene.toml", readScene)
	note(messages)
	drawn := !diag.HasError(messages)
	shared := diag.HasError(w.messages)
	w.history, messages = readList(in, "history.toml", card.ReadHistory)
	note(messages)
	lessons, found := lesson.ReadAll(in)
	entered, unsound := reading.ReadAll(in)
	w.entered = append(entered, lesson.Entered(lessons)...)
	note(unsound)
	note(plates(w.entered, w.wiring))
	if !shared && !diag.HasError(unsound) {
		note(w.holdReadings(known))
		note(w.later(time.Now().Format(time.DateOnly)))
	}
	if !shared {
		for _, s := range w.sheets {
			note(s.Lacks(w.house.Others()))
		}
		note(all.Sources.Lacks(w.house.Others()))
		if w.wiring != nil {
			note(w.wiring.Lacks(w.house.Others()))
		}
		if w.cutting != nil {
			note(w.cutting.Lacks(w.house.Others()))
			note(w.cut(known))
		}
		if drawn {
			note(w.scene.Lacks(w.house.Others()))
		}
		if !diag.HasError(messages) {
			note(w.history.Lacks(w.house.Others()))
			note(w.history.Against(w.sheets))
		}
	}

	found = append(found, lesson.ReadTranslations(in, lessons, w.languages, w.house.Languages)...)
	found = append(found, checkKiosk(in, w.house, lessons)...)
	if drawn {
		found = append(found, w.scene.Against(called(in, lessons))...)
	}
	note(found)
	var logged []diag.Message
	w.entries, logged = logbook.ReadAll(in, w.languages, w.house.Languages)
	note(logged)
	note(logbook.Later(w.entries, time.Now().Format(time.DateOnly)))
	all.Lessons = lessons
	w.lessons = make([]lessonRun, len(lessons))
	for i, l := range lessons {
		w.lessons[i].Lesson = l
	}
	// A card that cannot be read would make every lesson fail for the same
	// reason; one message about the card says more than many about lessons.
	if shared {
		w.messages = diag.Sort(w.messages)
		return w
	}

	unread := notWhole(found)
	var sound []int
	for i, l := range lessons {
		if !unread[l.File] && !slices.ContainsFunc(l.Data, func(d lesson.Data) bool { return unread[d.File] }) &&
			!slices.ContainsFunc(l.Captures, func(c lesson.Capture) bool { return unread[c.File] }) {
			sound = append(sound, i)
		}
	}
	workers := o.workers
	if workers == 0 {
		workers = runtime.NumCPU()
	}
	next := make(chan int)
	var wait sync.WaitGroup
	var lock sync.Mutex
	done := 0
	for range min(workers, max(len(sound), 1)) {
		wait.Go(func() {
			for i := range next {
				w.lessons[i] = runLesson(ctx, lessons[i], all, w, unread, o.limits, known)
				lock.Lock()
				done++
				if progress != nil {
					progress(done, len(sound), lessons[i].Slug)
				}
				lock.Unlock()
			}
		})
	}
	for _, i := range sound {
		next <- i
	}
	close(next)
	wait.Wait()
	for _, f := range w.lessons {
		note(f.messages)
	}
	ran := !slices.ContainsFunc(w.lessons, func(f lessonRun) bool { return f.Report.Printed == nil })
	if ran && !diag.HasError(logged) && !diag.HasError(unsound) { // or what an entry names may be there all the same
		around := logbook.Around{Folder: all, History: w.history, Readings: w.entered}
		for _, f := range w.lessons {
			around.Told = append(around.Told, f.Checked)
		}
		note(logbook.Check(w.entries, around))
	}
	if !diag.HasError(found) { // what a lesson uses is known once all of it is read
		note(all.CheckAll())
		reports := make([]proof.Report, len(w.lessons))
		for i, f := range w.lessons {
			reports[i] = f.Report
		}
		note(all.CheckAnswers(reports))
	}
	w.messages = diag.Sort(w.messages)
	return w
}

// cardsOf gives the cards of some sheets.
func cardsOf(sheets []card.Sheet) (cards []machine.Card) {
	for _, s := range sheets {
		cards = append(cards, s.Card)
	}
	return cards
}

// notWhole gives the files that could not be read whole, of those that the
// messages are about. Errors about names and order leave the text whole.
func notWhole(messages []diag.Message) map[string]bool {
	files := map[string]bool{}
	for _, m := range messages {
		if m.Level == diag.Error && m.Rule != "needs" && m.Rule != "folder" {
			files[m.File] = true
		}
	}
	return files
}

// runLesson runs and proofs one lesson that was read whole, and its
// translations but for those in unread.
func runLesson(ctx context.Context, l *lesson.Lesson, in proof.Folder, of workshop, unread map[string]bool, limits cell.Limits, known cache) lessonRun {
	f := lessonRun{Checked: proof.Checked{Lesson: l}}
	program, messages := cell.Assemble(l)
	f.program = program
	f.messages = append(f.messages, messages...)
	f.messages = append(f.messages, page.Formulas(l)...)
	if diag.HasError(messages) {
		return f
	}
	program.Enter(l.ForCells(of.entered))
	for _, c := range program.Calls() {
		f.Calls = append(f.Calls, lesson.Call(c))
	}
	f.Told = program.Told()
	if of.wiring != nil {
		program.Wire(&of.wiring.Wiring)
	}
	if of.cutting != nil {
		program.Plan(&of.cutting.Plan)
	}
	if of.papers != nil {
		program.Draw(*of.papers)
	}
	result, recalled := known.recall(program, in.Cards)
	if !recalled {
		f.ran = true
		var fresh map[string]json.RawMessage
		result, fresh, messages = program.RunWithCache(ctx, in.Cards, known.machineRuns(), limits)
		known.addRuns(fresh)
		f.messages = append(f.messages, messages...)
		if diag.HasError(messages) {
			return f
		}
		known.remember(program, in.Cards, result)
	}
	f.Result = result
	f.Report, messages = in.Check(l, result)
	f.messages = append(f.messages, messages...)
	for _, t := range l.Translations {
		if unread[t.File] {
			continue
		}
		report, messages := in.Check(t, result)
		f.Translations = append(f.Translations, proof.Checked{Lesson: t, Result: result, Report: report, Calls: f.Calls, Told: f.Told})
		f.messages = append(f.messages, messages...)
	}
	return f
}

// called gives the names by which other files can call lessons, also those of
// lessons that could not be read, since their own messages say why.
func called(in *folder.Folder, lessons []*lesson.Lesson) (slugs []string) {
	for _, l := range lessons {
		slugs = append(slugs, l.Slug)
	}
	folders, _ := in.ReadDir(".")
	for _, e := range folders {
		words := strings.FieldsFunc(strings.ToLower(e.Name()), func(r rune) bool { return strings.ContainsRune(" -_", r) })
		if len(words) < 2 {
			continue
		}
		if name := strings.Join(words[1:], "-"); !slices.Contains(slugs, name) {
			slugs = append(slugs, name)
		}
	}
	return slugs
}

// readScene reads the drawing of the whole demonstration.
func readScene(name string, source []byte) (card.Scene, []diag.Message) {
	return card.ReadScene(name, source, scene.Shapes(), scene.Materials())
}

// checkKiosk sees to it that the lessons that the house puts on the kiosk are
// there, and warns of panels that no visitor would see.
func checkKiosk(in *folder.Folder, house card.House, lessons []*lesson.Lesson) []diag.Message {
	var messages []diag.Message
	slugs := called(in, lessons)
	for _, name := range house.Kiosk {
		if slices.Contains(slugs, name) {
			continue
		}
		hint := "lessons are called by the name of their folder, without the number"
		if near := diag.Nearest(name, slugs); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		messages = append(messages, diag.Message{
			File: in.Path("house.toml"), Rule: "house-kiosk",
			Text: fmt.Sprintf("there is no lesson %q to put on the kiosk", name), Hint: hint})
	}
	for _, l := range lessons {
		if len(house.Kiosk) == 0 || l.Facts.Beside || slices.Contains(house.Kiosk, l.Slug) {
			continue
		}
		l.Body.Walk(func(n *lesson.Node) bool {
			if n.Kind == lesson.VisitorPanel {
				m := l.Message(n.Offset, diag.Warning, "house-kiosk", "the kiosk does not show this panel, since house.toml does not list the lesson",
					fmt.Sprintf("write %q into kiosk in house.toml", l.Slug))
				messages = append(messages, m)
			}
			return n.Kind == lesson.Document
		})
	}
	return messages
}
