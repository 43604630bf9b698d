package card

import (
	"fmt"
	"iter"
	"maps"
	"math"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// House is the museum that the pages are made for.
type House struct {
	File      string
	Name      string
	Place     string
	Note      string                // printed on every page, such as that all is invented
	Contact   string                // whom to call in an emergency
	Address   string                // where it stands, for letters and for who looks for it; "" when the file does not say
	Open      string                // when it is open; "" likewise
	Web       string                // address of its pages, with https:// before it; "" likewise
	In        map[string]HouseWords // these in other languages
	Hazards   Hazards               // of its machine, as lessons declare them
	Languages []string              // the first is the main one
	Kiosk     []string              // lessons whose panels visitors see, by the names of their folders without number; all when empty
	Idle      int                   // seconds without a touch after which the kiosk goes back to its start; 90 when the file does not say
	Hall      string                // "dark" or "light"; "dark" when the file does not say
	Ask       int                   // seconds before that, it asks whether somebody is there; 20 when the file does not say
	Talks     bool                  // it gives talks about the hazards of its lessons
	Screens   []Screen              // of the kiosk, where the file says how they hang
}

// IdleSeconds and AskSeconds are how long a kiosk waits when its house does
// not say. WCAG 2.2, success criterion 2.2.1, asks for 20 s in which to answer.
const (
	IdleSeconds = 90
	AskSeconds  = 20
)

// halls are the rooms that a kiosk may stand in: light letters on a dark ground,
// or dark ones on a light ground, where the hall itself is bright.
var halls = [...]string{"dark", "light"}

// ReadHouse reads the house file, which may describe the hazards that lessons
// can declare. The house may be used only when none of the messages is an
// error.
func ReadHouse(name string, source []byte, hazards []string) (House, []diag.Message) {
	h := House{File: name}
	f, ok := parse(name, source, format{family: "house", nested: true, topped: true, form: `a fact is written KEY = "words"`})
	if !ok {
		return h, f.messages
	}
	top := f.sections[0]
	rest := top
	rest.fields = nil
	asked := 0 // where the file says when to ask
	for _, d := range top.fields {
		switch d.key {
		case "languages":
			h.Languages = f.list(d)
		case "kiosk":
			h.Kiosk = f.list(d)
		case "screens":
			h.Screens = f.screens(d)
		case "address", "open", "web":
			f.optional(&h, d)
		case "idle":
			if f.want(d, number) {
				h.Idle = int(d.value.number)
				if x := d.value.number; x != math.Trunc(x) || x < 30 || x > 3600 {
					f.add(d.value.offset, "value", fmt.Sprintf("a kiosk cannot wait for %v seconds", x), "give whole seconds from 30 to 3600")
				}
			}
		case "ask":
			if f.want(d, number) {
				h.Ask, asked = int(d.value.number), d.value.offset
				if x := d.value.number; x != math.Trunc(x) || x < 5 || x > 120 {
					f.add(d.value.offset, "value", fmt.Sprintf("a kiosk cannot ask %v seconds before it goes back", x), "give whole seconds from 5 to 120")
				}
			}
		case "hall":
			if f.want(d, text) {
				h.Hall = d.value.text
				if !slices.Contains(halls[:], h.Hall) {
					f.add(d.value.offset, "value", fmt.Sprintf("a hall cannot be %q", h.Hall), hintNear(h.Hall, halls[:], "it is one of: "+strings.Join(halls[:], ", ")))
				}
			}
		default:
			rest.fields = append(rest.fields, d)
		}
	}
	if h.Idle == 0 {
		h.Idle = IdleSeconds
	}
	if h.Ask == 0 {
		h.Ask = AskSeconds
	}
	if h.Ask > h.Idle-10 && !diag.HasError(f.messages) {
		f.add(asked, "value", fmt.Sprintf("a kiosk that waits for %d seconds cannot ask %d seconds before", h.Idle, h.Ask), "leave at least 10 seconds before it asks")
	}
	if h.Hall == "" {
		h.Hall = halls[0]
	}
	f.words(rest, map[string]*string{"name": &h.Name, "place": &h.Place, "note": &h.Note, "contact": &h.Contact}, nil, map[string]*bool{"talks": &h.Talks},
		"languages", "kiosk", "screens", "address", "open", "web", "idle", "ask", "hall")
	if len(h.Languages) == 0 && !diag.HasError(f.messages) {
		f.add(0, "missing", "the house has no language", `write languages = ["en"]`)
	}
	f.below(&h, hazards)
	return h, diag.Sort(f.messages)
}

// list gives the words of a list.
func (f *file) list(d field) (words []string) {
	if !f.want(d, list) {
		return nil
	}
	for _, item := range d.value.items {
		if f.want(field{key: d.key, offset: d.offset, value: item}, text) {
			words = append(words, item.text)
		}
	}
	return words
}

// keys gives the keys of all three maps.
func keys(texts, dates map[string]*string, truths map[string]*bool) iter.Seq[string] {
	all := slices.Collect(maps.Keys(texts))
	all = slices.AppendSeq(all, maps.Keys(dates))
	return slices.Values(slices.AppendSeq(all, maps.Keys(truths)))
}
