package plot

import (
	"testing"

	"slipring/engine/tell"
)

func TestFinderCSV(t *testing.T) {
	var s tell.Sheet
	s.Finder("f", tell.Look{Ask: "Lit, or not?", How: "=look", Hazard: "voltage", Chance: 1, Answers: []tell.Answer{
		{Says: "lit", Then: &tell.Look{Ask: "Hot?", Chance: 0.25, Answers: []tell.Answer{
			{Says: "yes", Then: &tell.Look{How: "Wait.", Causes: []tell.Cause{{Says: "a", Chance: 0.1, Stop: true}, {Says: "b"}}}},
			{Says: "no", Then: &tell.Look{Causes: []tell.Cause{{Says: "c"}}}},
		}}},
		{Says: "-not", Then: &tell.Look{Causes: []tell.Cause{{Says: "d"}}}},
	}})
	const want = "question,ask,how,hazard,chance,answer,then,cause,share,stop,do\r\n" +
		"1,\"Lit, or not?\",'=look,voltage,1,lit,2,,,,\r\n" +
		"1,\"Lit, or not?\",'=look,voltage,1,'-not,,d,,,\r\n" +
		"2,Hot?,,,0.25,yes,,a,0.1,stop,Wait.\r\n" +
		"2,Hot?,,,0.25,yes,,b,,,Wait.\r\n" +
		"2,Hot?,,,0.25,no,,c,,,\r\n"
	if got := string(FinderCSV(s.Result().Finders[0])); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}
