package motion

import (
	"encoding/json"
	"math"
	"sort"
	"strconv"
	"strings"

	"slipring/render/markup"
	"slipring/render/scene"
)

// film is all that is needed to draw a motion at any instant. Times are in s,
// channels in whole tenths of a px or a degree, one number a frame.
type film struct {
	From     float64 // instant of the first frame, on the clock of the signals
	Span     float64 // time from the first frame to the last
	Slow     int     // how many times slower than the machine it is played
	Still    float64 // instant of the drawing that does not move
	Frames   int
	Channels map[string][]int
	Switches map[string]contact
	Parts    []part
	Say      string // the switch whose state is read out with the position, if any
	Words    controlWords

	// Ends says that the last frame does not lead on to the first, as where
	// something happens once. The page then holds the end for a moment and says
	// that it begins again.
	Ends bool
}

// contact is something with two states: which it has first, and when it
// changes.
type contact struct {
	first float64 // 0 or 1
	at    []float64
}

// part says how one part of the drawing moves, by a channel or a switch.
//
//	turn    transform: by degrees about X, Y
//	shift   transform: along X, Y for each px of the channel
//	orbit   transform: of what is drawn at 0, 0, to the place that AtX, AtY
//	        from X, Y turns to, where AtY grows by the channel Out
//	point   x2, y2: to that same place
//	bend    d: a path whose numbers go with the channel
//	thick   stroke-width: Base and Factor times the channel
//	slide   stroke-dashoffset: Factor times the channel
//	trace   stroke-dasharray: so many px of the line are drawn
//	fade    opacity: Base and Factor times the channel, within 0 to 1
//	show    display: while the switch is at When
//	over    display: while the channel is at Base or above
//
// With Past, of the channels By and Out (but no angle) only what is above 0
// counts.
type part struct {
	Part   string  `json:"part"`
	Does   string  `json:"does"`
	By     string  `json:"by"`
	Out    string  `json:"out,omitempty"`
	Past   bool    `json:"past,omitempty"`
	X      float64 `json:"x,omitempty"`
	Y      float64 `json:"y,omitempty"`
	AtX    float64 `json:"atx,omitempty"`
	AtY    float64 `json:"aty,omitempty"`
	Base   float64 `json:"base,omitempty"`
	Factor float64 `json:"factor,omitempty"`
	When   int     `json:"when,omitempty"`
	Path   []any   `json:"d,omitempty"` // text, then by turns: number, what to add to it a px of the channel, text
}

// controlWords are the words on and at the controls.
type controlWords struct {
	Play     string    `json:"play"`
	Pause    string    `json:"pause"`
	Position string    `json:"position"`
	States   [2]string `json:"states"`          // of the switch Say, at 0 and at 1
	Again    string    `json:"again,omitempty"` // said at the end of a motion that ends
}

func newFilm(c course, w words) *film {
	return &film{
		From: micro(c.from), Span: micro(c.span), Slow: slowdown(c), Frames: c.frames,
		Channels: map[string][]int{}, Switches: map[string]contact{}, Words: w.controls(),
	}
}

// slowdown chooses how many times slower a motion is played, a round number
// that lets one turn take about 6 s.
func slowdown(c course) int {
	turn := c.span
	if c.turns >= 1 {
		turn /= c.turns
	}
	best, off := 1, math.Inf(1)
	for _, n := range []int{1, 2, 5, 10, 20, 25, 40, 50, 60, 80, 100, 120, 150, 200, 250, 300, 400, 500, 1000, 2000, 5000, 10000} {
		if d := math.Abs(math.Log(float64(n) * turn / 6)); d < off {
			best, off = n, d
		}
	}
	return best
}

// pace says how much slower than the machine a film is.
func (f *film) pace(w words) string {
	if f.Slow == 1 {
		return w.Text("motion.as-fast")
	}
	return w.Text("motion.slow", "times", w.number(float64(f.Slow), 0))
}

// channel keeps values, one a frame, each times a factor.
func (f *film) channel(name string, values []float64, factor float64) {
	out := make([]int, len(values))
	for i, v := range values {
		out[i] = int(math.Round(10 * factor * v))
	}
	f.Channels[name] = out
}

// follow keeps a contact's state and when it changes.
func (f *film) follow(name string, closed []stretch) {
	s := contact{}
	for _, c := range closed {
		if c.from > f.From {
			s.at = append(s.at, c.from)
		} else {
			s.first = 1
		}
		if micro(c.to-f.From) < f.Span {
			s.at = append(s.at, c.to)
		}
	}
	f.Switches[name] = s
}

// The channels of how much of a trace is drawn, in length and from left to
// right.
const (
	traced   = "drawn"
	progress = "along"
)

// joined is how far apart the ends of a channel may be, in tenths of a px or a
// degree, for the eye to see no jump.
const joined = 10

// joins says whether the last frame leads on to the first: all channels are
// back where they began, angles after whole turns, and all switches as they
// were.
func (f *film) joins() bool {
	for name, values := range f.Channels {
		if name == traced || name == progress {
			continue // a trace is wiped away, and begins anew
		}
		off := values[len(values)-1] - values[0]
		if name == "angle" || name == "winding" {
			off -= 3600 * int(math.Round(float64(off)/3600))
		}
		if name == scene.ByBattery { // after whole dashes all is as before
			off -= 10 * scene.Dash * int(math.Round(float64(off)/(10*scene.Dash)))
		}
		if off < -joined || off > joined {
			return false
		}
	}
	for _, s := range f.Switches {
		if len(s.at)%2 != 0 {
			return false
		}
	}
	return true
}

func (f *film) add(p part) { f.Parts = append(f.Parts, p) }

// encode writes the film as JSON. A channel is its first value and then the
// differences from frame to frame; a switch its first state and then the
// instants at which it changes, counted from the first frame.
func (f *film) encode() (string, error) {
	channels := map[string][]int{}
	for name, values := range f.Channels {
		d := make([]int, len(values))
		for i, v := range values {
			d[i] = v
			if i > 0 {
				d[i] -= values[i-1]
			}
		}
		channels[name] = d
	}
	switches := map[string][]float64{}
	for name, s := range f.Switches {
		d := []float64{s.first}
		for _, t := range s.at {
			d = append(d, micro(t-f.From))
		}
		switches[name] = d
	}
	out, err := json.Marshal(struct {
		From     float64              `json:"from"`
		Span     float64              `json:"span"`
		Slow     int                  `json:"slow"`
		Still    float64              `json:"still"`
		Frames   int                  `json:"frames"`
		Channels map[string][]int     `json:"channels"`
		Switches map[string][]float64 `json:"switches"`
		Parts    []part               `json:"parts"`
		Say      string               `json:"say,omitempty"`
		Words    controlWords         `json:"words"`
		Ends     bool                 `json:"ends,omitempty"`
	}{f.From, f.Span, f.Slow, micro(f.Still - f.From), f.Frames, channels, switches, f.Parts, f.Say, f.Words, f.Ends})
	return string(out), err
}

// micro rounds a time in s to a tenth of a microsecond.
func micro(t float64) float64 { return math.Round(t*1e7) / 1e7 }

// value gives a channel at an instant in s: in px or degrees, on a straight
// line between frames.
func (f *film) value(name string, t float64) float64 {
	values := f.Channels[name]
	x := (t - f.From) / f.Span * float64(len(values)-1)
	x = min(max(x, 0), float64(len(values)-1))
	i := min(int(x), len(values)-2)
	a, b := float64(values[i]), float64(values[i+1])
	return (a + (b-a)*(x-float64(i))) / 10
}

// state gives a switch at an instant: 0 or 1.
func (f *film) state(name string, t float64) int {
	s := f.Switches[name]
	n := sort.Search(len(s.at), func(i int) bool { return micro(s.at[i]-f.From) > micro(t-f.From) })
	return (int(s.first) + n) % 2
}

// attribute is one thing that a part has at an instant.
type attribute struct{ name, value string }

// at gives the attributes of every part at an instant. The page's script does
// the same; a test holds the two together.
func (f *film) at(t float64) map[string][]attribute {
	out := map[string][]attribute{}
	for _, p := range f.Parts {
		out[p.Part] = append(out[p.Part], f.attributes(p, t)...)
	}
	return out
}

func (f *film) attributes(p part, t float64) []attribute {
	switch p.Does {
	case "turn":
		return []attribute{{"transform", "rotate(" + markup.Tenths(f.value(p.By, t)) + " " + markup.Tenths(p.X) + " " + markup.Tenths(p.Y) + ")"}}
	case "shift":
		v := f.amount(p, p.By, t)
		return []attribute{{"transform", "translate(" + markup.Tenths(v*p.X) + " " + markup.Tenths(v*p.Y) + ")"}}
	case "orbit":
		x, y := f.place(p, t)
		return []attribute{{"transform", "translate(" + markup.Tenths(x) + " " + markup.Tenths(y) + ")"}}
	case "point":
		x, y := f.place(p, t)
		return []attribute{{"x2", markup.Tenths(x)}, {"y2", markup.Tenths(y)}}
	case "thick":
		return []attribute{{"stroke-width", markup.Tenths(p.Base + p.Factor*f.value(p.By, t))}}
	case "slide":
		return []attribute{{"stroke-dashoffset", markup.Tenths(p.Factor * f.value(p.By, t))}}
	case "trace":
		return []attribute{{"stroke-dasharray", markup.Tenths(f.value(p.By, t)) + " 9999"}}
	case "fade":
		return []attribute{{"opacity", hundredths(min(max(p.Base+p.Factor*f.value(p.By, t), 0), 1))}}
	case "show":
		if f.state(p.By, t) != p.When {
			return []attribute{{"display", "none"}}
		}
	case "over":
		if f.value(p.By, t) < p.Base {
			return []attribute{{"display", "none"}}
		}
	case "bend":
		return []attribute{{"d", bent(p.Path, f.amount(p, p.By, t))}}
	}
	return nil
}

func (f *film) place(p part, t float64) (x, y float64) {
	out := 0.0
	if p.Out != "" {
		out = f.amount(p, p.Out, t)
	}
	sin, cos := math.Sincos(f.value(p.By, t) * math.Pi / 180)
	y0 := p.AtY + out
	return p.X + p.AtX*cos - y0*sin, p.Y + p.AtX*sin + y0*cos
}

// amount gives a channel as a part takes it.
func (f *film) amount(p part, channel string, t float64) float64 {
	v := f.value(channel, t)
	if p.Past {
		return max(v, 0)
	}
	return v
}

func bent(path []any, v float64) string {
	var b strings.Builder
	for i := 0; i < len(path); i++ {
		if s, ok := path[i].(string); ok {
			b.WriteString(s)
			continue
		}
		base, factor := path[i].(float64), path[i+1].(float64)
		b.WriteString(markup.Tenths(base + factor*v))
		i++
	}
	return b.String()
}

// hundredths writes a part of a whole, as the script does.
func hundredths(x float64) string {
	return strconv.FormatFloat(math.Floor(100*x+0.5)/100, 'f', -1, 64)
}
