package motion

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// words are the labels and sentences of one language. Sentences are formats;
// their numbers come as text.
type words struct {
	controls controlWords
	decimal  string
	space    string // between a number and per cent

	turn, turns string // ms; how many, ms each
	never       string
	always      string

	slow    string // times
	asFast  string
	enlarge string // times, what
	arc     string

	inTime string // the slider of what is no turn

	balance   balanceWords
	board     boardWords
	bell      bellWords
	fuse      fuseWords
	governor  governorWords
	regulator regulatorWords
	generator generatorWords
	toneWheel toneWheelWords
	whole     wholeWords
}

type wholeWords struct {
	over   string // turns
	dashes string
}

type balanceWords struct {
	title          string
	rest, spinning string
	over           string // g
	grows          string // g, g, s
	alike          string
	each           string // how many
}

type bellWords struct {
	title               string
	gong, hammer, coils string
	over                string
	swings              string // mA, mA, ms, strokes
	drawn               string
	turn                string // one turn of two strokes
	strokes             string // how many, ms
}

type fuseWords struct {
	title              string
	current, heat, end string
	mark               string // A
	holds, melted      string
	over               string // s, A, ms
	warms              string // per cent
	goes               string // s
	stays, drawn       string
}

type governorWords struct {
	title                                         string
	shaft, gravity, weight, leaf, contact, travel string
	over                                          string // turns
	swing                                         string // degrees furthest out, degrees furthest in
	rests                                         string
	noGravity                                     string
	held, free, means                             string // what a closed and an open contact do to the motor
	turns, speeds                                 string // the needle's unit; lowest, highest
	noBell, oneBell, manyBells                    string // how many
	closes                                        string // times, per cent
	after, before                                 string // degrees past the lowest point, degrees before it
	lowest                                        string
}

type regulatorWords struct {
	title                                          string
	coil, plunger, spring, contact, pull, resistor string
	over                                           string // ms
	moves                                          string // lowest, highest, in mm
	closes                                         string // times, per cent
	arrow                                          string
	enlarged                                       string
}

type generatorWords struct {
	title                           string
	commutator, rings, north, south string
	oneTurn, manyTurns              string // how many
	over                            string // turns
	swings                          string // V, V
	fieldAt                         string // A, A
	signs                           string
	apart                           string
}

type toneWheelWords struct {
	title                      string
	wheel, tooth, coil, magnet string
	over                       string // teeth, turns
	tone                       string // Hz
	path                       string
	sum                        string // teeth, Hz
}

// languages are those that drawings can be labelled in.
var languages = [...]struct {
	tag string
	say func() words
}{{"en", english}, {"fr", french}}

func known() []string {
	var tags []string
	for _, l := range languages {
		tags = append(tags, l.tag)
	}
	return tags
}

func wordsIn(language string) (words, bool) {
	for _, l := range languages {
		if l.tag == language {
			return l.say(), true
		}
	}
	return words{}, false
}

func english() words {
	return words{
		controls: controlWords{
			Play: "Play", Pause: "Pause", Position: "Position in the turn",
			States: [2]string{"contact open", "contact closed"}, Again: "Again from the start",
		},
		decimal: ".", space: " ",
		turn: "1 turn of %s ms", turns: "%s turns of %s ms each",
		never: "The contact stays open.", always: "The contact stays closed.",
		slow:    "Shown %s times slower than the machine.",
		asFast:  "Shown as fast as the machine.",
		enlarge: "%s is drawn %s times too large.",
		arc:     "The thick arc shows where in the turn the contact is closed.",
		inTime:  "Position in time",
		board:   englishBoard(),
		balance: balanceWords{
			title: "A weight at rest, against its own pull when it spins",
			rest:  "at rest", spinning: "at full speed",
			over:  "On the left pan lies the weight at rest, %s g.",
			grows: "On the right pan lies as much as it pulls outward: from %s g to %s g over %s s.",
			alike: "Each piece on the right weighs as much as the one on the left. The pull is computed.",
			each:  "Each piece on the right weighs as much as %s on the left. The pull is computed.",
		},
		bell: bellWords{
			title: "A bell with two gongs", gong: "gong", hammer: "hammer", coils: "coils",
			over:   "A hammer stands between two gongs. Coils throw it to one side while the current flows one way, and to the other while it flows back.",
			swings: "The current goes from %s mA to %s mA, here over %s ms, and turns round %s times.",
			drawn:  "The current is computed; how the hammer follows it is only drawn.",
			turn:   "one turn, two strokes", strokes: "%s strokes in %s ms",
		},
		fuse: fuseWords{
			title: "A fuse that warms", current: "current", heat: "heat of the fuse", end: "here it melts",
			mark: "above %s A it melts in the end", holds: "the fuse holds", melted: "the fuse has melted",
			over:  "A fuse wire carries the motor’s current, here over %s s; the most is %s A, after %s ms.",
			warms: "It reaches %s of the heat that melts it.", goes: "It melts after %s s.", stays: "It does not melt.",
			drawn: "Current and heat are computed; the glow is only drawn.",
		},
		governor: governorWords{
			title: "The governor, seen from the end of the shaft",
			shaft: "shaft", gravity: "gravity", noGravity: "no gravity", weight: "weight", leaf: "leaf spring", contact: "contact",
			travel: "The weight’s travel",
			over:   "A weight on a leaf spring turns with the shaft, here over %s.",
			swing:  "It is furthest out %s, and furthest in %s.",
			closes: "The contact closes %s and is closed for %s of the time.",
			after:  "%s° past the lowest point", before: "%s° before the lowest point", lowest: "at the lowest point",
			held: "motor held back", free: "motor runs free", means: "While the contact is closed, the motor is held back.",
			turns: "turns a second", speeds: "The shaft turns between %s and %s times a second.",
			noBell: "no bell rings", oneBell: "1 bell rings", manyBells: "%s bells ring",
		},
		regulator: regulatorWords{
			title: "The voltage regulator, cut open",
			coil:  "coil", plunger: "plunger", spring: "spring", contact: "contact", pull: "pull", resistor: "field resistor",
			over:     "A coil on the output pulls an iron plunger up, here over %s ms.",
			moves:    "The plunger moves between %s mm and %s mm above the contact.",
			closes:   "The contact under it closes %s and is closed for %s of the time; then it shorts the field resistor.",
			enlarged: "The plunger’s travel is drawn much too large.",
			arrow:    "The arrow is as long as the square of the coil’s current.",
		},
		generator: generatorWords{
			title:      "The generator, seen from the end of the shaft",
			commutator: "commutator", rings: "slip rings", oneTurn: "one turn, one wave", manyTurns: "%s turns",
			north: "N", south: "S",
			over:    "A winding turns between two poles, here over %s.",
			swings:  "The output at the slip rings swings between %s V and %s V.",
			fieldAt: "The field current stays between %s A and %s A.",
			apart:   "The slip rings really stand behind the commutator.",
			signs:   "A dot: current towards you; a cross: away from you.",
		},
		toneWheel: toneWheelWords{
			title: "A tone wheel and its coil",
			wheel: "wheel", tooth: "tooth", coil: "coil", magnet: "magnet",
			over: "A wheel with %s teeth turns past a magnet with a coil, here over %s.",
			tone: "Each tooth makes one cycle of tone, %s Hz in all.",
			sum:  "%s teeth: %s Hz",
			path: "The line through the magnet only shows how near a tooth is.",
		},
		whole: wholeWords{
			over:   "The whole set at work, here over %s of its shaft.",
			dashes: "Dashes in the wires show which way the current flows, not how fast.",
		},
	}
}

func french() words {
	return words{
		controls: controlWords{
			Play: "Lecture", Pause: "Pause", Position: "Position dans le tour",
			States: [2]string{"contact ouvert", "contact fermé"}, Again: "On reprend au début",
		},
		decimal: ",", space: "\u202f",
		turn: "1 tour de %s ms", turns: "%s tours de %s ms chacun",
		never: "Le contact reste ouvert.", always: "Le contact reste fermé.",
		slow:    "Mouvement montré %s fois plus lent que la machine.",
		asFast:  "Mouvement montré à la vitesse de la machine.",
		enlarge: "%s est dessinée %s fois trop grande.",
		arc:     "L’arc épais montre où, dans le tour, le contact est fermé.",
		inTime:  "Position dans le temps",
		board:   frenchBoard(),
		balance: balanceWords{
			title: "Le même poids, au repos et quand il tourne",
			rest:  "au repos", spinning: "en rotation",
			over:  "Sur le plateau de gauche, le poids au repos, %s g.",
			grows: "Sur celui de droite, autant de poids qu’il en faut pour tirer comme lui vers l’extérieur\u00a0: de %s g à %s g en %s s.",
			alike: "Chaque pièce de droite pèse autant que celle de gauche. La force est calculée.",
			each:  "Chaque pièce de droite pèse autant que %s pièces de gauche. La force est calculée.",
		},
		bell: bellWords{
			title: "Une cloche à deux timbres", gong: "timbre", hammer: "marteau", coils: "bobines",
			over:   "Un marteau se tient entre deux timbres. Des bobines le lancent d’un côté quand le courant passe dans un sens, de l’autre quand il revient.",
			swings: "Le courant va de %s mA à %s mA, ici pendant %s ms, et s’inverse %s fois.",
			drawn:  "Le courant est calculé\u202f; la façon dont le marteau le suit est seulement dessinée.",
			turn:   "un tour, deux coups", strokes: "%s coups en %s ms",
		},
		fuse: fuseWords{
			title: "Un fusible qui s’échauffe", current: "courant", heat: "chaleur du fusible", end: "ici, il fond",
			mark: "au-delà de %s A, il finit par fondre", holds: "le fusible tient", melted: "le fusible a fondu",
			over:  "Un fil fusible porte le courant du moteur, ici pendant %s s\u202f; au plus %s A, au bout de %s ms.",
			warms: "Il atteint %s de la chaleur qui le fait fondre.", goes: "Il fond au bout de %s s.", stays: "Il ne fond pas.",
			drawn: "Le courant et la chaleur sont calculés\u202f; la lueur est seulement dessinée.",
		},
		governor: governorWords{
			title: "Le régulateur centrifuge, vu du bout de l’arbre",
			shaft: "arbre", gravity: "pesanteur", noGravity: "sans pesanteur", weight: "poids", leaf: "lame ressort", contact: "contact",
			travel: "La course du poids",
			over:   "Un poids sur une lame ressort tourne avec l’arbre, ici pendant %s.",
			swing:  "Il est le plus à l’extérieur %s, et le plus à l’intérieur %s.",
			closes: "Le contact se ferme %s et reste fermé pendant %s du temps.",
			after:  "%s° après le point le plus bas", before: "%s° avant le point le plus bas", lowest: "au point le plus bas",
			held: "moteur retenu", free: "moteur libre", means: "Tant que le contact est fermé, le moteur est retenu.",
			turns: "tours par seconde", speeds: "L’arbre fait entre %s et %s tours par seconde.",
			noBell: "aucune cloche", oneBell: "1 cloche sonne", manyBells: "%s cloches sonnent",
		},
		regulator: regulatorWords{
			title: "Le régulateur de tension, en coupe",
			coil:  "bobine", plunger: "noyau", spring: "ressort", contact: "contact", pull: "attraction", resistor: "résistance",
			over:     "Une bobine branchée sur la sortie attire un noyau de fer vers le haut, ici pendant %s ms.",
			moves:    "Le noyau se déplace entre %s mm et %s mm au-dessus du contact.",
			closes:   "Le contact placé dessous se ferme %s et reste fermé pendant %s du temps\u202f; il court-circuite alors la résistance d’excitation.",
			enlarged: "La course du noyau est dessinée bien trop grande.",
			arrow:    "La longueur de la flèche suit le carré du courant de la bobine.",
		},
		generator: generatorWords{
			title:      "La génératrice, vue du bout de l’arbre",
			commutator: "collecteur", rings: "bagues", oneTurn: "un tour, une onde", manyTurns: "%s tours",
			north: "N", south: "S",
			over:    "Un enroulement tourne entre deux pôles, ici pendant %s.",
			swings:  "La tension aux bagues varie entre %s V et %s V.",
			fieldAt: "Le courant d’excitation reste entre %s A et %s A.",
			apart:   "Les bagues se trouvent en réalité derrière le collecteur.",
			signs:   "Un point\u00a0: courant vers vous\u202f; une croix\u00a0: il s’éloigne.",
		},
		toneWheel: toneWheelWords{
			title: "Une roue phonique et sa bobine",
			wheel: "roue", tooth: "dent", coil: "bobine", magnet: "aimant",
			over: "Une roue à %s dents tourne devant un aimant et sa bobine, ici pendant %s.",
			tone: "Chaque dent fait un cycle du son, %s Hz en tout.",
			sum:  "%s dents\u00a0: %s Hz",
			path: "La ligne dans l’aimant montre seulement si une dent est proche.",
		},
		whole: wholeWords{
			over:   "Tout le groupe en marche, ici pendant %s de son arbre.",
			dashes: "Les tirets sur les fils montrent dans quel sens passe le courant, non sa vitesse.",
		},
	}
}

// number writes a number with a count of decimals.
func (w words) number(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if digits, negative := strings.CutPrefix(s, "-"); negative {
		s = digits
		if strings.Trim(digits, "0.") != "" {
			s = "\u2212" + digits
		}
	}
	return strings.Replace(s, ".", w.decimal, 1)
}

// digits writes a number with a count of significant digits.
func (w words) digits(x float64, n int) string {
	if x == 0 {
		return "0"
	}
	return w.number(x, max(0, n-1-int(math.Floor(math.Log10(math.Abs(x))))))
}

// plain writes a number with three significant digits at most.
func (w words) plain(x float64) string {
	s := w.digits(x, 3)
	if strings.Contains(s, w.decimal) {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), w.decimal)
	}
	return s
}

// times writes a factor rounded to two significant digits.
func (w words) times(x float64) string {
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return w.digits(math.Round(x/unit)*unit, 2)
}

func (w words) percent(part float64) string { return w.number(100*part, 0) + w.space + "%" }

func (w words) count(n int) string {
	if w.decimal == "," {
		return fmt.Sprintf("%d fois", n)
	}
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// rounds says how many turns a motion shows, and how long each takes.
func (w words) rounds(c course) string {
	each := c.span
	if c.turns > 0 {
		each /= c.turns
	}
	ms := w.digits(1000*each, 3)
	switch n := math.Round(c.turns); {
	case c.whole() && n == 1:
		return fmt.Sprintf(w.turn, ms)
	case c.whole():
		return fmt.Sprintf(w.turns, w.number(n, 0), ms)
	}
	return fmt.Sprintf(w.turns, w.digits(c.turns, 2), ms)
}

// contact says how often a contact closes, and for how much of the time.
func (w words) contact(c course, name, format string) string {
	closed := c.closures(name)
	share := c.closedShare(name)
	switch {
	case len(closed) == 0:
		return w.never
	case share > 1-1e-9:
		return w.always
	}
	return fmt.Sprintf(format, w.count(closings(c, closed)), w.percent(share))
}

// closings counts the closures of a motion that repeats: one that is cut by
// its ends counts once.
func closings(c course, closed []stretch) int {
	n := len(closed)
	if n > 1 && closed[0].from == c.from && closed[n-1].to == c.from+c.span {
		n--
	}
	return n
}

func sentences(s ...string) string { return strings.Join(s, " ") }
