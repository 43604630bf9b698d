package bench

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"reflect"

	"slipring/engine/machine"
)

// savedRun is a run as it is kept between processes: what it shows, and how to
// begin it again for its traces. Whoever recalls it has the card, setup and
// load that it was made from, since they are in its key.
type savedRun struct {
	Run      Run      // what it does not show is 0
	Lacks    []string // the figures that are not numbers, by their names
	Eventful bool
	From     machine.Snapshot
}

// recipe is what a run is made from.
type recipe struct {
	card machine.Card
	how  machine.Setup
	load machine.Load
}

// Recall gives the shelf runs that an earlier one kept. A run that cannot be
// read, or that belongs to another machine, is as good as none.
func (s *Shelf) Recall(runs map[string]json.RawMessage) { s.recalled = runs }

// Kept gives the runs that were made since New, and not recalled, under names
// that tell the machine, what was changed about it, and the scenario. They are
// good for as long as this program stays as it is.
func (s *Shelf) Kept() map[string]json.RawMessage { return s.fresh }

// digest names a card by its whole content.
func digest(c machine.Card) string {
	content, err := json.Marshal(c)
	if err != nil { // a card holds nothing but words and finite numbers
		panic(misuse(err))
	}
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:12])
}

func (s *Shelf) recall(key string, of recipe) *Run {
	var k savedRun
	if json.Unmarshal(s.recalled[key], &k) != nil {
		return nil
	}
	from, err := machine.Resume(of.card, of.how, of.load, k.From)
	if err != nil {
		return nil
	}
	r := k.Run
	for _, name := range k.Lacks {
		f := reflect.ValueOf(&r).Elem().FieldByName(name)
		if !f.IsValid() || f.Kind() != reflect.Float64 {
			return nil
		}
		f.SetFloat(math.NaN())
	}
	r.from, r.eventful = from, k.Eventful
	return &r
}

func (s *Shelf) keep(key string, r *Run) {
	from, err := r.from.Snapshot()
	if err != nil {
		return
	}
	k := savedRun{Run: *r, Eventful: r.eventful, From: from}
	figures := reflect.ValueOf(&k.Run).Elem()
	for i := range figures.NumField() {
		if f := figures.Field(i); f.Kind() == reflect.Float64 && math.IsNaN(f.Float()) {
			k.Lacks = append(k.Lacks, figures.Type().Field(i).Name)
			f.SetFloat(0)
		}
	}
	content, err := json.Marshal(k)
	if err != nil { // an infinite figure is not kept, and stands out where it is told
		return
	}
	s.fresh[key] = content
}
