package page

import (
	"fmt"
	"slices"
	"strconv"

	"slipring/engine/lesson"
	"slipring/engine/proof"
	"slipring/engine/tell"
)

// bound prints a text that is bound to a name: a quote with the computed
// number, of which the data element keeps every digit; a claim; a constant of
// a card; a source; a term of the glossary; or a link to another lesson.
func (p *printer) bound(n *lesson.Node) {
	printed, ok := p.in.Report.Printed[n]
	if !ok {
		p.fail(n, "bound", fmt.Sprintf("%q has no computed value to print", n.Name), "run slipring proof, which says why")
		return
	}
	if p.fact(n) {
		return
	}
	values, claims := p.in.Result.Values, p.in.Result.Claims
	if i := slices.IndexFunc(values, func(v tell.Value) bool { return v.Name == n.Name }); i >= 0 {
		class := "quote"
		if p.drifted(n) {
			class += " drifted" // only in a rehearsal: publish stops before
		}
		p.telling(n.Name, printed, func() { p.quote(class, values[i].Number, printed, p.quoteFollows(n, values[i])) })
		return
	}
	if i := slices.IndexFunc(claims, func(c tell.Claim) bool { return c.Name == n.Name }); i >= 0 {
		p.telling(n.Name, "", func() {
			p.putf(`<span class="claim"%s>`, p.claimFollows(claims[i]))
			p.nodes(n.Children, false)
			p.put("</span>")
		})
		return
	}
	if card, c, ok := p.in.Constant(n.Name); ok {
		href := ""
		if p.links.Card != nil && p.outside && p.stories == nil {
			href = p.links.Card(card, c)
		}
		p.anchor(href, func() {
			p.telling(n.Name, printed, func() { p.quote("quote constant", c.Value, printed, "") })
		})
		return
	}
	if p.cited(n) || p.term(n) {
		return
	}
	href := ""
	if to := p.in.Report.Links[n]; to != nil && p.links.Lesson != nil && p.outside {
		href = p.links.Lesson(to)
	}
	p.anchor(href, func() { p.nodes(n.Children, false) })
}

// drifted says whether a quote's written number is no longer the computed one.
func (p *printer) drifted(n *lesson.Node) bool {
	return slices.ContainsFunc(p.in.Report.Drifts, func(d proof.Drift) bool { return d.Node == n })
}

// quote prints a number; follows is an attribute more.
func (p *printer) quote(class string, x float64, printed, follows string) {
	p.putf(`<data class="%s" value="%s"%s>%s</data>`, class, Exact(x), follows, escape(printed))
}

// anchor prints a link, or only what it holds when there is no way to go.
func (p *printer) anchor(href string, inner func()) {
	if href == "" {
		inner()
		return
	}
	p.putf(`<a href="%s">`, escape(href))
	inner()
	p.put("</a>")
}

// Exact gives the shortest decimal that reads back to the same float64.
func Exact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
