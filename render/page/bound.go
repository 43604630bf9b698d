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
func (r *reader) bound(n *lesson.Node) {
	printed, ok := r.source.Report.Printed[n]
	if !ok {
		r.fail(n, "bound", fmt.Sprintf("%q has no computed value to print", n.Name), "run slipring proof, which says why")
		return
	}
	values, claims := r.source.Result.Values, r.source.Result.Claims
	if i := slices.IndexFunc(values, func(v tell.Value) bool { return v.Name == n.Name }); i >= 0 {
		class := "quote"
		if r.drifted(n) {
			class += " drifted" // only in a rehearsal: publish stops before
		}
		r.quote(class, values[i].Number, printed, r.quoteFollows(n, values[i]))
		return
	}
	if i := slices.IndexFunc(claims, func(c tell.Claim) bool { return c.Name == n.Name }); i >= 0 {
		r.putf(`<span class="claim"%s>`, r.claimFollows(claims[i]))
		r.nodes(n.Children, false)
		r.put("</span>")
		return
	}
	if card, c, ok := r.source.Constant(n.Name); ok {
		href := ""
		if r.links.Card != nil && r.outside {
			href = r.links.Card(card, c)
		}
		r.anchor(href, func() { r.quote("quote constant", c.Value, printed, "") })
		return
	}
	if r.cited(n) || r.term(n) {
		return
	}
	href := ""
	if to := r.source.Report.Links[n]; to != nil && r.links.Lesson != nil && r.outside {
		href = r.links.Lesson(to)
	}
	r.anchor(href, func() { r.nodes(n.Children, false) })
}

// drifted says whether a quote's written number is no longer the computed one.
func (r *reader) drifted(n *lesson.Node) bool {
	return slices.ContainsFunc(r.source.Report.Drifts, func(d proof.Drift) bool { return d.Node == n })
}

// quote prints a number; follows is an attribute more.
func (r *reader) quote(class string, x float64, printed, follows string) {
	r.putf(`<data class="%s" value="%s"%s>%s</data>`, class, Exact(x), follows, escape(printed))
}

// anchor prints a link, or only what it holds when there is no way to go.
func (r *reader) anchor(href string, inner func()) {
	if href == "" {
		inner()
		return
	}
	r.putf(`<a href="%s">`, escape(href))
	inner()
	r.put("</a>")
}

// Exact gives the shortest decimal that reads back to the same float64.
func Exact(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
