package site

import (
	"fmt"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"slipring/engine/card"
)

// Sizes of the kiosk, which look/kiosk-sizes.css gives to the kiosk's other
// style sheets. TestKioskScreens measures them on the pages.
const (
	kioskWords    = 28    // px, of the words (1 rem) at the least; 175 % of what browsers begin with
	kioskShare    = 0.026 // and this part of the screen's shorter side
	kioskOrigin   = 0.86  // rem, of the line that says where numbers come from
	kioskNeeded   = 0.86  // rem, of the smallest text that visitors need: words, buttons, figures
	kioskSmallest = min(kioskOrigin, kioskNeeded)
	kioskTarget   = 2.6 // rem, the side of the smallest target
	browserText   = 16. // px, of text in a browser that nobody has set otherwise
	usualLarger   = 1.5 // times, of larger text where the house states no screen
	mostLarger    = 2   // times: with text twice as large pages are still tested (WCAG 2.2, 1.4.4)

	kioskEnlarges = true // a visitor can make all text larger, by a button on every screen
)

// sizesName is the style sheet with these sizes, which is written and not read.
const sizesName = "kiosk-sizes"

// zone is where the kiosk has its controls: from the top edge of the uppermost to
// the bottom edge of the lowest, in parts of the screen's height.
type zone struct{ Top, Bottom float64 }

// controls gives it for screens 1920 px wide and 1080 high, or the other way up.
func controls(portrait bool) zone {
	if portrait {
		return zone{488. / 1920, 1862. / 1920}
	}
	return zone{28. / 1080, 1024. / 1080}
}

// What screens are checked against. All lengths are in mm.
const (
	// 36 CFR 1194, Appendix C, 402.4 (the same figure in ADA 2010, 707.7.2):
	// capitals, measured by the capital I, where nothing enlarges the text.
	leastCapital = 4.8
	// EN 301 549, 5.1.4: degrees that a capital H takes, in a mode for it, at a
	// stated distance (read in a government's comparison of its versions).
	leastAngle = 0.7
	// Colle and Hiszem, Ergonomics 47(13), 2004, 1406-1423 (abstract): to people
	// who stand, keys of 20 mm are as fast and sure as larger ones.
	leastTarget = 20.
	// ADA 2010, 308.2.1 and 308.3.1: reach, forward or to the side, above the
	// floor.
	leastReach, mostReach = 380., 1220.
	// ADA 2010, 707.7.1: the eye from which a screen is seen, above the floor.
	lowestEye = 1015.
)

// hung is one screen of the house with what its size makes of the kiosk.
// Lengths are in mm.
type hung struct {
	card.Screen
	Width, Height float64 // of its picture
	Pixel         float64 // side of a px

	Smallest float64 // capital of the smallest text
	Needed   float64 // capital of the smallest text that visitors need
	Angle    float64 // degrees that it takes at the readers' distance
	Larger   float64 // by which text has to grow to reach leastAngle there; 1 where it need not
	Target   float64 // side of the smallest target

	Zone            zone
	Lowest, Highest float64 // of the glass's lower edge above the floor
}

func (h hung) Portrait() bool { return h.Height > h.Width }

// Window says whether some height of the lower edge has all controls in reach.
func (h hung) Window() bool { return h.Lowest <= h.Highest }

// hang computes what the kiosk is on a screen.
func hang(s card.Screen) (hung, error) {
	capital, err := capitalHeight()
	if err != nil {
		return hung{}, err
	}
	wide, high := float64(s.Wide), float64(s.High)
	h := hung{Screen: s, Pixel: s.Diagonal / math.Hypot(wide, high)}
	h.Width, h.Height = wide*h.Pixel, high*h.Pixel
	rem := max(kioskWords, kioskShare*min(wide, high)) * h.Pixel
	h.Smallest, h.Needed, h.Target = kioskSmallest*rem*capital, kioskNeeded*rem*capital, kioskTarget*rem
	h.Angle = angle(h.Needed, s.Distance)
	h.Larger = max(1, leastAngle*math.Pi*s.Distance/180/h.Needed)
	h.Zone = controls(h.Portrait())
	h.Lowest, h.Highest = h.Zone.window(h.Height)
	return h, nil
}

// window gives the lowest and the highest place of the glass's lower edge at
// which all controls are in reach: one so high that the lowest control is not
// below the reach, and one so low that the uppermost is not above it.
func (z zone) window(height float64) (lowest, highest float64) {
	return max(0, leastReach-(1-z.Bottom)*height), mostReach - (1-z.Top)*height
}

// angle gives the degrees that a height takes at a distance, as EN 301 549,
// 5.1.4, reckons them: 180 H / (pi D).
func angle(height, distance float64) float64 { return 180 * height / (math.Pi * distance) }

// capitalHeight is that of the typeface's capital I in parts of the size of text.
func capitalHeight() (float64, error) {
	face, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return 0, err
	}
	var buffer sfnt.Buffer
	i, err := face.GlyphIndex(&buffer, 'I')
	if err != nil {
		return 0, err
	}
	size := fixed.I(int(face.UnitsPerEm()))
	bounds, _, err := face.GlyphBounds(&buffer, i, size, font.HintingNone)
	if err != nil {
		return 0, fmt.Errorf("the height of the typeface's capitals: %w", err)
	}
	return float64(bounds.Max.Y-bounds.Min.Y) / float64(size), nil
}

// sizesSheet is look/kiosk-sizes.css. The button for larger text gives the
// document the class "larger".
func sizesSheet(larger float64) []byte {
	size := fmt.Sprintf("max(%g%%, %gvmin)", 100*kioskWords/browserText, 100*kioskShare)
	return fmt.Appendf(nil, "/* Sizes of the kiosk, as the sheet for hanging its screens reckons with them. */\n"+
		"html.kiosk { --origin: %grem; --target: %grem; --larger: %.3f; font-size: %s; }\n"+
		"html.kiosk.larger { font-size: calc(var(--larger) * %s); }\n",
		kioskOrigin, kioskTarget, math.Ceil(1000*larger)/1000, size, size)
}
