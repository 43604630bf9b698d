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
	ruleDoubt       = "quote-doubt"
	ruleUnknown     = "unknown-label"
	ruleMeanings    = "label-meanings"
	ruleFalse       = "claim-false"
	ruleNumeral     = "claim-numeral"
	ruleMissing     = "missing-embed"
	ruleAlternative = "embed-alternative"
	ruleHazard      = "hazard-without-caution"
	ruleCaution     = "caution-without-hazard"
	ruleTwice       = "caution-twice"
	ruleDescribed   = "hazard-in-house"
	ruleRotating    = "set-without-rotating"
	ruleVolts       = "volts-without-voltage"
	ruleDead        = "proved-dead"
	ruleUnbound     = "unbound-number"
	ruleWords       = "panel-words"
	ruleSentence    = "panel-sentence"
	rulePictures    = "panel-pictures"
	ruleTime        = "panel-time"
	ruleGrade       = "panel-grade"
	ruleGuess       = "panel-guess"
	ruleTalk        = "talk"
	ruleTalkMissing = "talk-missing"
	ruleTalkWords   = "talk-words"
	ruleFormula     = "formula-shown"
	ruleScreen      = "screen-order"
	ruleStop        = "tour-stop"
	ruleSameLabels  = "translation-labels"
	ruleSameBlocks  = "translation-blocks"
	ruleToldLabel   = "translation-told"
	ruleOlder       = "translation-older"
	ruleKnow        = "lesson-know"
	ruleDay         = "machine-day"
	ruleStep        = "step-expects"
	ruleStepOrder   = "step-order"
	ruleStepHazard  = "step-hazard"
	ruleStepReading = "step-reading"
	ruleFinder      = "finder-hazard"

	ruleAnswer       = "question-answer"
	ruleChoice       = "question-choice"
	ruleOrder        = "question-order"
	ruleReasoning    = "question-reasoning"
	rulePlace        = "question-place"
	ruleSourceUnused = "source-unused"
	ruleTermUnused   = "term-unused"
	ruleTermLanguage = "term-language"
	ruleRows         = "table-rows"
	ruleDataUnused   = "data-unused"
	ruleExcept       = "exception"
	ruleExceptUnused = "exception-unused"
	ruleUnreached    = "lesson-unreached"
	ruleCompared     = "unbound-comparison"
	ruleEntry        = "entry-number"
	ruleEntryModel   = "entry-model"
	ruleFound        = "entry-found"
)

var rules = [...]Rule{
	{RuleDrift, diag.Error, "a quote's number equals the computed value, rounded to the digits written"},
	{ruleForm, diag.Error, "a quote holds one number, an optional unit, and nothing else"},
	{ruleUnit, diag.Error, "a quote's unit is the told one, or differs from it by a known factor"},
	{ruleValue, diag.Error, "a quoted value is a finite number"},
	{ruleDoubt, diag.Error, "a quote shows no digits that the doubt of its value does not allow; in a panel, a talking point and a talk, none behind the first digit of that doubt"},
	{ruleUnknown, diag.Error, "every label is defined by a cell, an opened card, a lesson, a source, the glossary or the text"},
	{ruleMeanings, diag.Error, "every label has one meaning"},
	{ruleFalse, diag.Error, "every told claim holds"},
	{ruleNumeral, diag.Error, "every number in a claim's words is one of the limits that it was told with"},
	{ruleMissing, diag.Error, "every figure, table and motion that is placed was told, or is a data file beside the lesson"},
	{ruleAlternative, diag.Error, "every figure, table and motion has alternative text"},
	{ruleHazard, diag.Error, "every declared hazard has a caution"},
	{ruleCaution, diag.Error, "every caution's hazard is declared"},
	{ruleTwice, diag.Error, "a lesson has one caution about a hazard"},
	{ruleDescribed, diag.Error, "every declared hazard is described by the house"},
	{ruleRotating, diag.Error, "a lesson whose cells run a machine declares that it rotates"},
	{ruleVolts, diag.Error, "a lesson that tells or quotes 50 V or more declares the hazard of voltage"},
	{ruleDead, diag.Error, "what is proved dead is so with a tester made for it, tried on a known source before and after"},
	{ruleUnbound, diag.Error, "every number with a unit is bound to a value"},
	{ruleCompared, diag.Warning, "a sentence of a panel, or of a question's reasoning, that compares is bound to a claim"},
	{ruleWords, diag.Error, "a panel has at most 75 words, with a guess also before the choice, and at most 100 after it"},
	{ruleSentence, diag.Error, "a sentence of a panel has at most 25 words"},
	{rulePictures, diag.Error, "a panel has at most one figure, table or motion"},
	{ruleTime, diag.Error, "a screen of the kiosk can be read before it asks whether somebody is there"},
	{ruleGrade, diag.Warning, "a panel reads at grade 8 or below, or as easily by the measure of its language"},
	{ruleGuess, diag.Warning, "a panel that says to guess offers answers, and does not tell the right one above them"},
	{ruleScreen, diag.Warning, "what a panel says of the screen, such as to turn a knob, stands in a block for it, since a sheet has the panel too"},
	{ruleStop, diag.Warning, "a stop of the tour says how long it takes, what to say, what children ask, where to stand and what nobody touches"},
	{ruleTalk, diag.Error, "a lesson has one talk at most, about a hazard that it declares"},
	{ruleTalkMissing, diag.Warning, "a lesson with hazards has a talk, where the house gives talks"},
	{ruleTalkWords, diag.Error, "a talk is short enough for its page, and has sentences of at most 25 words"},
	{ruleFormula, diag.Error, "no formula stands on the kiosk or on a sheet"},
	{ruleSameLabels, diag.Error, "a translation binds and places the same as its lesson"},
	{ruleSameBlocks, diag.Error, "a translation has the panels, cautions, talking points, talks and questions of its lesson"},
	{ruleToldLabel, diag.Warning, "a translation has words for the labels that cells tell on its pages, and for no others"},
	{ruleKnow, diag.Warning, "once one lesson of the course says in at most 25 words what its readers will know, each does, in each language"},
	{ruleDay, diag.Error, "the steps of a lesson at the machine follow the order of a day, and their numbers each other"},
	{ruleStep, diag.Error, "a step of commissioning expects a told value of its own, in a unit that fits it, within limits that leave room and do not hold zero"},
	{ruleStepOrder, diag.Error, "the steps of a lesson follow the order of commissioning"},
	{ruleStepHazard, diag.Error, "the lesson declares the hazards of its steps"},
	{ruleStepReading, diag.Error, "a reading at a step is of what a step expects, in a unit that fits it"},
	{ruleFinder, diag.Error, "the lesson declares the hazards of its finders"},
	{ruleOlder, diag.Warning, "a translation is not older than its lesson"},
	{ruleAnswer, diag.Error, "a question's answer and its tolerance fit each other, and zero is not right by tolerance alone"},
	{ruleChoice, diag.Error, "exactly one option of a choice or a guess is right, by values that are clearly apart"},
	{ruleOrder, diag.Error, "the values that an order follows are clearly apart"},
	{ruleReasoning, diag.Warning, "a question gives its reasoning to who answers wrongly, and a guess a kind word"},
	{rulePlace, diag.Warning, "over the course, the right option of choices is not always shown at the same place"},
	{ruleSourceUnused, diag.Warning, "every source is cited by a lesson"},
	{ruleTermUnused, diag.Warning, "every term of the glossary is used by a lesson, or seen from one that is"},
	{ruleTermLanguage, diag.Warning, "a term has words in the language of every translation that uses it"},
	{ruleRows, diag.Error, "a table of readings has at most 60 lines"},
	{ruleDataUnused, diag.Warning, "every data file of a lesson is placed as a table or read by a cell"},
	{ruleExcept, diag.Error, "an exception names a rule that allows one, and quotes words that stand once"},
	{ruleExceptUnused, diag.Error, "an exception excuses something"},
	{ruleEntry, diag.Error, "a number of the logbook is what was read, or what the card said, on the day that it names"},
	{ruleFound, diag.Error, "what an entry of the logbook found is bound to readings and to the history of the cards, never to the model"},
	{ruleEntryModel, diag.Warning, "a number that an entry of the logbook has from the model is what the model gives, until the card changes"},
	{ruleUnreached, diag.Error, "every lesson is reached by who takes lessons in the order of their needs"},
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
