// Package chart draws finders as charts for the wall: boxes with questions,
// branches with answers, and boxes with causes at their ends, over as many
// sheets as it takes.
//
//	sheets, err := chart.Draw(finder, chart.Settings{...})
//
// A sheet is drawn for the room that A4 and Letter leave between their margins
// when they lie across, so that one drawing fits both; on A3 it is about 1.45
// times as large.
package chart

import (
	"math"

	"slipring/engine/tell"
)

// Sizes of a sheet in pt: 259 mm, which Letter leaves across between margins of
// 10 mm, and 188 mm, which A4 does upright, but for rounding.
const (
	Width  = 734.
	Height = 532.
)

// Sizes of type in pt, from the largest, which is as far as 1.5 m to be read on
// A3 (AS 1319: 5 mm of a capital for each metre), to the smallest that a sheet
// may have (American Printing House for the Blind).
var sizes = [...]float64{21, 19, 17, 15, 13.5, smallest}

const (
	smallest   = 12
	mostSheets = 4 // on which type is made as large as it can be
)

// Settings are what a chart needs besides its finder.
type Settings struct {
	ID     string // of the drawings, on their page
	Title  string
	Told   func(words string) string // what the page says for words that a cell told
	Number func(n int) string        // "Question 3"
	Share  func(chance float64) string
	GoOn   func(sheet, question int) string                // "Go on at question 7, sheet 3"; question is 0 where causes stand there
	OnPage func(question int) string                       // "Question 12 stands on the lesson's page"
	More   func(causes int) string                         // "3 more causes are named on the lesson's page"
	Of     func(sheet, of int) string                      // "Sheet 2 of 3"
	From   func(sheet, question int, answer string) string // "From sheet 1, question 4: yes"
	Stop   string                                          // what everybody does who finds a cause with a stop sign
	Hazard func(name string) (sign, class, line string)    // the sign of a hazard as SVG, and its words
	Says   func(sheet, of int) (label string)              // of a drawing, for those who listen
}

// Sheet is one sheet of a chart.
type Sheet struct {
	SVG  string
	Size float64 // pt, of the words of questions and causes
}

// Draw draws a finder in type as large as four sheets allow, or else in the
// smallest; what six sheets of that cannot hold it leaves to the lesson's page.
func Draw(f tell.Finder, s Settings) ([]Sheet, error) {
	letters, err := newLetters()
	if err != nil {
		return nil, err
	}
	var best []*sheet
	for _, size := range sizes {
		if len(best) > 6*mostSheets && size > smallest {
			continue // type half as large takes about a quarter of the sheets
		}
		for columns := 2; columns <= mostColumns(size); columns++ {
			l := layout{letters: letters, set: s, size: size, columns: columns, numbers: f.Root.Numbers()}
			got := l.pack(l.trees(&f.Root))
			if over := tooTall(got); best == nil || over < tooTall(best) || over == tooTall(best) && len(got) < len(best) {
				best = got
			}
		}
		if tooTall(best) == 0 && len(best) <= mostSheets {
			break
		}
	}
	if len(best) > mostHung {
		best = layout{letters: letters, set: s, size: smallest, numbers: f.Root.Numbers()}.shorten(&f.Root)
	}
	var out []Sheet
	for i, one := range best {
		out = append(out, Sheet{one.draw(i+1, len(best)), one.size})
	}
	return out, nil
}

// mostColumns is how many boxes of at least 11 letters' height in width fit
// beside each other.
func mostColumns(size float64) int { return max(2, int(math.Floor(Width/(11.5*size)))) }

// tooTall counts the sheets on which something finds no room.
func tooTall(sheets []*sheet) (n int) {
	for _, s := range sheets {
		if s.tall() > Height {
			n++
		}
	}
	return n
}
