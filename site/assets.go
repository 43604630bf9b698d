package site

import (
	"slices"
	"strings"

	"slipring/render/page"
)

// Features of whole pages. Those of what a lesson holds are named by package
// page.
const (
	attracts page.Feature = "attract"       // calls visitors to the kiosk
	screens  page.Feature = "screens"       // one screen of the kiosk after the other
	reads    page.Feature = "reads"         // a screen of the kiosk aloud
	progress page.Feature = "progress"      // a volunteer's, in the browser alone
	signing  page.Feature = "signing"       // says whether to sign again; with progress, for its days
	versions page.Feature = "versions"      // leads to the same place in another language
	large    page.Feature = "large"         // large print
	works    page.Feature = "machine"       // the page of all steps at the machine
	formed   page.Feature = "readings-form" // the form for readings
	charts   page.Feature = "symbols-chart" // the chart of symbols for the wall
	hangs    page.Feature = "hanging"       // the sheet for hanging screens
	tested   page.Feature = "tests"         // the sheet of tests of the wires
	cuts     page.Feature = "cutting"       // the list of wire to cut
	pictures page.Feature = "pictures"      // files beside the entries of the logbook
)

// asset is what a page with a feature loads from the folder look. Names have no
// ending.
type asset struct {
	feature page.Feature
	styles  []string
	scripts []string
	early   bool // these scripts come before all so far: on the kiosk, keys of knobs before those that lead from screen to screen

	screen bool   // scripts are for screens: on paper things stand still
	kiosk  bool   // scripts are for the kiosk
	policy string // what the page may load besides
}

// assets are in the order in which pages load them.
var assets = [...]asset{
	{feature: attracts, styles: []string{"attract"}, scripts: []string{"attract"}},
	{feature: screens, scripts: []string{"screens", "kiosk"}},
	{feature: reads, styles: []string{"reading"}, scripts: []string{"speech", "reading"}},
	{feature: page.Knobs, styles: []string{"knob"}, scripts: []string{"knobs", "dial", "knob"}, early: true},
	{feature: page.Motions, styles: []string{"motion"}, scripts: []string{"films", "motion"}, early: true, screen: true},
	{feature: page.Boards, styles: []string{"board"}, scripts: []string{"films", "boards", "board"}, early: true, screen: true},
	{feature: page.WholeSet, styles: []string{"scene"}}, // behind those of motions, since a scene can be one
	{feature: page.Sounds, styles: []string{"sound"}, scripts: []string{"sound"}, early: true, kiosk: true, policy: "media-src 'self' file:"},
	{feature: page.Symbols, styles: []string{"schematic"}},
	{feature: page.Strips, styles: []string{"strips"}, scripts: []string{"drawn", "strips"}, screen: true},
	{feature: page.Guesses, styles: []string{"guess"}, scripts: []string{"guesses", "guess"}, early: true, kiosk: true},
	{feature: page.Finders, styles: []string{"finder"}},
	{feature: page.Questions, styles: []string{"question"}, scripts: []string{"answers", "question"}},
	{feature: page.Stories, styles: []string{"story"}, scripts: []string{"story"}},
	{feature: progress, styles: []string{"progress"}, scripts: []string{"days", "progress", "progress-page"}},
	{feature: signing, scripts: []string{"signed", "signed-page"}},
	{feature: versions, scripts: []string{"places", "language"}},
	{feature: works, styles: []string{"machine"}},
	{feature: formed, styles: []string{"readings-form"}},
	{feature: pictures, policy: "img-src 'self' file:"},
	{feature: charts, styles: []string{"schematic", "symbols"}},
	{feature: tested, styles: []string{"tests"}},
	{feature: hangs, styles: []string{"hanging"}},
	{feature: cuts, styles: []string{"machine", "cutting"}},
	{feature: large, styles: []string{"handout-large"}},
}

// load gives a page the style sheets and scripts of its features, and a policy
// that lets it load these.
func (s *shell) load() {
	var more []string
	for _, a := range assets {
		if !slices.Contains(s.Features, a.feature) {
			continue
		}
		s.Styles = append(s.Styles, a.styles...)
		switch {
		case a.screen && s.Paper, a.kiosk && !s.Kiosk:
		case a.early:
			s.Scripts = append(slices.Clone(a.scripts), s.Scripts...)
		default:
			s.Scripts = append(s.Scripts, a.scripts...)
		}
		if a.policy != "" {
			more = append(more, a.policy)
		}
	}
	s.Scripts = unique(s.Scripts) // two features may share one
	s.Policy = policy(len(s.Scripts) > 0, more...)
}

// unique leaves out what stands in a list before.
func unique(list []string) (out []string) {
	for _, one := range list {
		if !slices.Contains(out, one) {
			out = append(out, one)
		}
	}
	return out
}

// policy lets a page load nothing but our own style sheets, fonts and, where
// it has any, scripts, and what more names. "file:" is there for pages opened
// from a disk, where 'self' has no agreed meaning.
func policy(scripts bool, more ...string) string {
	rules := []string{"default-src 'none'", "style-src 'self' file:", "font-src 'self' file:", "base-uri 'none'", "form-action 'none'"}
	if scripts {
		rules = append(rules, "script-src 'self' file:")
	}
	return strings.Join(append(rules, more...), "; ")
}
