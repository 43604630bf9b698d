package main

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/reading"
)

// The plate of a meter of the board stands with the parts of the wiring. What
// readings say of its class has to be that, and may be left out.
func TestPlates(t *testing.T) {
	in := folder.Open(filepath.Join(root, "lessons"))
	defer in.Close()
	sheets, messages := readCards(in)
	wiring, more := readWiring(in, cardsOf(sheets))
	if diag.HasError(append(messages, more...)) {
		t.Fatal(messages, more)
	}
	read := func(line string) reading.Reading {
		t.Helper()
		list, messages := reading.Parse("r.csv", []byte("# Invented.\ndate,role,quantity,value,unit,uncertainty,instrument,class\n2026-01-02,docent,"+line+"\n"))
		if len(messages) > 0 {
			t.Fatal(messages)
		}
		return list[0]
	}
	// The plate of BV, which parts.toml gives: 1.5 % of 100 V, as likely anywhere within.
	share := 1.5 / math.Sqrt(3)
	for _, c := range []struct {
		line, want string
		class      float64
	}{
		{"output voltage,79.5,V,0.2,board voltmeter BV,1.5 % of 100 V", "", share},
		{"output voltage,79.5,V,0.2,board voltmeter BV,1.5", "", share},
		{"output voltage,79.5,V,0.2,BV,", "", share},
		{"output voltage,79.5,V,0.2,board voltmeter,1 % of 100 V", "", 1 / math.Sqrt(3)}, // of which nobody says that it is BV
		{"output voltage,79.5,V,0.2,board voltmeter BV,1 % of 100 V", "r.csv:3:34: the class of BV is another than on its plate, 1.5 % of 100 V (", 1 / math.Sqrt(3)},
		{"field current,0.6,A,0.01,BV,", "r.csv:3:33: BV shows V, and this reading is in A", 0},
		{"armature current,1.6,A,0.1,AM,", "", 0.6 / math.Sqrt(3)},
	} {
		list := []reading.Reading{read(c.line)}
		messages := plates(list, wiring)
		said := ""
		for _, m := range messages {
			said += m.String()
		}
		if !strings.HasPrefix(said, c.want) || c.want == "" && said != "" || math.Abs(list[0].Class-c.class) > 1e-12 {
			t.Errorf("%s: %q, class %v, want %q, %v", c.line, said, list[0].Class, c.want, c.class)
		}
	}
	// The demonstration's readings name the board's voltmeter, so that proof holds them together.
	all, messages := reading.ReadAll(in)
	named := 0
	for _, r := range all {
		if _, ok := meterOf(wiring.Wiring.Parts, r); ok {
			named++
		}
	}
	if len(messages) > 0 || named == 0 {
		t.Errorf("%d readings of the board's meters, %v", named, messages)
	}
}
