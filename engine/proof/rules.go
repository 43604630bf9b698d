package proof

import "slipring/engine/diag"

// Rule is one thing that Check looks for.
type Rule struct {
	Name  string
	Level diag.Level
	About string // what a lesson must do to keep the rule
}

// The names of the rules. Only a finding under RuleDrift can be amended.
const (
	RuleDrift = "quote-drift"

	ruleForm        = "quote-form"
	ruleUnit        = "quote-unit"
	ruleValue       = "quote-value"
	ruleUnknown     = "unknown-label"
	ruleMeanings    = "label-meanings"
	ruleNotYet      = "label-not-yet"
	ruleFalse       = "claim-false"
	ruleNumeral     = "claim-numeral"
	ruleMissing     = "missing-embed"
	ruleAlternative = "embed-alternative"
	ruleHazard      = "hazard-without-caution"
	ruleCaution     = "caution-without-hazard"
	ruleUnbound     = "unbound-number"
	ruleWords       = "panel-words"
	ruleSentence    = "panel-sentence"
	rulePictures    = "panel-pictures"
	ruleGrade       = "panel-grade"
	ruleSameLabels  = "translation-labels"
	ruleSameBlocks  = "translation-blocks"
	ruleOlder       = "translation-older"
)

var rules = [...]Rule{
	{RuleDrift, diag.Error, "a quote's number equals the computed value, rounded to the digits written"},
	{ruleForm, diag.Error, "a quote holds one number, an optional unit, and nothing else"},
	{ruleUnit, diag.Error, "a quote's unit is the told one, or differs from it by a known factor"},
	{ruleValue, diag.Error, "a quoted value is a finite number"},
	{ruleUnknown, diag.Error, "every label is defined by a cell, an opened card, a lesson or the text"},
	{ruleMeanings, diag.Error, "every label has one meaning"},
	{ruleNotYet, diag.Error, "sources and glossary terms wait for a later version"},
	{ruleFalse, diag.Error, "every told claim holds"},
	{ruleNumeral, diag.Error, "every number in a claim's words is one of the limits that it was told with"},
	{ruleMissing, diag.Error, "every figure and table that is placed was told"},
	{ruleAlternative, diag.Error, "every figure and table has alternative text"},
	{ruleHazard, diag.Error, "every declared hazard has a caution"},
	{ruleCaution, diag.Error, "every caution's hazard is declared"},
	{ruleUnbound, diag.Error, "every number with a unit is bound to a value"},
	{ruleWords, diag.Error, "a panel has at most 75 words"},
	{ruleSentence, diag.Error, "a sentence of a panel has at most 25 words"},
	{rulePictures, diag.Error, "a panel has at most one figure, table or motion"},
	{ruleGrade, diag.Warning, "a panel reads at grade 8 or below, or as easily by the measure of its language"},
	{ruleSameLabels, diag.Error, "a translation binds and places the same as its lesson"},
	{ruleSameBlocks, diag.Error, "a translation has the panels, cautions, talking points and questions of its lesson"},
	{ruleOlder, diag.Warning, "a translation is not older than its lesson"},
}

// Rules lists what Check looks for.
func Rules() []Rule { return rules[:] }

func level(rule string) diag.Level {
	for _, r := range rules {
		if r.Name == rule {
			return r.Level
		}
	}
	return diag.Error
}
