package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"slipring/engine/calibrate"
	"slipring/engine/card"
	"slipring/engine/diag"
	"slipring/engine/fit"
	"slipring/engine/folder"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

// found is what a fit could have found, with all that can be odd about it.
func found() *calibrate.Outcome {
	one := func(key string, in fit.Interval) calibrate.Constant {
		return calibrate.Constant{
			Card:  machine.Constant{Part: "motor", Description: machine.Description{Key: key, SIUnit: "H"}, Given: machine.Given{Value: 4, Unit: "mH", Origin: machine.Assumed}},
			Prior: 0.004, Value: 0.005, U: 0.001, Interval: in, Lopsided: true,
		}
	}
	return &calibrate.Outcome{
		Constants: []calibrate.Constant{
			one("between", fit.Interval{Low: 0.003, High: 0.0092}), one("above", fit.Interval{Low: 0.003, High: 1, HighOpen: true}),
			one("below", fit.Interval{High: 0.0092, LowOpen: true}), one("open", fit.Interval{LowOpen: true, HighOpen: true}),
		},
		Fit:     &fit.Result{Chi2: 3.25, Freedom: 4},
		Used:    make([]reading.Reading, 4),
		Left:    []calibrate.Left{{Reading: reading.Reading{File: "a.csv", Line: 3, Column: 5, Quantity: "speed"}, Outlier: fit.Outlier{Name: "speed of 2026-11-01", Far: 13.8, Critical: 10, Rule: "a rule"}}},
		Alike:   []fit.Alike{{Names: []string{"motor.between", "motor.above"}}, {Names: []string{"motor.open"}}},
		Guessed: []string{"governor.radius", "a.b", "a.c", "a.d", "a.e", "a.f", "a.g"},
		Next:    []calibrate.Advice{{Reading: "the voltage", Hazard: "it is high", Advice: fit.Advice{Gain: 1.5, U: []float64{0.0002, 0.001, 0.001, 0.001}}}},
	}
}

func TestSayCalibration(t *testing.T) {
	var b bytes.Buffer
	if err := sayCalibration(&b, found()); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"motor.between: 5.0 ± 1.0 mH; the card has 4 mH (assumed)\n    it is not that sure on both sides: in 95 of 100 such cases it lies between 3 and 9.2 mH\n",
		"in 95 of 100 such cases it lies above 3 mH\n", "in 95 of 100 such cases it lies below 9.2 mH\n", "in 95 of 100 such cases it could be anything\n",
		"no reading leans on motor.open\n", "hardly tell these apart: motor.between, motor.above\n",
		"lean on 7 constants that nobody measured, which have no uncertainty on the card and count as exact; most on:\n    governor.radius, a.b, a.c, a.d, a.e, a.f\n    fit some of them by their names: -constants governor.radius,a.b\n",
		"a.csv:3:5: left out: speed is 13.8 of its standard deviations from the rest (a rule; up to 10.0 would pass)\n",
		"    the voltage (dangerous: it is high): would leave 20 % of the doubt of motor.between\n",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("without %q:\n%s", want, b.String())
		}
	}
}

// What scripts rely on: the names, and that lists are there when they are empty.
func TestCalibrationJSON(t *testing.T) {
	keys := func(m map[string]any) string { return strings.Join(slices.Sorted(maps.Keys(m)), " ") }
	for _, o := range []*calibrate.Outcome{found(), {Fit: &fit.Result{}}} {
		var b bytes.Buffer
		if err := calibrationJSON(&b, o); err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(b.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		if keys(got) != "alike chi2 constants freedom next outliers" {
			t.Errorf("keys %s", keys(got))
		}
		for name, want := range map[string]string{"constants": "name uncertainty unit value", "outliers": "far file line reading rule", "next": "gain hazard reading"} {
			list, ok := got[name].([]any)
			if !ok || len(list) > 0 && keys(list[0].(map[string]any)) != want {
				t.Errorf("%s: %v", name, got[name])
			}
		}
		if list, ok := got["alike"].([]any); !ok || len(list) != len(o.Alike) {
			t.Errorf("alike: %v", got["alike"])
		}
	}
	var b bytes.Buffer
	if err := calibrationJSON(&b, found()); err != nil || !strings.Contains(b.String(), `"value": 5,`+"\n"+`      "unit": "mH",`+"\n"+`      "uncertainty": 1`) {
		t.Errorf("%v %s", err, b.String())
	}
}

// Why there is no fit is said where the constant or the reading stands.
func TestCalibrationPlaced(t *testing.T) {
	dir := fitFolder(t, fitReadings, "")
	in := folder.Open(dir)
	defer in.Close()
	sheets, messages := readCards(in)
	readings, more := reading.ReadAll(in)
	if messages = append(messages, more...); len(messages) > 0 {
		t.Fatal(messages)
	}
	sheet := sheets[slices.IndexFunc(sheets, func(s card.Sheet) bool { return s.Name == "bell-current-set" })]
	for _, c := range []struct {
		about []string
		want  string
	}{
		{[]string{"motor.saturation-sharpness"}, "cards/bell-current-set.toml:53:24: it is so\n    do that"},
		{[]string{"contact open of 2024-02-01"}, "readings/first.csv:4:"},
		{nil, "readings: it is so\n    do that"},
	} {
		err := placed(fit.Error{Reason: fit.AtBound, About: c.about, Text: "it is so", Next: "do that"}, in, sheet, readings)
		var m diag.Message
		if !errors.As(err, &m) || !strings.HasPrefix(strings.ReplaceAll(m.String(), dir+"/", ""), c.want) {
			t.Errorf("%v: %v, want %s", c.about, err, c.want)
		}
	}
}
