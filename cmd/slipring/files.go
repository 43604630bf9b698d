package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"

	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/lesson"
	"slipring/engine/machine"
)

// largestList is the size, in bytes, up to which the house, a card and the
// lists of a lessons folder are read.
const largestList = 1 << 20

// readText reads a file of the lessons folder other than a lesson; name is its
// path in there, with slashes. It refuses what is no plain file, so that a pipe
// keeps nobody waiting, links that lead out of the folder, what is too large to
// have been written by hand, and characters that nobody sees.
func readText(in *folder.Folder, name string) (source []byte, there bool, messages []diag.Message) {
	file := in.Path(name)
	source, err := in.ReadFile(name, largestList)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil
	}
	m := diag.Message{File: file, Line: 1, Column: 1}
	at, what := -1, ""
	if err == nil {
		at, what = diag.Hidden(bytes.TrimPrefix(source, []byte("\ufeff")))
	}
	whole, hint := diag.NotText(source)
	switch {
	case err != nil:
		m = folder.Unreadable(file, err)
	case len(source) > largestList:
		m.Text, m.Hint = fmt.Sprintf("the file has more than the %d bytes that such a file may have", largestList), "take out what no lesson needs"
	case whole != "":
		m.Text, m.Hint = whole, hint
	case at >= 0:
		at += len(source) - len(bytes.TrimPrefix(source, []byte("\ufeff")))
		m.Line, m.Column = diag.Place(source, at)
		m.Text, m.Hint = what, "save the file as plain text in UTF-8, without such characters"
	default:
		return source, true, nil
	}
	return nil, true, []diag.Message{m}
}

// readList reads the sources or another list, which a folder may go without.
func readList[T any](in *folder.Folder, name string, read func(name string, source []byte) (T, []diag.Message)) (list T, messages []diag.Message) {
	source, there, messages := readText(in, name)
	if !there || len(messages) > 0 {
		return list, messages
	}
	return read(in.Path(name), source)
}

func readHouse(in *folder.Folder) (card.House, []diag.Message) {
	const name = "house.toml"
	source, there, messages := readText(in, name)
	switch {
	case !there:
		return card.House{}, []diag.Message{{
			File: in.Path(name), Text: "the file that names the house is missing",
			Hint: "write it with at least:\nname = \"Our museum\"\nplace = \"where it stands\"\nnote = \"what readers must know of the data, such as that they are invented\"\ncontact = \"whom to call in an emergency\"",
		}}
	case len(messages) > 0:
		return card.House{}, messages
	}
	return card.ReadHouse(in.Path(name), source, lesson.Hazards())
}

func readCards(in *folder.Folder) ([]card.Sheet, []diag.Message) {
	const cards = "cards"
	entries, err := in.ReadDir(cards)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, []diag.Message{folder.Unreadable(in.Path(cards), err)}
	}
	var sheets []card.Sheet
	var all []diag.Message
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ".toml" {
			continue
		}
		name := cards + "/" + e.Name()
		file := in.Path(name)
		source, _, messages := readText(in, name)
		all = append(all, messages...)
		if len(messages) > 0 {
			continue
		}
		c, messages := card.ReadSheet(file, source)
		all = append(all, messages...)
		if diag.HasError(messages) {
			continue
		}
		if want := path.Base(name); c.Name+".toml" != want {
			all = append(all, diag.Message{
				File: file, Line: 1, Column: 1,
				Text: "the card calls itself \"" + c.Name + "\", but its file is " + want,
				Hint: "give the card and its file the same name",
			})
			continue
		}
		sheets = append(sheets, c)
	}
	return sheets, all
}

// readCutting reads what the house says of the wire that it cuts; nil when it
// says nothing.
func readCutting(in *folder.Folder, w card.Wiring) (*card.Cutting, []diag.Message) {
	const plan, places = "wiring/cutting.toml", "wiring/places.csv"
	said, there, messages := readText(in, plan)
	stand, also, more := readText(in, places)
	messages = append(messages, more...)
	if !there && !also || len(messages) > 0 {
		return nil, messages
	}
	for name, missing := range map[string]bool{plan: !there, places: !also} {
		if missing {
			return nil, []diag.Message{{File: in.Path(name), Text: "the file is missing, and without it no wire can be cut", Hint: "write it, or take " + plan + " and " + places + " away"}}
		}
	}
	c, messages := card.ReadCutting(in.Path(plan), said, in.Path(places), stand, w)
	if diag.HasError(messages) {
		return nil, messages
	}
	return &c, messages
}

// readWiring reads the house's wiring; nil when there is none.
func readWiring(in *folder.Folder, cards []machine.Card) (*card.Wiring, []diag.Message) {
	described, there, messages := readText(in, partsFile)
	listed, also, more := readText(in, wiresFile)
	messages = append(messages, more...)
	if !there && !also || len(messages) > 0 {
		return nil, messages
	}
	for name, missing := range map[string]bool{partsFile: !there, wiresFile: !also} {
		if missing {
			return nil, []diag.Message{{File: in.Path(name), Text: "the file is missing, and without it the other half of the wiring says nothing", Hint: "write it, or take the folder wiring away; slipring reconcile -amend writes wires.csv from drawings"}}
		}
	}
	w, messages := card.ReadWiring(in.Path(partsFile), described, in.Path(wiresFile), listed)
	if diag.HasError(messages) {
		return nil, messages
	}
	for _, p := range w.Wiring.Parts {
		if p.Kind == "set" && !slices.ContainsFunc(cards, func(c machine.Card) bool { return c.Name == p.Card }) {
			messages = append(messages, diag.Message{File: w.Parts, Line: p.Line, Column: 1,
				Text: fmt.Sprintf("the set %s is that of the card %q, which is not there", p.Name, p.Card), Hint: "write the name of a machine card, as its file in cards is called"})
			return nil, messages
		}
	}
	return &w, messages
}
