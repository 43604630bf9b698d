package calibrate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"slipring/engine/fit"
	"slipring/engine/reading"
)

// gross is how many of its uncertainties a reading is off that would lead a
// search by least squares astray (common practice, no source).
const gross = 10

const grossRule = "more than 10 from where Huber's robust fit has the others"

// settle fits the constants, and leaves out what stands out. Readings that are
// grossly off are set aside by a robust fit, which is where least squares begin;
// of the others, the worst is left out by Baarda's rule until none stands out.
// Then those that were set aside are tried once more.
func (p *problem) settle(out *Outcome) (*fit.Result, error) {
	all := len(p.readings)
	p.start = p.seeds()
	aside := p.scan()
	statement := p.statement()
	statement.Steps.Settled = 0.1 // least squares go on from there
	if x, far, err := statement.Robust(); err == nil {
		p.start = x
		for i := len(far) - 1; i >= 0; i-- {
			if math.Abs(far[i]) > gross {
				aside = append(aside, p.take(i))
			}
		}
	} else if reason(err) != fit.NotSettled {
		return nil, err
	}
	for {
		r, err := p.leave(out, all, len(aside))
		if err != nil {
			return nil, err
		}
		again, err := p.again(r, &aside)
		if err != nil {
			return nil, err
		}
		if again {
			continue
		}
		out.Left = append(out.Left, aside...)
		if out.Strained = out.Strained || len(out.Left) > most(all); out.Strained {
			out.Notes = append(out.Notes, fmt.Sprintf("more than a quarter of the %d readings stand out from the rest: check their units, loads, settings and uncertainties, or fit more constants", all))
		}
		return r, nil
	}
}

// most is how many of all readings may be left out.
func most(all int) int { return max(1, all/4) }

// take takes a reading out of those that count.
func (p *problem) take(i int) Left {
	one := Left{p.readings[i], fit.Outlier{Reading: -1, Name: NameOf(p.readings[i]), Critical: gross, Beyond: true, Rule: grossRule}}
	p.readings = slices.Delete(slices.Clone(p.readings), i, i+1)
	return one
}

// leave fits by least squares, and leaves out the worst reading until none
// stands out. So many others are left out already.
func (p *problem) leave(out *Outcome, all, others int) (*fit.Result, error) {
	for {
		r, err := p.statement().Solve()
		if err != nil {
			return nil, err
		}
		for i, c := range r.Constants {
			p.start[i] = c.Value
		}
		o := r.Outlier()
		if !o.Beyond {
			return r, nil
		}
		if len(out.Left)+others >= most(all) {
			out.Strained = true
			return r, nil
		}
		out.Left = append(out.Left, Left{p.readings[o.Reading], o})
		p.readings = slices.Delete(slices.Clone(p.readings), o.Reading, o.Reading+1)
	}
}

// again says how far those that were set aside are from the fit, and puts the
// nearest back that is not grossly off there.
func (p *problem) again(r *fit.Result, aside *[]Left) (bool, error) {
	if len(*aside) == 0 {
		return false, nil
	}
	var readings []reading.Reading
	for _, l := range *aside {
		readings = append(readings, l.Reading)
	}
	x := make([]float64, len(r.Constants))
	for i, c := range r.Constants {
		x[i] = c.Value
	}
	predicted, err := p.predict(x, readings)
	if err != nil {
		return false, err
	}
	stuck := unlike(readings, predicted)
	nearest := -1
	for i := range *aside {
		one := &(*aside)[i]
		one.Far = math.Abs(predicted[i]-one.Value) / math.Hypot(one.U, one.Class)
		if one.Far <= gross && !slices.Contains(stuck, i) && (nearest < 0 || one.Far < (*aside)[nearest].Far) {
			nearest = i
		}
	}
	if nearest < 0 {
		return false, nil
	}
	p.readings = append(slices.Clone(p.readings), readings[nearest])
	*aside = slices.Delete(*aside, nearest, nearest+1)
	return true, nil
}

// reason gives why there is no fit; -1 where that is no matter of the fit.
func reason(err error) fit.Reason {
	var f fit.Error
	if errors.As(err, &f) {
		return f.Reason
	}
	return -1
}
