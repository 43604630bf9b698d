package cell

func (s *source) openOrder(c checked) {}
