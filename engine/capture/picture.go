package capture

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // the forms in which screens are saved and photographed
	_ "image/png"
	"io"
	"math"
	"slices"
	"strings"

	"slipring/engine/diag"
)

// mostPixels is how large a picture may be: 50 million pixels, of which a
// decoded PNG with 16 bits takes 400 megabytes.
const mostPixels = 50_000_000

// Screen says what a picture shows.
type Screen struct {
	Corners          []Point // of the graticule, clockwise from the top left; looked for when there are none
	TimePerDivision  float64 // s; 0 when it is not known
	VoltsPerDivision float64 // 0 when it is not known
	Columns, Rows    int     // divisions of the graticule; 0 means 10 and 8
	OwnColumns       int     // of the instrument's own screen within the graticule; 0 when not known, and taken as 500
	Traces           []Trace // looked for when there are none
	Zeros            []Zero  // where 0 V lies; without them nothing that counts from 0 V is told
	Declared         bool    // in a lesson, rather than in flags, which hints then say
}

// Trace is a channel's colour on a screen.
type Trace struct {
	Name   string
	Colour color.RGBA
}

// Zero is where 0 V of a trace lies on a screen.
type Zero struct {
	Trace     string  // its name; "" for all that no other Zero names
	Divisions float64 // above the middle line
	Read      float64 // how finely, in divisions; 0 for a tenth
}

// IsPicture says whether a file that begins so is a picture that ReadPicture
// reads.
func IsPicture(begin []byte) bool {
	return len(begin) >= 8 && (string(begin[:4]) == "\x89PNG" || string(begin[:3]) == "\xff\xd8\xff")
}

// picture is a picture while it is read.
type picture struct {
	Screen
	file     string
	photo    photo
	lens     lens
	lattice  lattice
	width    float64 // of the graticule in the picture, in pixels
	height   float64
	slanted  bool
	messages []diag.Message
}

func (p *picture) say(level diag.Level, text, hint string) {
	p.messages = append(p.messages, diag.Message{File: p.file, Level: level, Rule: "capture", Text: text, Hint: hint})
}

// ReadPicture reads the traces off a picture of a screen, PNG or JPEG: saved by
// the instrument, or photographed. Its size is looked at before it is decoded.
// Nothing of the file but the traces is kept. With an error the capture is nil.
func ReadPicture(file string, in io.ReadSeeker, s Screen) (*Capture, []diag.Message) {
	if s.Columns == 0 {
		s.Columns = 10
	}
	if s.Rows == 0 {
		s.Rows = 8
	}
	p := &picture{Screen: s, file: file}
	c := p.read(in)
	if diag.HasError(p.messages) {
		return nil, p.messages
	}
	return c, p.messages
}

func (p *picture) read(in io.ReadSeeker) *Capture {
	config, _, err := image.DecodeConfig(in)
	if err != nil {
		p.say(diag.Error, "this is no PNG or JPEG that can be read: "+plainError(err), "save the picture again as PNG or JPEG")
		return nil
	}
	if n := int64(config.Width) * int64(config.Height); n > mostPixels {
		p.say(diag.Error, fmt.Sprintf("the picture has %d megapixels, and may have %d", n/1_000_000, mostPixels/1_000_000), "make it smaller; 2000 pixels across the screen are enough")
		return nil
	}
	if config.Width < 200 || config.Height < 150 {
		p.say(diag.Error, fmt.Sprintf("the picture has only %d by %d pixels", config.Width, config.Height), "take one of 640 pixels across the screen or more")
		return nil
	}
	if _, err = in.Seek(0, io.SeekStart); err == nil {
		var img image.Image
		if img, _, err = image.Decode(in); err == nil {
			p.photo = newPhoto(img)
		}
	}
	if err != nil {
		p.say(diag.Error, "the picture cannot be read to its end: "+plainError(err), "copy it again from the instrument or the camera")
		return nil
	}
	if !p.frame() || !p.colours() || !p.zeros() {
		return nil
	}
	return p.traces()
}

func plainError(err error) string {
	if errors.Is(err, image.ErrFormat) {
		return "its first bytes are of another kind"
	}
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return "it ends too early"
	}
	return err.Error()
}

// frame finds how the graticule lies in the picture.
func (p *picture) frame() bool {
	how := "give the corners of the graticule, clockwise from the top left: " + p.write("corners", "x,y x,y x,y x,y")
	columns, rows := float64(p.Columns), float64(p.Rows)
	size := p.photo.Bounds().Size()
	if len(p.Corners) == 0 {
		corners, ok := p.photo.findFrame(columns, rows)
		if !ok {
			corners, ok = p.photo.findSlanted(p.Columns, p.Rows)
		}
		if !ok {
			p.say(diag.Error, fmt.Sprintf("no graticule of %d by %d divisions was found in the picture", p.Columns, p.Rows), how)
			return false
		}
		p.Corners = corners
	}
	for i, c := range p.Corners {
		if !(c.X >= -float64(size.X)/2 && c.X <= 1.5*float64(size.X) && c.Y >= -float64(size.Y)/2 && c.Y <= 1.5*float64(size.Y)) {
			p.say(diag.Error, fmt.Sprintf("corner %d, %g,%g, lies far outside the picture of %d by %d pixels", i+1, c.X, c.Y, size.X, size.Y), how)
			return false
		}
	}
	if len(p.Corners) != 4 || !convexClockwise(p.Corners) {
		p.say(diag.Error, "the four corners do not go around the screen clockwise", how)
		return false
	}
	var ok bool
	if p.lens, ok = lensOf(p.Corners, columns, rows, p.photo.Bounds()); !ok {
		p.say(diag.Error, "the four corners span no screen", how)
		return false
	}
	c := p.Corners
	side := func(a, b Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }
	p.width, p.height = (side(c[0], c[1])+side(c[3], c[2]))/2, (side(c[0], c[3])+side(c[1], c[2]))/2
	if p.width < 150 || p.height < 100 {
		p.say(diag.Error, fmt.Sprintf("the screen is only %.0f by %.0f pixels of the picture", p.width, p.height), "take a picture that it fills")
		return false
	}
	p.slanted = math.Abs(c[0].Y-c[1].Y)+math.Abs(c[2].Y-c[3].Y)+math.Abs(c[0].X-c[3].X)+math.Abs(c[1].X-c[2].X) > 0.01*(p.width+p.height)
	p.lens, p.lattice = p.photo.refine(p.lens, columns, rows)
	if p.lattice.outside > (p.Columns+1)*6/5 {
		p.say(diag.Warning, "the lines of the graticule go on beyond the corners, which seem to lie inside it", how)
	}
	if p.lattice.found*178 < p.lattice.all*120 {
		p.say(diag.Warning, fmt.Sprintf("only %d of %d places of the graticule's lines were found, so that the period is less sure", p.lattice.found, p.lattice.all), "take the picture without reflections, and with the graticule bright")
	}
	return true
}

// periodDoubt is the part of the period that the graticule leaves unsure.
func (p *picture) periodDoubt() float64 {
	switch {
	case p.lattice.found*178 >= p.lattice.all*120:
		// A straight line through the turns moves as one through the graticule's upright
		// lines does, which the lens holds: the slope of n + 1 of them that each lie off by
		// the scatter has the variance scatter² / sum (i - n/2)².
		n := float64(p.Columns)
		return p.lattice.rms / math.Sqrt(n*(n+1)*(n+2)/12)
	case p.slanted:
		return 0.0075
	}
	return math.Max(0.001, 1/p.width)
}

// colours finds the traces' colours, or looks whether those given differ enough.
func (p *picture) colours() bool {
	how := "name each trace with its colour in the picture: " + p.write("trace", "contact=#FFE040")
	if len(p.Traces) == 0 {
		for i, c := range findColours(p.inFrame) {
			p.Traces = append(p.Traces, Trace{fmt.Sprintf("trace %d (#%02X%02X%02X)", i+1, c.R, c.G, c.B), c})
		}
	}
	if n := len(p.Traces); n < 1 || n > MostChannels {
		text := "no coloured trace was found"
		if n > 0 {
			text = fmt.Sprintf("%d traces are named, and a capture has one to %d", n, MostChannels)
		}
		p.say(diag.Error, text, how)
		return false
	}
	for i, a := range p.Traces {
		x := toLab(float64(a.Colour.R)/255, float64(a.Colour.G)/255, float64(a.Colour.B)/255)
		if x.chroma() < leastChroma {
			p.say(diag.Error, fmt.Sprintf("the colour of trace %q is a grey, which is not told from the graticule", a.Name), "choose a coloured trace on the instrument, or save its numbers")
			return false
		}
		for _, b := range p.Traces[:i] {
			y := toLab(float64(b.Colour.R)/255, float64(b.Colour.G)/255, float64(b.Colour.B)/255)
			if apart(x.hue(), y.hue()) < leastApart {
				p.say(diag.Error, fmt.Sprintf("the colours of traces %q and %q are too much alike", b.Name, a.Name), "choose colours that differ more on the instrument, or show one trace at a time")
				return false
			}
		}
	}
	return true
}

// inFrame gives some thousands of colours within the graticule.
func (p *picture) inFrame(each func(c color.RGBA)) {
	const n = 500
	size := p.photo.Bounds().Size()
	for i := range n {
		for j := range n {
			x, y := p.lens.at(float64(p.Columns)*(float64(i)+0.5)/n, float64(p.Rows)*(float64(j)+0.5)/n)
			if x >= 0 && y >= 0 && int(x) < size.X && int(y) < size.Y {
				each(p.photo.at(int(x), int(y)))
			}
		}
	}
}

// zeros looks whether each place of 0 V belongs to a trace.
func (p *picture) zeros() bool {
	var names []string
	for _, t := range p.Traces {
		names = append(names, t.Name)
	}
	for _, z := range p.Zeros {
		if z.Trace != "" && !slices.Contains(names, z.Trace) {
			p.say(diag.Error, fmt.Sprintf("0 V is given for a trace %q, and no trace is called so", z.Trace), "traces: "+strings.Join(names, ", "))
			return false
		}
	}
	return true
}

// zeroOf gives where 0 V of a trace lies.
func (s Screen) zeroOf(trace string) (zero Zero, given bool) {
	for _, z := range s.Zeros {
		switch z.Trace {
		case trace:
			return z, true
		case "":
			zero, given = z, true
		}
	}
	return zero, given
}
