package site

// moves gives a page what its motions need. On paper they stand still.
func (s *shell) moves() {
	s.Styles = append(s.Styles, "motion")
	if !s.Print {
		s.Scripts = append([]string{"films", "motion"}, s.Scripts...)
	}
}
