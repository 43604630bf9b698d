package machine

// stuck says what a fault does to a contact.
type stuck int

const (
	works stuck = iota
	stuckOpen
	stuckClosed
)

// contact is a contact that vibrates: whether its leaf touches, and whether it
// conducts.
type contact struct {
	touching bool
	stuck    stuck
}

func (c *contact) closed() bool { return c.touching && c.stuck == works || c.stuck == stuckClosed }

func step(on bool) float64 {
	if on {
		return 1
	}
	return 0
}
