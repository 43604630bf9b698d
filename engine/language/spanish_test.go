package language

import (
	"math"
	"math/big"
	"slices"
	"testing"
)

// Words with their syllables by the rules of the Ortografía de la lengua española
// (2010, I.3: diphthongs, triphthongs, hiatuses - from memory), one for each thing
// that spelling hides.
func TestSpanishSyllables(t *testing.T) {
	for word, want := range map[string]int{
		"eje": 2, "motor": 2, "tensión": 2, "corriente": 3, "guerra": 2, "cigüeña": 3, "quiosco": 2, "máquina": 3, "ciudad": 2, "Uruguay": 3,
		"averiguáis": 4, "buey": 1, "muy": 1, "y": 1, "yo": 1, "mayo": 2, "leyes": 2, "proyecto": 3, "ahora": 3, "aéreo": 4, "poeta": 3, "país": 2,
		"energía": 4, "batería": 4, "león": 2, "murciélago": 4, "electricidad": 5, "construir": 2, "cuidado": 3, "que": 1, "¿": 0, "19,95": 0, "": 0,
	} {
		if got := Of("es").Syllables(word); got != want {
			t.Errorf("%q has %d syllables, want %d", word, got, want)
		}
	}
}

// The formula of Fernández Huerta: 206.84 - 60 syllables a word - 1.02 words a
// sentence (from memory).
func TestSpanishReadingEase(t *testing.T) {
	for _, c := range []struct {
		words, sentences, syllables int
		want                        float64
	}{{100, 10, 200, 76.64}, {1, 1, 1, 145.82}, {100, 5, 230, 48.44}} {
		if got := Of("es").reads.score(c.words, c.sentences, c.syllables); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%d, %d, %d: %v, want %v", c.words, c.sentences, c.syllables, got, c.want)
		}
	}
	if text, _ := Of("es").Hard(100, 5, 230); text == "" {
		t.Error("a hard text passes")
	}
}

// Opening marks belong to the sentence that they open.
func TestSpanishSentences(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"¿Qué gira? El eje gira.", []string{"¿Qué gira?", "El eje gira."}},
		{"Las piezas, p. ej. los ejes, giran. La núm. 4 también.", []string{"Las piezas, p. ej. los ejes, giran.", "La núm. 4 también."}},
		{"«Alto.» ¡Pare! Ya está.", []string{"«Alto.»", "¡Pare!", "Ya está."}},
	} {
		var got []string
		for _, s := range Of("es").Sentences(c.text) {
			got = append(got, c.text[s[0]:s[1]])
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%q is %q, want %q", c.text, got, c.want)
		}
	}
}

func TestSpanishUnits(t *testing.T) {
	es := Of("es")
	for _, c := range []struct {
		told, written string
		x             float64
		decimals      int
		want          string
	}{
		{"Hz", "vueltas por minuto", 20, 0, "1200"}, {"Hz", "r/min", 19.95, 0, "1197"}, {"turns", "vueltas", 4.3, 1, "4,3"},
		{"", "por ciento", 0.773, 1, "77,3"}, {"A", "miliamperios", 0.35, 0, "350"}, {"s", "milisegundos", 0.05, 0, "50"},
	} {
		f, ok := es.Factor(c.told, c.written)
		if got := (Number{Decimals: c.decimals, Language: es}).InForm(c.x, f).String(); !ok || got != c.want {
			t.Errorf("%v %s is %s %s, want %s", c.x, c.told, got, c.written, c.want)
		}
	}
	// CLDR: one for 1 and for 1,0, other for all else that pages count.
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{{1, 0, "segundo"}, {1, 1, "segundo"}, {0, 0, "segundos"}, {2, 0, "segundos"}, {1.5, 1, "segundos"}} {
		if got := es.Agree("segundos", Number{Decimals: c.decimals, Language: es}.InForm(c.x, big.NewRat(1, 1))); got != c.want {
			t.Errorf("%v is counted in %s, want %s", c.x, got, c.want)
		}
	}
}

func TestSpanishWords(t *testing.T) {
	es := Of("es")
	for sentence, want := range map[string]int{
		"El eje gira más que antes.":         1,
		"La corriente aumenta.":              1,
		"La tensión cae.":                    1,
		"La onda es más alta.":               1,
		"Es más o menos lo mismo.":           0,
		"La mayor parte del tiempo no gira.": 0,
		"El núcleo sube y baja.":             0,
		"El motor gira.":                     0,
	} {
		if got := es.Comparisons(sentence); len(got) != want {
			t.Errorf("%q compares at %v, want %d", sentence, got, want)
		}
	}
	for text, want := range map[string]bool{"Adivine: ¿a qué velocidad?": true, "¿Qué cree usted?": true, "Nadie lo adivina.": false} {
		if got := es.Guess.MatchString(text); got != want {
			t.Errorf("%q asks to guess: %v", text, got)
		}
	}
	for text, want := range map[string]bool{"Gire el mando.": true, "Mueva el cursor.": true, "Toque la pantalla.": true, "El cuadro de mando es de mármol.": false, "No gire el eje.": false} {
		if got := es.Handles.MatchString(text); got != want {
			t.Errorf("%q names what a screen has: %v", text, got)
		}
	}
	for text, missing := range map[string]bool{
		"Una persona habilitada verifica la ausencia de tensión.": true,
		"Compruebe que todo está sin tensión.":                    true,
		"Una persona habilitada verifica la ausencia de tensión, con un verificador comprobado antes y después en una fuente conocida.": false,
		"Todo está sin tensión.": false,
	} {
		if got := es.Dead.Missing(text) != nil; got != missing {
			t.Errorf("%q lacks how: %v", text, got)
		}
	}
}
