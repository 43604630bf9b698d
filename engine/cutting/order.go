package cutting

import (
	"cmp"
	"slices"
)

// Order is wire of one thickness and colour to buy.
type Order struct {
	Stock
	Beside string
	Colour string
	Count  int     // wires
	Length float64 // m, of all of them as cut
	Buy    float64 // m, with waste, rounded up
}

// Fitting is what ends of one kind on wire of one thickness take.
type Fitting struct {
	Stock
	End   End
	Count int
}

// Crowd is a terminal with more than two wires: under one screw or on one tag,
// two are as many as hold (common practice, no source).
type Crowd struct {
	Terminal string
	Wires    []string
}

const mostWires = 2

// total sums up what there is to buy, and finds crowded terminals.
func (l *List) total(p Plan) {
	at := map[string][]string{}
	var terminals []string
	for _, w := range l.Wires {
		i := slices.IndexFunc(l.Orders, func(o Order) bool { return o.Area == w.Stock.Area && o.Colour == w.Colour })
		if i < 0 {
			i = len(l.Orders)
			l.Orders = append(l.Orders, Order{Stock: w.Stock, Beside: w.Beside, Colour: w.Colour})
		}
		l.Orders[i].Count++
		l.Orders[i].Length = exact(l.Orders[i].Length + w.Cut)
		for _, e := range []struct {
			at  string
			end End
		}{{w.From, w.FromEnd}, {w.To, w.ToEnd}} {
			if at[e.at] == nil {
				terminals = append(terminals, e.at)
			}
			at[e.at] = append(at[e.at], w.Name)
			k := slices.IndexFunc(l.Fits, func(f Fitting) bool { return f.Area == w.Stock.Area && f.End == e.end })
			if k < 0 {
				k = len(l.Fits)
				l.Fits = append(l.Fits, Fitting{Stock: w.Stock, End: e.end})
			}
			l.Fits[k].Count++
		}
	}
	for i, o := range l.Orders {
		l.Orders[i].Buy = upTo(p.Lot, o.Length*(1+p.Waste))
	}
	slices.SortStableFunc(l.Fits, func(a, b Fitting) int {
		return cmp.Or(cmp.Compare(slices.Index(Ends(), a.End), slices.Index(Ends(), b.End)), cmp.Compare(a.Area, b.Area))
	})
	for _, t := range terminals {
		if len(at[t]) > mostWires {
			l.Crowded = append(l.Crowded, Crowd{t, at[t]})
		}
	}
	slices.SortStableFunc(l.Crowded, func(a, b Crowd) int { return cmp.Compare(len(b.Wires), len(a.Wires)) })
}
