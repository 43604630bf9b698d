package schematic

// Parts with neither contact nor shaft. Each draws the leads to its ends too.

// batteryThen is three cells, each a long thin line for the positive plate and
// a short heavy one for the negative (Fig. 67).
func batteryThen(p *pen) {
	p.line(-20, 0, -11, 0)
	for x := -11.0; x < 10; x += 8 {
		p.line(x, -10, x, 10)
		p.heavy(x+4, -5, x+4, 5)
	}
	p.line(9, 0, 20, 0)
	plus(p)
}

func batteryNow(p *pen) {
	p.line(-20, 0, -8, 0)
	for _, x := range []float64{-8, 4} {
		p.line(x, -10, x, 10)
		p.line(x+4, -5, x+4, 5)
	}
	p.dashed(-4, 0, 4, 0)
	p.line(8, 0, 20, 0)
	plus(p)
}

// plus marks the positive end, which neither style needs and both allow.
func plus(p *pen) {
	p.line(-19, -6.5, -13, -6.5)
	p.line(-16, -9.5, -16, -3.5)
}

func resistorThen(p *pen) {
	xy := []float64{-20, 0, -12, 0}
	for x := -12.0; x < 12; x += 8 {
		xy = append(xy, x, -6, x+4, -6, x+4, 6, x+8, 6)
	}
	p.line(append(xy, 12, 0, 20, 0)...)
}

func resistorNow(p *pen) {
	p.leads(13)
	p.box(0, 0, 13, 4.5)
}

// adjust is the arrow across a part that can be set.
func adjust(p *pen) {
	p.line(-10, 11, 10, -11)
	p.full(11.5, -12.5, 9.5, -6.5, 5.5, -10)
}

// coilThen is one of the parallel zigzag lines of Fig. 114: a winding.
func coilThen(p *pen) {
	p.leads(14)
	p.zigzag(-14, 14, 0, 6.5, 7)
}

func coilNow(p *pen) {
	p.leads(14)
	p.arcs(-14, 0, 3.5, 4)
}

func fieldThen(p *pen) {
	p.leads(14)
	p.curls(-14, 14, 11, 5)
}

func fuseThen(p *pen) {
	p.leads(12)
	p.ring(-10, 0, 2)
	p.ring(10, 0, 2)
	p.arc(-8, 0, 4.6, 0, 0, 0)
	p.arc(8, 0, 4.6, 0, 0, 0)
}

func fuseNow(p *pen) {
	p.line(-20, 0, 20, 0)
	p.box(0, 0, 13, 4.5)
}

func lampThen(p *pen) {
	p.leads(10)
	p.ring(0, 0, 10)
	p.line(-10, 0, -2.5, 0)
	p.arc(-2.5, 0, 3.6, 1, 2.5, 0)
	p.line(2.5, 0, 10, 0)
}

func lampNow(p *pen) {
	p.leads(10)
	p.ring(0, 0, 10)
	const d = 7.07
	p.line(-d, -d, d, d)
	p.line(-d, d, d, -d)
}

// bellThen has two gongs, and a hammer between them on the armature of a coil.
func bellThen(p *pen) {
	p.leads(12)
	p.zigzag(-12, 12, 0, 3.5, 7)
	p.ring(-8.5, -11, 5.5)
	p.ring(8.5, -11, 5.5)
	p.line(0, -4, 0, -11)
	p.disc(0, -11, 2)
}

func bellNow(p *pen) {
	p.line(-20, 0, -4, 0, -4, -3)
	p.line(20, 0, 4, 0, 4, -3)
	p.arc(-11, -3, 11, 0, 11, -3)
	p.line(-11, -3, 11, -3)
}

func meterThen(letter string) func(p *pen) {
	return func(p *pen) {
		p.leads(12)
		p.ring(0, 0, 12)
		p.ring(0, 0, 10)
		p.letter(0, 0, letter)
	}
}

func meterNow(letter string) func(p *pen) {
	return func(p *pen) {
		p.leads(10)
		p.ring(0, 0, 10)
		p.letter(0, 0, letter)
	}
}

func condenserThen(p *pen) {
	p.leads(9)
	p.line(-9, -8, -9, 8)
	p.line(9, -4, 9, 4)
	for _, y := range []float64{-8, 0, 8} {
		p.line(-9, y, 5, y)
	}
	for _, y := range []float64{-4, 4} {
		p.line(9, y, -5, y)
	}
}

func condenserNow(p *pen) {
	p.leads(2.5)
	p.line(-2.5, -9, -2.5, 9)
	p.line(2.5, -9, 2.5, 9)
}

func terminalThen(p *pen) {
	p.circle("open", 0, 0, 4.5)
	p.circle("open", 0, 0, 2)
}

func terminalNow(p *pen) { p.circle("open", 0, 0, 3) }

func earth(p *pen, lines int) {
	p.line(0, 0, 0, 10)
	for i := range lines {
		half := 10 * (1 - float64(i)/float64(lines))
		y := 10 + float64(i)*10/float64(lines)
		p.line(-half, y, half, y)
	}
}

func frame(p *pen, strokes int) {
	p.line(0, 0, 0, 12)
	p.line(-10, 12, 10, 12)
	for i := range strokes {
		x := -10 + 20*float64(i)/float64(strokes-1)
		p.line(x, 12, x-4, 18)
	}
}
