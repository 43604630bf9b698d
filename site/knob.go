package site

// turns gives a page what its knobs need. On the kiosk their keys come before
// those that lead from screen to screen.
func (s *shell) turns() {
	s.Styles = append(s.Styles, "knob")
	s.Scripts = append([]string{"knobs", "knob"}, s.Scripts...)
}
