package site

// asks gives a page what its questions need.
func (s *shell) asks() {
	s.Styles = append(s.Styles, "question")
	s.Scripts = append(s.Scripts, "answers", "question")
}
