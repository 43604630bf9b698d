package reconcile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"slipring/engine/circuit"
)

// Amended gives the wires of the board as they are believed now, in place of old
// ones, and says in words what becomes of each that is not merely confirmed.
//
//   - A wire that is found or likely is put in, and one that is not there is taken
//     out, as is one that is likelier elsewhere.
//   - An open question changes nothing: what stands there stays, marked as open.
//     Where no wires stand yet, the likeliest are put in.
//   - A wire whose evidence is in somebody's own words stays with them, and so does
//     one of which no drawing and no reading says anything.
//
// Numbers, notes and the order of old wires stay.
func (b *Board) Amended(old []circuit.Wire) (wires []circuit.Wire, done []string) {
	a := amending{board: b, judged: b.Judged(), of: map[pair]int{}, put: map[int]bool{}, numbers: map[string]bool{}, fresh: len(old) == 0}
	for i, j := range a.judged {
		a.of[pairOf(j.From, j.To)] = i
	}
	for _, one := range old {
		a.numbers[one.Name] = true
		if inOwnWords(one.Evidence) {
			a.own = append(a.own, one)
		}
	}
	for _, one := range old {
		a.keep(one)
	}
	for i, j := range a.judged {
		if j.Believed && (a.fresh || j.settledThere()) && !a.put[i] && a.ownInPlaceOf(j) == nil {
			a.add(i, circuit.Wire{})
		}
	}
	return a.wires, a.done
}

// amending is wires being put together.
type amending struct {
	board   *Board
	judged  []Judged
	of      map[pair]int
	put     map[int]bool    // of those judged
	numbers map[string]bool // of wires, that are taken
	own     []circuit.Wire  // in somebody's own words
	fresh   bool            // nothing stood there
	wires   []circuit.Wire
	done    []string
}

func (a *amending) say(form string, of ...any) { a.done = append(a.done, fmt.Sprintf(form, of...)) }

// inOwnWords says whether evidence is not what Amended writes.
func inOwnWords(evidence string) bool {
	if evidence == "" {
		return false
	}
	return !slices.ContainsFunc([]Verdict{Found, Likely, Question}, func(v Verdict) bool {
		return strings.HasPrefix(evidence, string(v)+": ")
	})
}

// settledThere says whether a wire counts as there.
func (j Judged) settledThere() bool { return j.Verdict == Found || j.Verdict == Likely }

// ownInPlaceOf finds the wire in somebody's own words that is the same, or of the
// same number.
func (a *amending) ownInPlaceOf(j Judged) *circuit.Wire {
	for i, one := range a.own {
		if pairOf(one.From, one.To) == pairOf(j.From, j.To) || one.Name == j.Wire {
			return &a.own[i]
		}
	}
	return nil
}

// settledElse finds what counts as there in place of a wire; -1 for nothing.
func (a *amending) settledElse(j Judged) int {
	return slices.IndexFunc(a.judged, func(o Judged) bool {
		return o.slot == j.slot && o.Believed && o.settledThere() && pairOf(o.From, o.To) != pairOf(j.From, j.To)
	})
}

// keep says what becomes of a wire that stands there.
func (a *amending) keep(one circuit.Wire) {
	i, judged := a.of[pairOf(one.From, one.To)]
	if inOwnWords(one.Evidence) {
		a.keepOwn(one, i, judged)
		return
	}
	called := fmt.Sprintf("%s, %s to %s", one.Name, one.From, one.To)
	if !judged {
		a.keepUndrawn(one, called)
		return
	}
	j := a.judged[i]
	switch other := a.settledElse(j); {
	case j.Believed && j.Verdict != NotThere || other < 0 && j.Verdict == Question:
		one.Evidence = j.Evidence
		a.put[i] = true
		a.wires = append(a.wires, one)
	case other >= 0 && !a.put[other]:
		o := a.judged[other]
		a.say("%s: moved to %s and %s, where it is %s; %s", called, o.From, o.To, o.Verdict, o.Because)
		a.add(other, one)
	default:
		a.say("%s: taken out; %s", called, j.Because)
	}
}

// keepUndrawn says what becomes of a wire that stands there and that no drawing
// has.
func (a *amending) keepUndrawn(one circuit.Wire, called string) {
	other := slices.IndexFunc(a.judged, func(j Judged) bool { return j.Wire == one.Name && j.Believed && j.settledThere() })
	switch {
	case other >= 0 && !a.put[other]:
		j := a.judged[other]
		a.say("%s: moved to %s and %s, where it is %s; %s", called, j.From, j.To, j.Verdict, j.Because)
		a.add(other, one)
	case one.Evidence == "":
		a.say("%s: no drawing has it; it stays without evidence", called)
		a.wires = append(a.wires, one)
	default:
		a.say("%s: taken out; nothing speaks for it any more", called)
	}
}

// keepOwn keeps a wire with its own words, and says where these differ from what
// drawings and readings say.
func (a *amending) keepOwn(one circuit.Wire, i int, judged bool) {
	a.wires = append(a.wires, one)
	if judged {
		a.put[i] = true
	}
	called := fmt.Sprintf("%s, %s to %s, stays, since it is %q", one.Name, one.From, one.To, one.Evidence)
	if judged && a.judged[i].Verdict == NotThere {
		a.say("%s; yet it is not there: %s", called, a.judged[i].Because)
		return
	}
	for _, j := range a.judged {
		if j.Wire == one.Name && j.Believed && j.settledThere() && pairOf(j.From, j.To) != pairOf(one.From, one.To) {
			a.say("%s; yet %s to %s is %s: %s", called, j.From, j.To, j.Verdict, j.Because)
		}
	}
}

// add puts in a wire that stands nowhere yet, in place of another or of none.
func (a *amending) add(i int, before circuit.Wire) {
	j := a.judged[i]
	one := circuit.Wire{Name: before.Name, From: j.From, To: j.To, Evidence: j.Evidence, Note: before.Note}
	if one.Name == "" {
		if one.Name = j.Wire; one.Name == "" || a.numbers[one.Name] {
			one.Name = a.free()
		}
		if one.Note == "" {
			one.Note = a.board.noteOf(j)
		}
		if !a.fresh {
			a.say("%s, %s to %s: put in; %s", one.Name, one.From, one.To, j.Because)
		}
	}
	a.numbers[one.Name], a.put[i] = true, true
	a.wires = append(a.wires, one)
}

// free gives a number that no wire has, on the drawings either.
func (a *amending) free() string {
	last := 0
	count := func(name string) {
		if n, err := strconv.Atoi(strings.TrimPrefix(name, "W")); err == nil {
			last = max(last, n)
		}
	}
	for name := range a.numbers {
		count(name)
	}
	for _, j := range a.judged {
		count(j.Wire)
	}
	return fmt.Sprintf("W%d", last+1)
}

// noteOf gives what the newest sheet that has a wire says of it.
func (b *Board) noteOf(j Judged) (note string) {
	for _, s := range b.sheets {
		for _, d := range s.Wires {
			if d.Note != "" && pairOf(d.From, d.To) == pairOf(j.From, j.To) {
				note = d.Note
			}
		}
	}
	return note
}
