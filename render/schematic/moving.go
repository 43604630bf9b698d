package schematic

// Parts with a contact or a shaft. Contacts are drawn as they lie at rest.

func armatureThen(p *pen) {
	p.leads(13)
	p.ring(0, 0, 9)
	p.full(-13, -3, -9, -3, -9, 3, -13, 3)
	p.full(13, -3, 9, -3, 9, 3, 13, 3)
}

func armatureNow(p *pen) {
	p.leads(11)
	p.ring(0, 0, 11)
	machine(p, 0, 0, "M")
	direct(p, 0, 6)
}

// machine writes the letter of a machine, a little above the middle, whichever
// way the part is turned.
func machine(p *pen, x, y float64, letter string) {
	dx, dy := p.upright(0, -1.8)
	p.letter(x+dx, y+dy, letter)
}

// direct draws the sign of direct current below the middle.
func direct(p *pen, x, y float64) {
	flat := func(class string, x1, x2, y float64) {
		ax, ay := p.upright(x1, y)
		bx, by := p.upright(x2, y)
		p.path(class, p.polyline([]float64{ax, ay, bx, by}))
	}
	flat("thin", x-4, x+4, y)
	for _, from := range []float64{-4, -1, 2} {
		flat("thin", x+from, x+from+2, y+2)
	}
}

// generatorThen has its commutator at the left and its rings at the right, each
// with two brushes, and the shaft between.
func generatorThen(p *pen) {
	p.ring(-16, 0, 11)
	p.line(-40, -20, -16, -20, -16, -15)
	p.line(-40, 20, -16, 20, -16, 15)
	p.full(-19, -15, -13, -15, -13, -11, -19, -11)
	p.full(-19, 15, -13, 15, -13, 11, -19, 11)
	p.line(-5, -2, 5, -2)
	p.line(-5, 2, 5, 2)
	p.ring(16, 0, 11)
	p.ring(16, 0, 6)
	p.line(40, -20, 16, -20, 16, -15)
	p.full(13, -15, 19, -15, 19, -11, 13, -11)
	p.line(40, 20, 16, 20, 16, 10)
	p.full(13, 10, 19, 10, 19, 6, 13, 6)
}

func generatorNow(p *pen) {
	const r, x, y = 18, 9, 15.6
	p.ring(0, 0, r)
	p.line(-40, -20, -x, -20, -x, -y)
	p.line(-40, 20, -x, 20, -x, y)
	p.line(40, -20, x, -20, x, -y)
	p.line(40, 20, x, 20, x, y)
	machine(p, 0, -2, "G")
	direct(p, -7, 7)
	ax, ay := p.upright(3, 8)
	bx, by := p.upright(7, 8)
	cx, cy := p.upright(11, 8)
	p.arc(ax, ay, 2.4, 0, bx, by)
	p.arc(cx, cy, 2.4, 0, bx, by)
}

// relayThen is an electromagnet seen from its side, with its armature above.
func relayThen(p *pen) {
	p.leads(11)
	p.box(0, 0, 11, 5)
	for x := -8.0; x < 11; x += 5 {
		p.line(x-2, 5, x+2, -5)
	}
	p.heavy(-13, -10, 13, -10)
}

// relayNow is a rectangle too, but its leads come to the long sides.
func relayNow(p *pen) {
	p.leads(5)
	p.box(0, 0, 5, 11)
}

// springs are two contact springs, so far off the middle, each with its point.
// Where they are near, the points touch.
func springs(p *pen, off float64) {
	const point = 3.5
	p.line(-20, 0, -15, 0, -15, -off, 11, -off)
	p.line(20, 0, 15, 0, 15, off, -11, off)
	p.full(-3, -off, 3, -off, 0, -off+point)
	p.full(-3, off, 3, off, 0, off-point)
}

func makeNow(p *pen) {
	p.leads(9)
	p.line(9, 0, -8, -9)
}

func breakNow(p *pen) {
	p.leads(9)
	p.line(-9, 0, -9, -9)
	p.line(9, 0, -12, -7)
}

// button is what a finger pushes, handle what a hand throws.
func button(p *pen) {
	p.dashed(0, -4.5, 0, -12)
	p.line(-5, -9.5, -5, -12.5, 5, -12.5, 5, -9.5)
}

func handle(p *pen) {
	p.dashed(0, -4.5, 0, -12.5)
	p.line(-5, -12.5, 5, -12.5)
}

// keyThen is a spring with a button over an anvil.
func keyThen(p *pen) {
	p.leads(10)
	p.disc(-10, 0, 2)
	p.line(-10, 0, 12, -7)
	p.full(7, 0, 13, 0, 10, -3.5)
	p.line(7, -5.4, 7, -11)
	p.heavy(2, -12, 12, -12)
}

// breakKeyThen has its spring lie under the anvil, off which a finger pushes it.
func breakKeyThen(p *pen) {
	p.line(-20, 0, -10, 0)
	p.disc(-10, 0, 2)
	p.line(-10, 0, 12, 0)
	p.line(20, 0, 16, 0, 16, -5, 7, -5)
	p.full(7, -5, 13, -5, 10, -0.5)
	p.line(-1, 0, -1, -11)
	p.heavy(-6, -12, 4, -12)
}

func switchThen(p *pen) {
	p.leads(12)
	p.ring(-10, 0, 2)
	p.ring(10, 0, 2)
	p.heavy(-8.5, -1.5, 8, -10)
}

// centrifugalThen is the weight on its leaf spring, which swings out against
// the contact as the shaft turns.
func centrifugalThen(p *pen) {
	p.line(-20, 0, -12, 0)
	p.full(-14, -3, -11, -3, -11, 3, -14, 3)
	p.line(-12, 0, 12, 0)
	p.disc(1, 0, 3.8)
	p.line(20, 0, 17, 0, 17, -8, 6, -8)
	p.full(6, -8, 12, -8, 9, -4)
	p.ring(1, 12, 4)
	p.dashed(1, 8, 1, 4)
}

// centrifugalNow is a contact that works at a speed, n.
func centrifugalNow(p *pen) {
	makeNow(p)
	p.dashed(0, -4.5, 0, -9)
	p.box(0, -15.5, 8, 6.5)
	p.letter(0, -15.5, "n")
}
