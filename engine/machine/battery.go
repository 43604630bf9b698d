package machine

// Battery is the station battery.
type Battery struct {
	Voltage    float64 // V, with no current drawn
	Resistance float64 // ohm
}

// NewBattery takes the battery's constants, in SI units, from its card. They
// must have been validated.
func NewBattery(c BatteryCard) Battery {
	card := Card{Battery: &c}
	v := card.values()
	return Battery{v(&c.Voltage), v(&c.Resistance)}
}

// Terminal gives the voltage in V at a current in A.
func (b *Battery) Terminal(current float64) float64 {
	return b.Voltage - b.Resistance*current
}
