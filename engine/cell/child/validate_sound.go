package child

import (
	"fmt"
	"reflect"

	"slipring/engine/tell"
)

// sounds holds the sounds of a result against the rules of the sheet.
func (k knobs) sounds(s *tell.Sheet, r tell.Result) error {
	total := 0.0
	for _, h := range r.Sounds {
		all := append([]tell.Heard{h.Heard}, h.Frames...)
		for i, one := range all {
			s := s
			if i > 0 {
				s = &tell.Sheet{} // where the name is still free
			}
			if len(one.Partials) > 0 {
				s.Tone(h.Name, one.Seconds, one.Partials...)
			} else {
				s.Sound(h.Name, one.Seconds, one.Signal)
			}
			told := s.Result().Sounds
			if !reflect.DeepEqual(told[len(told)-1].Heard, one) {
				return fmt.Errorf("sound %q is both a tone and a signal", h.Name)
			}
			if i > 0 || len(h.Frames) == 0 {
				total += one.Seconds
			}
		}
		if err := k.fit(h.Name, h.Framed, len(h.Frames)); err != nil {
			return err
		}
		if len(h.Frames) > 0 && !reflect.DeepEqual(h.Frames[h.Start(r.Knobs)], h.Heard) {
			return fmt.Errorf("sound %q is another at the start of its knobs", h.Name)
		}
	}
	if total > tell.MostSounding*(1+1e-9) {
		return fmt.Errorf("the sounds last %g s", total)
	}
	return nil
}
