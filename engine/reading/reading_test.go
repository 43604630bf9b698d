package reading_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/machine"
	"slipring/engine/reading"
)

func parse(t *testing.T, source string) []reading.Reading {
	t.Helper()
	list, messages := reading.Parse("readings.csv", []byte(source))
	for _, m := range messages {
		t.Error(m)
	}
	return list
}

func TestSample(t *testing.T) {
	list := parse(t, reading.Sample)
	if len(list) != 2 {
		t.Fatalf("%d readings", len(list))
	}
	speed, volts := list[0], list[1]
	if speed.Value != 16.64 || speed.SIUnit != "Hz" || speed.Role != "the Tuesday volunteer" || speed.Where != "coupling" || speed.Date != "2026-05-12" || speed.Class != 0 {
		t.Errorf("%+v", speed)
	}
	// 0.02 and half a hundredth, as likely anywhere within: hypot(0.02, 0.005/sqrt 3)
	if want := math.Sqrt(0.0004 + 0.000025/3); math.Abs(speed.U-want) > 1e-15 {
		t.Errorf("u %v, want %v", speed.U, want)
	}
	// 1 % of 80.4 V is a limit: 0.804/sqrt 3 of a shared error; and the last digit.
	if math.Abs(volts.Class-0.804/math.Sqrt(3)) > 1e-12 || math.Abs(volts.U-0.05/math.Sqrt(3)) > 1e-12 || !volts.How.FullLoad || volts.Instrument != "bench meter" {
		t.Errorf("%+v", volts)
	}
}

// The same readings, as spreadsheets of other habits save them.
func TestForms(t *testing.T) {
	want := fmt.Sprint(plain(parse(t, reading.Sample)))
	semicolons := strings.NewReplacer(",", ";", "16.64", "16,64", "0.02", "0,02", "80.4", "80,4")
	for name, source := range map[string]string{
		"semicolons and decimal commas": semicolons.Replace(reading.Sample),
		"tabs":                          strings.Replace(strings.ReplaceAll(reading.Sample, ",", "\t"), "from\t", "from,", 1),
		"byte-order mark":               "\ufeff" + reading.Sample,
		"lines of two characters":       strings.ReplaceAll(reading.Sample, "\n", "\r\n") + "\r\n",
		"quoted decimal commas":         strings.NewReplacer("16.64", `"16,64"`, "0.02", `"0,02"`, "80.4", `"80,4"`).Replace(reading.Sample),
		"every field quoted":            quoted(reading.Sample),
		"blanks and empty lines":        strings.ReplaceAll(reading.Sample, ",", " , ") + "\n,,,,,,\n\n",
		"empty last column":             strings.ReplaceAll(reading.Sample, "\n", ",\n") + ",",
		"heads in capitals":             strings.Replace(reading.Sample, "date,role,quantity", "Date,ROLE,Quantity", 1),
		"dashes for nothing":            strings.Replace(reading.Sample, ",,idle,,", ",-,idle,-,-", 1),
	} {
		t.Run(name, func(t *testing.T) {
			if got := fmt.Sprint(plain(parse(t, source))); got != want {
				t.Errorf("%s\nwant %s", got, want)
			}
		})
	}
}

// plain leaves out where in the file, and how, a reading was written.
func plain(list []reading.Reading) []reading.Reading {
	for i := range list {
		list[i].Line, list[i].Column, list[i].Written, list[i].Setting = 0, 0, "", ""
	}
	return list
}

func quoted(source string) string {
	lines := strings.Split(source, "\n")
	for i, line := range lines {
		if i > 0 {
			lines[i] = `"` + strings.ReplaceAll(line, ",", `","`) + `"`
		}
	}
	return strings.Join(lines, "\n")
}

const heads = "# Invented.\ndate;role;quantity;value;unit;uncertainty;instrument;class;load;setting;set\n"

func TestUnitsLoadsAndSettings(t *testing.T) {
	list := parse(t, heads+
		"2026-01-02;docent;speed;998;1/min;1;;;12 bells + 110 ohm;;bell-current-set\n"+
		"2026-01-02;docent;contact open;62,9;%;0.5;;;0.3 N m;driven at 960 1/min;\n"+
		"2026-01-02;docent;field current;612;mA;;ammeter;1,5 % of 1 A;60 W;coil on the brushes + generator.field-resistor = 0.3 kohm;\n"+
		"2026-01-02;docent;governor.radius;24.6;mm;0.1;;;;;\n"+
		"2026-01-02;docent;Output voltage;-1.5e1;V;2 %;;;Idle;;\n")
	if len(list) != 5 {
		t.Fatalf("%+v", list)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("%s is %v, want %v", what, got, want)
		}
	}
	near("998 turns a minute", list[0].Value, 998.0/60)
	near("their doubt", list[0].U, math.Hypot(1, 0.5/math.Sqrt(3))/60)
	if list[0].How.Load != (machine.Load{Bells: 12, Resistance: 110}) || list[0].Set != "bell-current-set" {
		t.Errorf("%+v", list[0])
	}
	near("62,9 %", list[1].Value, 0.629)
	near("the speed of the drive", list[1].How.Held, 16)
	near("the brake", list[1].How.Load.Torque, 0.3)
	near("the class of the ammeter", list[2].Class, 0.015/math.Sqrt(3))
	near("the resistor as it was set", list[2].How.Changed["generator.field-resistor"], 300)
	near("the power", list[2].How.Load.Watts, 60)
	if !list[2].How.Brushes {
		t.Error("the coil is on the rings")
	}
	near("the radius", list[3].Value, 0.0246)
	near("minus fifteen", list[4].Value, -15)
	near("two hundredths of it", list[4].U, math.Hypot(0.3, 0.5/math.Sqrt(3)))
	if list[0].How.Key() == list[1].How.Key() || list[4].How.Key() != (reading.Situation{}).Key() {
		t.Error("situations are mixed up")
	}
}

func TestRefuses(t *testing.T) {
	row := func(r string) string { return heads + r }
	for want, source := range map[string]string{
		":1:1: the first line does not say where the data come from":                      heads[12:],
		":3:25: this reading has no uncertainty":                                          row("2026-01-02;docent;speed;16.6;Hz"),
		":3:33: \"V\" is no unit of speed":                                                row("2026-01-02;docent;speed;16.6   ;V;1"),
		":3:25: \"sixteen\" is no number":                                                 row("2026-01-02;docent;speed;sixteen;Hz;1"),
		":3:25: \"1 000.5\" is no number":                                                 row("2026-01-02;docent;speed;1 000.5;1/min;1"),
		":3:25: \"NaN\" is no number":                                                     row("2026-01-02;docent;speed;NaN;1/min;1"),
		":3:1: \"2.1.2026\" is no date":                                                   row("2.1.2026;docent;speed;16.6;Hz;1"),
		":3:1: there is no day 2026-02-30":                                                row("2026-02-30;docent;speed;16.6;Hz;1"),
		":3:19: \"sped\" is nothing that the model can be held against\n    did you mean": row("2026-01-02;docent;sped;16.6;Hz;1"),
		":3:19: \"governor.size\" is nothing":                                             row("2026-01-02;docent;governor.size;16.6;mm;1"),
		":3:12: this reading has no role":                                                 row("2026-01-02;;speed;16.6;Hz;1"),
		":3:33: \"0\" is no uncertainty":                                                  row("2026-01-02;docent;speed;16.6;Hz;0"),
		":3:33: \"a bit\" is no uncertainty":                                              row("2026-01-02;docent;speed;16.6;Hz;a bit"),
		":3:35: this reading has a class, and no instrument":                              row("2026-01-02;docent;speed;16.6;Hz;;;1 %"),
		":3:39: \"1.5 % of 60 V\" is no class":                                            row("2026-01-02;docent;speed;16.6;Hz;;tach;1.5 % of 60 V"),
		":3:37: \"1 %\" of a value in % can mean two things":                              row("2026-01-02;docent;contact open;63;%;1 %"),
		":3:37: \"heavy\" is no load":                                                     row("2026-01-02;docent;speed;16.6;Hz;1;;;heavy"),
		":3:37: \"2.5 bells\" is no load":                                                 row("2026-01-02;docent;speed;16.6;Hz;1;;;2.5 bells"),
		":3:38: \"upside down\" is no setting":                                            row("2026-01-02;docent;speed;16.6;Hz;1;;;;upside down"),
		":3:38: a machine card has no constant \"motor.charm\"":                           row("2026-01-02;docent;speed;16.6;Hz;1;;;;motor.charm = 3 V"),
		":2:1: there is no column \"unit\"":                                               "# Invented.\ndate,role,quantity,value\n",
		":2:26: unknown column \"unti\"\n    did you mean \"unit\"":                       "# Invented.\ndate,role,quantity,value,unti\n",
		":2:31: two columns are headed \"unit\"":                                          "# Invented.\ndate,role,quantity,value,unit,Unit\n",
		":2:1: the file holds no readings":                                                heads,
		":1:1: the file holds no readings":                                                "# Invented.\n",
		":3:30: this line has 7 fields under 5 columns":                                   "# Invented.\ndate,role,quantity,value,unit\n2026-01-02,docent,speed,16,6,Hz,0",
		":3:26: a quotation mark stands alone in a field":                                 row("2026-01-02;docent;speed;1\"6;Hz;1"),
	} {
		_, messages := reading.Parse("r.csv", []byte(source))
		if len(messages) != 1 || !strings.HasPrefix(messages[0].String(), "r.csv"+want) || messages[0].Hint == "" {
			t.Errorf("%s\nis said of\n%s\nwant %s", messages, source, want)
		}
	}
}

func TestBadLinesLeaveTheGoodOnes(t *testing.T) {
	list, messages := reading.Parse("r.csv", []byte(heads+"2026-01-02;docent;speed;16.6;Hz;1\n2026-01-02;docent;speed;16.6;V;1\n2026-01-03;docent;speed;16.7;Hz;1\n"))
	if len(list) != 2 || len(messages) != 1 || list[1].Line != 5 || list[1].Column != 25 {
		t.Errorf("%+v, %v", list, messages)
	}
}

// A reading of a lesson's step needs neither a quantity nor an uncertainty, and
// may have both; its unit is for the lesson to judge.
func TestAtSteps(t *testing.T) {
	list := parse(t, "# Invented.\ndate;role;expect;quantity;value;unit;uncertainty;instrument;class\n"+
		"2026-01-02;docent;insulation.motor;;6,4;MΩ;;tester;\n2026-01-02;docent;field.ohms;;84,2;ohm;;ohmmeter;0,5 % of 200 ohm\n2026-01-02;docent;light.speed;speed;998;1/min;1;tachometer;\n2026-01-02;docent;;speed;16,6;Hz;0,1;tachometer;\n")
	if len(list) != 4 {
		t.Fatalf("%+v", list)
	}
	if r := list[0]; r.Expect != "insulation.motor" || r.Quantity != "" || r.Value != 6.4 || r.Shown() != 6.4 || r.U != 0 || r.Class != 0 {
		t.Errorf("%+v", r)
	}
	// 0.5 % of 200 ohm is 1 ohm either way; and half of the last digit.
	if r := list[1]; math.Abs(r.Class-1/math.Sqrt(3)) > 1e-12 || math.Abs(r.U-0.05/math.Sqrt(3)) > 1e-12 {
		t.Errorf("%+v", r)
	}
	if r := list[2]; r.Expect != "light.speed" || r.Quantity != "speed" || math.Abs(r.Value-998.0/60) > 1e-12 || r.Shown() != 998 {
		t.Errorf("%+v", r)
	}
	if list[3].Expect != "" {
		t.Errorf("%+v", list[3])
	}
	for want, source := range map[string]string{
		":2:8: unknown column \"reading\"\n    did you mean \"value\"": "# Invented.\nexpect,reading,unit,date,role\n",
		":2:1: there is no column \"date\"":                            "# Invented.\nexpect,role,value,unit\n",
		":3:20: this reading has no quantity":                          "# Invented.\ndate,role,expect,value,unit\n2026-01-02,docent,,3,V\n",
		":3:28: \"some\" is no number":                                 "# Invented.\ndate,role,expect,unit,value\n2026-01-02,docent,volts.,V,some\n",
		":3:29: \"1 % of 60 A\" is no class of an instrument":          "# Invented.\ndate,role,expect,value,unit,class,instrument\n2026-01-02,docent,volts,3,V,1 % of 60 A,meter\n",
	} {
		_, messages := reading.Parse("r.csv", []byte(source))
		if len(messages) != 1 || !strings.HasPrefix(messages[0].String(), "r.csv"+want) || messages[0].Hint == "" {
			t.Errorf("%s\nis said of\n%s\nwant %s", messages, source, want)
		}
	}
}

// Steps belong to lessons: such readings in the folder of all are refused.
func TestStepsBesideLessons(t *testing.T) {
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "readings"), 0o755); err != nil {
		t.Fatal(err)
	}
	source := "# Invented.\ndate,role,expect,value,unit\n2026-01-02,docent,volts,3,V\n2026-01-03,docent,volts,3,V\n"
	if err := os.WriteFile(filepath.Join(dir, "readings", "a.csv"), []byte(source), 0o644); err != nil {
		t.Fatal(err)
	}
	in := folder.Open(dir)
	defer in.Close()
	_, messages := reading.ReadAll(in)
	if len(messages) != 1 || !strings.Contains(messages[0].String(), `a.csv:3:25: this reading is of a step that expects "volts", and only lessons have steps`) {
		t.Errorf("%v", messages)
	}
}

func TestAre(t *testing.T) {
	for heads, want := range map[string]bool{
		"Date role Quantity Value unit": true, "date quantity value": true, "expect reading unit when": true, // which then says what it lacks
		"load (A)|speed (Hz)": false, "date value": false, "quantity limit": false, "time (h) bearing (°C) role unit": false, "": false,
	} {
		if got := reading.Are(strings.Fields(heads)); got != want {
			t.Errorf("%q: %v", heads, got)
		}
	}
}

func TestLater(t *testing.T) {
	list := parse(t, reading.Sample)
	if got := reading.Later(list, "2026-05-12"); len(got) != 0 {
		t.Errorf("%v", got)
	}
	got := reading.Later(list[:1], "2026-05-11")
	if len(got) != 1 || got[0].Level != diag.Warning || !strings.Contains(got[0].Text, "is of 2026-05-12, which is after 2026-05-11") || got[0].Line != 3 {
		t.Errorf("%v", got)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(reading.Sample))
	f.Add([]byte(heads + "2026-01-02;docent;speed;16.6;Hz;1;;;2 bells + 3 ohm;driven at 3 Hz\n"))
	f.Fuzz(func(t *testing.T, source []byte) {
		list, messages := reading.Parse("r.csv", source)
		if len(list) == 0 && len(messages) == 0 {
			t.Error("nothing was read, and nothing said")
		}
		for _, r := range list {
			if !(r.U > 0) && r.Quantity != "" || math.IsInf(r.U, 0) || math.IsNaN(r.Value) || r.Class < 0 {
				t.Errorf("%+v", r)
			}
		}
	})
}
