package language

import (
	"math/big"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/feature/plural"
	textlanguage "golang.org/x/text/language"
	"golang.org/x/text/message"
	textnumber "golang.org/x/text/number"
)

// The decimal sign and the minus of each language are those of CLDR, the
// Common Locale Data Repository, as golang.org/x/text has them.
func TestNumberSigns(t *testing.T) {
	for _, tag := range Tags() {
		p := message.NewPrinter(textlanguage.MustParse(tag))
		for _, c := range []struct {
			x        float64
			decimals int
		}{{19.9468, 2}, {0.5, 1}, {0, 1}, {-0.25, 2}, {48, 0}, {999.95, 2}} {
			// CLDR writes the minus of both languages as a hyphen, for which we
			// have U+2212.
			want := strings.Replace(p.Sprint(textnumber.Decimal(c.x, textnumber.Scale(c.decimals))), "-", Minus, 1)
			if got := Of(tag).Number(c.x, c.decimals); got != want {
				t.Errorf("%s: Number(%v, %d) = %q, want %q", tag, c.x, c.decimals, got, want)
			}
		}
	}
}

// Singular or plural of a French unit, against CLDR's plural rules.
func TestFrenchAgreement(t *testing.T) {
	int := func(digits string) int {
		x, err := strconv.Atoi("0" + digits)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	for thousandths := range 2500 {
		for decimals := range 4 {
			n := Number{Decimals: decimals, Language: Of("fr")}.InForm(float64(thousandths)/1000, big.NewRat(1, 1))
			whole, part, _ := strings.Cut(n.Digits, ".")
			short := strings.TrimRight(part, "0")
			want := "tours"
			if plural.Cardinal.MatchPlural(textlanguage.French, int(whole), len(part), len(short), int(part), int(short)) == plural.One {
				want = "tour"
			}
			for _, written := range []string{"tour", "tours"} {
				if got := Of("fr").Agree(written, n); got != want {
					t.Fatalf("with %s, %s becomes %s, want %s", n, written, got, want)
				}
			}
		}
	}
	if got := Of("fr").Agree("Hz", Number{Digits: "1"}); got != "Hz" {
		t.Errorf("Hz became %q", got)
	}
}

// Every unit of every language has a factor and a base in the table, and no
// unit stands twice.
func TestUnitsOfLanguages(t *testing.T) {
	for _, tag := range Tags() {
		seen := map[string]bool{}
		for _, u := range Of(tag).units {
			if _, base := findUnit(symbols[:], u.quantity); seen[u.written] || u.num < 1 || u.den < 1 || !base && u.quantity != "1" && u.quantity != "turn" && u.quantity != "degree" {
				t.Errorf("%s: %+v", tag, u)
			}
			seen[u.written] = true
		}
	}
	for _, c := range []struct {
		told, written string
		x             float64
		decimals      int
		want          string
	}{
		{"Hz", "tours par minute", 20, 0, "1200"},
		{"Hz", "tr/s", 19.95, 2, "19,95"},
		{"turns", "tours", 4.3, 1, "4,3"},
		{"", "pour cent", 0.773, 1, "77,3"},
		{"A", "milliampères", 0.35, 0, "350"},
		{"furlong", "furlong", 1, 0, "1"},
	} {
		f, ok := Of("fr").Factor(c.told, c.written)
		if got := (Number{Decimals: c.decimals, Language: Of("fr")}).InForm(c.x, f).String(); !ok || got != c.want {
			t.Errorf("%v %s is %s %s, want %s", c.x, c.told, got, c.written, c.want)
		}
	}
	for _, c := range []struct{ told, written string }{{"turns", "turns"}, {"Hz", "turns a second"}, {"V", "ampères"}, {"turns", "tours par seconde"}} {
		if _, ok := Of("fr").Factor(c.told, c.written); ok {
			t.Errorf("%q may be written for %q", c.written, c.told)
		}
	}
}
