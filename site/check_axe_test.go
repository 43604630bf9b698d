package site

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// checkAxe: axe-core finds no violation of WCAG 2.2, levels A and AA, nor of
// its best practices, on any page, in light and in dark; on the kiosk, on each
// of its screens. A page in a second language has the colours of its first, and
// boxes as large, and is looked at once.
func checkAxe(t *testing.T, dir string, pages []string) {
	script, err := os.ReadFile(filepath.Join(tool(t, "axe", "SLIPRING_AXE"), "axe.min.js"))
	if err != nil {
		t.Fatalf("SLIPRING_AXE is no folder of the npm package axe-core: %v", err)
	}
	v := visitOf(t, dir)
	defer v.stopClock()() // a kiosk goes back to its start while a busy machine still looks
	seen := 0
	for _, page := range pages {
		v.run(page, func() {
			v.media("prefers-color-scheme", "light")
			width, height := sizesOf(page)[0][0], sizesOf(page)[0][1]
			v.open(page, width, height)
			// The debugger's scripts run whatever the page's policy is.
			v.do(chromedp.Evaluate[chromedp.Void](string(script) + ";0"))
			v.each(page, func(where string) {
				seen++
				v.axe(where, "light", allRules)
				if languageOf(page) != "en" {
					return
				}
				v.size(sizesOf(page)[1][0], sizesOf(page)[1][1])
				v.axe(where, strconv.FormatInt(sizesOf(page)[1][0], 10)+" px", sizeRules)
				v.size(width, height)
				if !strings.HasPrefix(page, "kiosk/") { // which is dark in a dark hall
					v.media("prefers-color-scheme", "dark")
					v.axe(where, "dark", colourRules)
					v.media("prefers-color-scheme", "light")
				}
			})
		})
	}
	t.Logf("%d pages and screens", seen)
}

const (
	allRules = `{type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}`
	// what may differ at another size
	sizeRules = `{type: "rule", values: ["scrollable-region-focusable", "target-size"]}`
	// what may differ in another colour scheme
	colourRules = `{type: "rule", values: ["color-contrast", "link-in-text-block"]}`
)

func (v *visit) axe(where, scheme, rules string) {
	v.t.Helper()
	var found []struct {
		ID, Impact, Help string
		Tags             []string
		Nodes            []struct{ Target, Why string }
	}
	got := v.value(`axe.run(document, {runOnly: ` + rules + `, resultTypes: ["violations"], preload: false}).then(r => JSON.stringify(r.violations.map(f =>
		({id: f.id, impact: f.impact, help: f.help, tags: f.tags, nodes: f.nodes.map(n => ({target: n.target.join(" "), why: n.failureSummary}))}))))`)
	if err := json.Unmarshal([]byte(got), &found); err != nil {
		v.t.Fatalf("%s: axe says %.200q: %v", where, got, err)
	}
	for _, f := range found {
		var nodes strings.Builder
		for _, n := range f.Nodes[:min(len(f.Nodes), 5)] {
			fmt.Fprintf(&nodes, "\n    %s: %s", n.Target, strings.Join(strings.Fields(n.Why), " "))
		}
		kind := "WCAG"
		if slices.Contains(f.Tags, "best-practice") {
			kind = "best practice"
		}
		v.t.Errorf("%s, %s: %s, %s (%s, %d places): %s%s", where, scheme, kind, f.ID, f.Impact, len(f.Nodes), f.Help, nodes.String())
	}
}
