package site

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"path"
	"slices"
	"strings"

	"slipring/engine/cutting"
	"slipring/engine/language"
	"slipring/engine/machine"
	"slipring/engine/reconcile"
	"slipring/engine/tell"
	"slipring/render/page"
	"slipring/render/plot"
	ui "slipring/render/words"
)

const (
	cuttingPath  = "course/cutting-list/index.html"
	cuttingSheet = "cutting" // its edition, for those who print
)

// ToCut is what there is to cut of a house's wiring, and the plan that says how.
type ToCut struct {
	List cutting.List
	Plan cutting.Plan
}

// CutSheet is the list of wire to cut in the words of one language.
type CutSheet struct {
	ToCut
	words *ui.Words
}

// CuttingSheet puts a list of wire to cut into the words of a language.
func CuttingSheet(of ToCut, in *language.Language) CutSheet { return CutSheet{of, ui.Of(in)} }

func (s CutSheet) text(key string, fill ...any) string { return s.words.Text("cutting."+key, fill...) }

// metres writes a length with two decimals: no step is finer than a centimetre
// that anybody would measure.
func (s CutSheet) metres(x float64) string { return s.words.Number(x, 2) }

// volts and amps write two to three figures, whatever their size.
func (s CutSheet) small(x float64) string {
	decimals := 2
	if x > 0 && x < 0.1 {
		decimals = 1 - int(math.Floor(math.Log10(x)))
	}
	return s.words.Number(x, min(decimals, 6))
}

// plain writes a number as it was given.
func (s CutSheet) plain(x float64) string {
	return s.words.Localize(fmt.Sprint(math.Round(100*x) / 100))
}

// size writes a thickness with its number of the American gauge beside it.
func (s CutSheet) size(of cutting.Stock, beside string) string {
	area := s.plain(of.Area) + "\u00a0mm²"
	switch {
	case of.Gauge != "":
		return s.text("size-gauge", "gauge", of.Gauge, "area", area)
	case beside != "":
		return s.text("size", "area", area, "gauge", beside)
	}
	return area
}

// colour writes the letters of a colour and its name.
func (s CutSheet) colour(letters string) string {
	return letters + ", " + s.text("colour-"+strings.ToLower(letters))
}

func (s CutSheet) end(e cutting.End) string { return s.text("end-" + string(e)) }

// why says what decided how thick a wire of a group is.
func (s CutSheet) why(w cutting.Wire, g cutting.GroupSum) string {
	amps, guard := s.small(w.Amps), s.plain(w.Guard)
	switch w.Why {
	case cutting.ByFuse:
		return s.text("why-fuse", "n", len(g.Fuses), "guard", guard, "amps", amps, "fuses", s.fuses(g))
	case cutting.ByCurrent:
		return s.text("why-current", "amps", amps)
	case cutting.ByDrop:
		return s.text("why-drop", "amps", amps, "guard", guard, "allowed", s.small(g.Allowed), "needs", s.small(g.Needs))
	}
	if w.Guard == 0 {
		return s.text("why-strength-bare", "amps", amps, "least", s.least())
	}
	return s.text("why-strength", "amps", amps, "guard", guard, "least", s.least())
}

func (s CutSheet) least() string { return s.plain(s.Plan.Least) }

func (s CutSheet) fuses(g cutting.GroupSum) string { return strings.Join(g.Fuses, ", ") }

func (s CutSheet) groupOf(name string) cutting.GroupSum {
	i := slices.IndexFunc(s.List.Groups, func(g cutting.GroupSum) bool { return g.Name == name })
	return s.List.Groups[i]
}

// said is what a group or a state is called.
func (s CutSheet) said(name, text string, texts map[string]string) string {
	return cmp.Or(texts[s.words.Language()], text, name)
}

// where says where the current of a wire comes from.
func (s CutSheet) where(w cutting.Wire) string {
	g := s.groupOf(w.Group)
	if w.Told {
		return s.text("told", "origin", s.words.Text("origin."+strings.ReplaceAll(g.From, " ", "-")))
	}
	for _, state := range s.Plan.States {
		if state.Name == w.State {
			return s.text("state", "state", s.said(state.Name, state.Text, state.Texts))
		}
	}
	return ""
}

// Table is the list as a table, for CSV.
func (s CutSheet) Table() tell.Table {
	number := func(x float64, decimals int) tell.Entry {
		p := math.Pow10(decimals)
		return tell.Number(math.Round(x*p) / p)
	}
	words := func(text string) tell.Entry { return tell.Text(cmp.Or(text, "–")) }
	t := tell.Table{Name: "cutting"}
	for _, c := range [...][2]string{{"number"}, {"group"}, {"from"}, {"to"}, {"length", "m"}, {"area", "mm²"}, {"gauge", "AWG"}, {"colour"},
		{"from-end"}, {"to-end"}, {"from-label"}, {"to-label"}, {"carries", "A"}, {"current-from"}, {"guard", "A"}, {"loses", "V"}, {"why"}, {"evidence"}} {
		t.Columns = append(t.Columns, tell.Column{Head: s.text("column-" + c[0]), Unit: c[1]})
	}
	for _, w := range s.List.Wires {
		g := s.groupOf(w.Group)
		t.Rows = append(t.Rows, []tell.Entry{
			words(w.Name), words(s.said(g.Name, g.Text, g.Texts)), words(w.From), words(w.To), number(w.Cut, 3), number(w.Stock.Area, 2),
			words(cmp.Or(w.Stock.Gauge, w.Beside)), words(w.Colour), words(s.end(w.FromEnd)), words(s.end(w.ToEnd)),
			words(w.Name + " " + w.From), words(w.Name + " " + w.To),
			number(w.Amps, 4), words(s.where(w)), number(w.Guard, 3), number(w.Lost, 4), words(s.why(w, g)), words(w.Evidence)})
	}
	return t
}

// CSV is the list for a spreadsheet: with commas, or with semicolons and decimal
// commas.
func (s CutSheet) CSV(separator rune) []byte {
	if separator == ';' {
		return append([]byte("\ufeff"), plot.SemicolonCSV(s.Table())...)
	}
	return plot.TableCSV(s.Table())
}

// Text is what there is to buy and to heed, as plain lines.
func (s CutSheet) Text() string {
	var b strings.Builder
	line := func(words string) { fmt.Fprintln(&b, words) }
	line(s.Count())
	for _, o := range s.Spools() {
		line("  " + o.Size + ", " + o.Colour + ": " + o.Sum)
	}
	for _, f := range s.Fits() {
		line("  " + f)
	}
	for _, words := range s.Heeds() {
		line(words)
	}
	return b.String()
}

// Count says how many wires there are.
func (s CutSheet) Count() string {
	words := s.text("count", "n", len(s.List.Wires), "labels", s.List.Labels)
	if len(s.List.Left) > 0 {
		words += " " + s.text("left", "n", len(s.List.Left))
	}
	return words
}

// Spool is all wire of one thickness and colour.
type Spool struct {
	Size, Colour, Sum string
	Wires             []CutRow
}

// CutRow is one wire of the sheet.
type CutRow struct{ Number, From, FromEnd, To, ToEnd, Length, Amps, Why, Mark string }

// Spools gives the wires by what they are cut from.
func (s CutSheet) Spools() (all []Spool) {
	for _, o := range s.List.Orders {
		one := Spool{Size: s.size(o.Stock, o.Beside), Colour: s.colour(o.Colour),
			Sum: s.text("spool", "n", o.Count, "length", s.metres(o.Length), "buy", s.plain(o.Buy))}
		for _, w := range s.List.Wires {
			if w.Stock.Area != o.Area || w.Colour != o.Colour {
				continue
			}
			row := CutRow{w.Name, w.From, s.text("short-" + string(w.FromEnd)), w.To, s.text("short-" + string(w.ToEnd)), s.metres(w.Cut), s.small(w.Amps), s.text("by-" + string(w.Why)), ""}
			if w.Unguarded {
				row.Mark = s.text("unguarded-mark")
			}
			if isOpen(w) {
				row.Mark = strings.TrimPrefix(row.Mark+"; "+s.text("open-mark"), "; ")
			}
			one.Wires = append(one.Wires, row)
		}
		all = append(all, one)
	}
	return all
}

// Fits says what ends there are to buy.
func (s CutSheet) Fits() (all []string) {
	for _, f := range s.List.Fits {
		beside := ""
		if f.Gauge == "" {
			beside = cutting.Beside(f.Area)
		}
		all = append(all, s.text("fit", "n", f.Count, "end", s.end(f.End), "size", s.size(f.Stock, beside)))
	}
	return all
}

// Reason is why the wires of a group are as thick as they are.
type Reason struct{ Group, Wires, Most, Lost, Why string }

// Reasons gives one for each group, and for each reason in it.
func (s CutSheet) Reasons() (all []Reason) {
	for _, g := range s.List.Groups {
		by := map[cutting.Why][]cutting.Wire{}
		for _, w := range s.List.Wires {
			if w.Group == g.Name {
				by[w.Why] = append(by[w.Why], w)
			}
		}
		for _, why := range []cutting.Why{cutting.ByFuse, cutting.ByCurrent, cutting.ByDrop, cutting.ByStrength} {
			if len(by[why]) == 0 {
				continue
			}
			most := slices.MaxFunc(by[why], func(a, b cutting.Wire) int { return cmp.Compare(a.Amps, b.Amps) })
			all = append(all, Reason{s.said(g.Name, g.Text, g.Texts), fmt.Sprint(len(by[why])), s.text("amps", "amps", s.small(most.Amps), "from", s.where(most)),
				s.text("lost", "lost", s.small(g.Lost), "allowed", s.small(g.Allowed)), s.size(most.Stock, most.Beside) + ": " + s.why(most, g)})
		}
	}
	return all
}

// Stock says what the house lets each thickness carry, and where that is from.
func (s CutSheet) Stock() (all []string) {
	for _, one := range s.Plan.Stock {
		beside := ""
		if one.Gauge == "" {
			beside = cutting.Beside(one.Area)
		}
		all = append(all, s.text("stock", "size", s.size(one, beside), "amps", s.plain(one.Carries), "origin", s.words.Text("origin."+strings.ReplaceAll(one.From, " ", "-"))))
	}
	return all
}

// isOpen says whether a wire is an open question of its drawings.
func isOpen(w cutting.Wire) bool {
	return strings.HasPrefix(w.Evidence, string(reconcile.Question))
}

// Heeds says what has to be looked at before anything is cut.
func (s CutSheet) Heeds() (all []string) {
	var bare []string
	for _, g := range s.List.Groups {
		if g.Before {
			bare = append(bare, s.said(g.Name, g.Text, g.Texts))
		}
	}
	if len(bare) > 0 {
		all = append(all, s.text("unguarded", "groups", strings.Join(bare, "; ")))
	}
	unfound, open := 0, []string(nil)
	for _, w := range s.List.Wires {
		if !strings.HasPrefix(w.Evidence, string(reconcile.Found)) {
			unfound++
		}
		if isOpen(w) {
			open = append(open, w.Name)
		}
	}
	if unfound > 0 {
		all = append(all, s.text("unfound", "n", unfound))
	}
	if len(open) > 0 {
		all = append(all, s.text("open", "wires", strings.Join(open, ", ")))
	}
	if len(s.List.Crowded) > 0 {
		var terminals []string
		for _, c := range s.List.Crowded {
			terminals = append(terminals, fmt.Sprintf("%s (%d)", c.Terminal, len(c.Wires)))
		}
		all = append(all, s.text("crowded", "terminals", strings.Join(terminals, ", ")))
	}
	if len(s.List.Left) > 0 {
		var names []string
		for _, w := range s.List.Left {
			names = append(names, w.Name)
		}
		all = append(all, s.text("outside", "wires", strings.Join(names, ", ")))
	}
	return all
}

// cuttingList is the page of the wire to cut.
type cuttingList struct {
	CutSheet
	Cautions []template.HTML
	People   []string
	File     string
}

// cuttingList makes the page, where the house says what wire it cuts.
func (b *builder) cuttingList() (shell, bool) {
	if len(b.ToCut.List.Wires) == 0 {
		return shell{}, false
	}
	p := cuttingList{CutSheet: CutSheet{b.ToCut, b.words}, People: b.people(), File: "cutting.csv"}
	if !b.first {
		p.File = "cutting." + b.words.Language() + ".csv"
	}
	for _, h := range b.House.Hazards {
		if slices.Contains([]string{"rotating", "voltage", "battery", "overspeed", "insulation", "dust"}, h.Name) {
			p.Cautions = append(p.Cautions, page.InFull(h, b.words))
		}
	}
	b.add(path.Join(path.Dir(cuttingPath), p.File), p.CSV(','))
	from := b.from()
	if c, ok := b.formCard(); ok {
		from = provenance{Cards: []machine.Card{c}, Version: b.Version, Invented: c.Invented}
	}
	return shell{Title: b.title(b.words.Text("cutting.title")), From: from, Page: p}, true
}

// CuttingList leads to the list of wire to cut, "" where there is none.
func (s shell) CuttingList() string {
	if !s.edition.cuts {
		return ""
	}
	return s.To(cuttingPath)
}
