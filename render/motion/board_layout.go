package motion

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"slipring/engine/tell"
)

// Sizes of a board's drawing in px. All of its text has one size. Frames that
// stand beside each other are no wider than mostAcross together, so that the
// text is large enough where they are: on the kiosk they are shown about as wide.
const (
	boardText  = 25.0
	boardLine  = 27.0
	mostAcross = 980.0
	abreast    = 4 // frames beside each other at most
	margin     = 14.0
	gapAcross  = 12.0
	gapDown    = 10.0
	toWords    = 8.0 // from a part to its words beside it
	leastHigh  = 300.0
	mostHigh   = 1600.0

	neverParted = 3 // parts of a row that stay beside each other
)

// boardFrame is one frame of a board: its parts, each with its place.
type boardFrame struct {
	number     int
	wide, high float64
	items      []boardItem
}

// boardItem is a part, or several that have the same words, at a place.
type boardItem struct {
	tell.BoardPart
	text       string // as it is written in the page's language
	lines      []string
	letters    *lettering
	x, y       float64 // of the upper left corner
	wide, high float64
}

// symbol is how large a part is drawn, and where its words stand.
type symbol struct {
	wide, high float64
	words      int // none, beside or below
}

const (
	wordless = iota
	beside
	below
)

// symbolOf gives how a kind of part is drawn; whatever has no drawing of its own is
// a covered box, as most of what is on such boards was.
func symbolOf(p tell.BoardPart) symbol {
	switch {
	case p.Full > 0:
		return symbol{150, 100, below}
	case p.Kind == "lamp":
		return symbol{48, 52, beside}
	case p.Kind == "fuse":
		return symbol{56, 44, beside}
	case p.Kind == "key":
		return symbol{64, 50, below}
	case p.Kind == "bell":
		return symbol{64, 60, wordless}
	case p.Kind == "resistor":
		return symbol{84, 30, wordless}
	}
	return symbol{36, 28, wordless}
}

// lettering measures text, each line once.
type lettering struct {
	face   *sfnt.Font
	buffer sfnt.Buffer
	known  map[string]float64
}

func newLettering() (*lettering, error) {
	face, err := sfnt.Parse(goregular.TTF)
	return &lettering{face: face, known: map[string]float64{}}, err
}

// width gives the width of a line of a board's text in px. What the typeface has
// not counts as wide as the text is high.
func (l *lettering) width(line string) float64 {
	if w, ok := l.known[line]; ok {
		return w
	}
	sum := 0.0
	for _, r := range line {
		i, err := l.face.GlyphIndex(&l.buffer, r)
		if err == nil && i > 0 {
			if w, err := l.face.GlyphAdvance(&l.buffer, i, fixed.I(int(boardText)), font.HintingNone); err == nil {
				sum += float64(w) / 64
				continue
			}
		}
		sum += boardText
	}
	l.known[line] = sum
	return sum
}

// wrap breaks words into lines of a width at most, or into one word a line where
// one is wider.
func (l *lettering) wrap(text string, wide float64) (lines []string) {
	for _, word := range wordsOf(text) {
		if n := len(lines) - 1; n >= 0 && l.width(lines[n]+" "+word) <= wide {
			lines[n] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return lines
}

// wordsOf parts words at their blanks. A no-break space keeps words together, and
// signs stay with what is before them.
func wordsOf(text string) (words []string) {
	for _, word := range strings.Split(text, " ") {
		if n := len(words) - 1; n >= 0 && !strings.ContainsFunc(word, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) {
			words[n] += "\u00a0" + word
		} else {
			words = append(words, word)
		}
	}
	return words
}

func (l *lettering) widest(lines []string) float64 {
	w := 0.0
	for _, line := range lines {
		w = max(w, l.width(line))
	}
	return w
}

// least is the width in px that a part needs at the least.
func (it boardItem) least() float64 {
	s := symbolOf(it.BoardPart)
	if it.text == "" {
		return s.wide
	}
	w := it.letters.widest(wordsOf(it.text))
	if s.words == beside {
		return s.wide + toWords + w
	}
	return max(s.wide, w)
}

// within gives a part with its words broken to keep within a width. Words below a
// part keep to its own width as far as they can.
func (it boardItem) within(wide float64) boardItem {
	s := symbolOf(it.BoardPart)
	it.wide, it.high, it.lines = s.wide, s.high, nil
	switch {
	case it.text == "":
	case s.words == beside:
		it.lines = it.letters.wrap(it.text, wide-s.wide-toWords)
		it.wide, it.high = s.wide+toWords+it.letters.widest(it.lines), max(s.high, boardLine*float64(len(it.lines)))
	default:
		it.lines = it.letters.wrap(it.text, min(wide, 1.3*s.wide))
		it.wide, it.high = max(s.wide, it.letters.widest(it.lines)), s.high+boardLine*float64(len(it.lines))+2
	}
	return it
}

// layOut gives the frames of a board with all parts in their places, in the language
// of a page.
func layOut(parts []tell.BoardPart, language string) ([]boardFrame, error) {
	l, err := newLettering()
	if err != nil {
		return nil, err
	}
	rows := map[[2]int][]boardItem{}
	var places [][2]int
	for i, p := range parts {
		at := [2]int{p.Frame, p.Row}
		if !slices.Contains(places, at) {
			places = append(places, at)
		}
		text := said(p, language)
		// What has the same words as something behind it in its row shares them.
		for _, o := range parts[i+1:] {
			if o.Frame == p.Frame && o.Row == p.Row && said(o, language) == text && symbolOf(o).words != wordless && o.Unit == p.Unit {
				text = ""
			}
		}
		if symbolOf(p).words == wordless {
			text = ""
		} else if p.Unit != "" && text != "" {
			text += ",\u00a0" + p.Unit
		}
		rows[at] = append(rows[at], boardItem{BoardPart: p, text: text, letters: l})
	}
	slices.SortFunc(places, func(a, b [2]int) int { return cmp.Or(a[0]-b[0], a[1]-b[1]) })
	byFrame := map[int][][]boardItem{}
	var numbers []int
	for _, at := range places {
		if !slices.Contains(numbers, at[0]) {
			numbers = append(numbers, at[0])
		}
		all := byFrame[at[0]]
		if n := len(all); n > 0 && plain(all[n-1]) && plain(rows[at]) {
			all[n-1] = append(all[n-1], rows[at]...) // small boxes of several rows stand together
		} else {
			byFrame[at[0]] = append(all, rows[at])
		}
	}
	var out []boardFrame
	for len(numbers) > 0 {
		n := min(abreast, len(numbers))
		if many := len(numbers); many > abreast {
			n = (many + 1) / ((many + abreast - 1) / abreast)
		}
		out = append(out, shelve(numbers[:n], byFrame)...)
		numbers = numbers[n:]
	}
	return out, nil
}

// said is what is written on a part, in a language.
func said(p tell.BoardPart, language string) string { return cmp.Or(p.Texts[language], p.Text) }

// shelve lays out frames that stand beside each other: as low as they can be
// without being too wide together.
func shelve(numbers []int, rows map[int][][]boardItem) []boardFrame {
	shapes := make([][]boardFrame, len(numbers))
	for i, n := range numbers {
		shapes[i] = shapesOf(n, rows[n])
	}
	for high := leastHigh; ; high += 10 {
		all := make([]boardFrame, len(numbers))
		wide, tallest := 0.0, 0.0
		for i, of := range shapes {
			all[i] = of[len(of)-1]
			for _, f := range of {
				if f.high <= high {
					all[i] = f
					break
				}
			}
			wide += all[i].wide
			tallest = max(tallest, all[i].high)
		}
		if wide <= mostAcross || high >= mostHigh {
			for i := range all {
				all[i].stretch(tallest)
			}
			return all
		}
	}
}

// plain says whether a row holds nothing but small boxes without words.
func plain(row []boardItem) bool {
	return !slices.ContainsFunc(row, func(it boardItem) bool { return symbolOf(it.BoardPart) != symbolOf(tell.BoardPart{}) })
}

// shapesOf lays out one frame in every shape that it can have, each wider and lower
// than the one before.
func shapesOf(number int, rows [][]boardItem) (out []boardFrame) {
	least := 0.0
	for _, row := range rows {
		sum := -gapAcross
		for _, it := range row {
			least = max(least, it.least())
			sum += it.least() + gapAcross
		}
		if len(row) <= neverParted {
			least = max(least, sum)
		}
	}
	for w := least; len(out) == 0 || w <= mostAcross; w += 6 {
		if f := place(number, rows, w); len(out) == 0 || f.high < out[len(out)-1].high {
			out = append(out, f)
		}
	}
	return out
}

// place puts the rows of a frame below each other.
func place(number int, rows [][]boardItem, inner float64) boardFrame {
	f := boardFrame{number: number, wide: inner + 2*margin}
	y := margin
	for _, row := range rows {
		items, high := bestRow(row, inner)
		for _, it := range items {
			it.x, it.y = it.x+margin, it.y+y
			it.Row = row[0].Row // of those that stand together
			f.items = append(f.items, it)
		}
		y += high + gapDown
	}
	f.high = y - gapDown + margin
	return f
}

// bestRow puts the parts of a row beside each other in so many columns that it is
// lowest. A few parts always stand beside each other.
func bestRow(row []boardItem, inner float64) (best []boardItem, lowest float64) {
	lowest = math.Inf(1)
	for n := len(row); n >= 1; n-- {
		if items, high, fits := inColumns(row, n, inner); fits && high < lowest {
			best, lowest = items, high
		}
		if len(row) <= neverParted {
			break
		}
	}
	if best == nil { // too narrow for a word
		best, lowest, _ = inColumns(row, 1, inner)
	}
	return best, lowest
}

// inColumns lays out a row in columns. In one line, each part takes what it needs,
// and words share what is left.
func inColumns(row []boardItem, n int, inner float64) (items []boardItem, high float64, fits bool) {
	each := (inner - gapAcross*float64(n-1)) / float64(n)
	fits = true
	line := n == len(row)
	need, worded := gapAcross*float64(n-1), 0
	for _, it := range row {
		need += it.least()
		if it.text != "" {
			worded++
		}
		fits = fits && (line || it.least() <= each)
	}
	fits = fits && (!line || need <= inner+0.01)
	more := 0.0 // for the words of each
	if line && worded > 0 {
		more = max(0, inner-need) / float64(worded)
	}
	for _, it := range row {
		if line {
			items = append(items, it.within(it.least()+more))
		} else {
			items = append(items, it.within(each))
		}
	}
	sum := gapAcross * float64(n-1)
	for _, it := range items {
		sum += it.wide
	}
	spread := 0.0
	if line && !slices.ContainsFunc(items, func(it boardItem) bool { return symbolOf(it.BoardPart).words == beside }) {
		spread = max(0, inner-sum) / float64(n) // what is left stands between them
	}
	for from := 0; from < len(items); from += n {
		group := items[from:min(from+n, len(items))]
		x, tall := spread/2, 0.0
		for i := range group {
			it := &group[i]
			it.x, it.y = x, high
			if line {
				x += it.wide + gapAcross + spread
			} else {
				x += each + gapAcross
			}
			tall = max(tall, it.high)
		}
		level(group, tall)
		high += tall + gapDown
	}
	return items, high - gapDown, fits
}

// level puts what stands beside each other into the middle of its height, but for
// what has its words below.
func level(group []boardItem, high float64) {
	for i := range group {
		if it := &group[i]; symbolOf(it.BoardPart).words != below {
			it.y += math.Floor((high - it.high) / 2)
		}
	}
}

// stretch makes a frame as high as those beside it, and puts what is left between
// its rows.
func (f *boardFrame) stretch(high float64) {
	rows := map[int]bool{}
	for _, it := range f.items {
		rows[it.Row] = true
	}
	rest := high - f.high
	f.high = high
	if rest <= 0 {
		return
	}
	each := min(rest/float64(len(rows)+1), 40)
	row, down := 0, (rest-each*float64(len(rows)-1))/2
	for i := range f.items {
		if i > 0 && f.items[i].Row != row {
			down += each
		}
		row = f.items[i].Row
		f.items[i].y += math.Floor(down)
	}
}
