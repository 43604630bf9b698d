package math

import (
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
)

// body gives what stands between <semantics> and the annotation.
func body(t *testing.T, tex string) string {
	t.Helper()
	m, err := Render(tex, false)
	if err != nil {
		t.Fatalf("%s: %v", tex, err)
	}
	_, rest, _ := strings.Cut(m, "<semantics>")
	inner, _, ok := strings.Cut(rest, "<annotation")
	if !ok {
		t.Fatalf("%s: no annotation in %s", tex, m)
	}
	return inner
}

func TestRender(t *testing.T) {
	const space = `<mspace width="0.1667em"></mspace>`
	for _, c := range []struct{ tex, want string }{
		{`\frac{a}{b}`, `<mfrac><mi>a</mi><mi>b</mi></mfrac>`},
		{`\frac12`, `<mfrac><mn>1</mn><mn>2</mn></mfrac>`},
		{`x^10`, `<msup><mi>x</mi><mn>1</mn></msup><mn>0</mn>`}, // as in TeX
		{`\sqrt x`, `<msqrt><mi>x</mi></msqrt>`},
		{`\sqrt[3]{x+1}`, `<mroot><mrow><mi>x</mi><mo>+</mo><mn>1</mn></mrow><mn>3</mn></mroot>`},
		{`\hat x`, `<mover accent="true"><mi>x</mi><mo stretchy="true">^</mo></mover>`},
		{`\dot\theta`, `<mover accent="true"><mi>θ</mi><mo stretchy="true">˙</mo></mover>`},
		{`x_1^2`, `<msubsup><mi>x</mi><mn>1</mn><mn>2</mn></msubsup>`},
		{`x^2_1`, `<msubsup><mi>x</mi><mn>1</mn><mn>2</mn></msubsup>`},
		{`{}_1x`, `<msub><mrow></mrow><mn>1</mn></msub><mi>x</mi>`},
		{`f'`, `<msup><mi>f</mi><mo>′</mo></msup>`},
		{`f''^2`, `<msup><mi>f</mi><mrow><mo>″</mo><mn>2</mn></mrow></msup>`},
		{`\omega_0`, `<msub><mi>ω</mi><mn>0</mn></msub>`},
		{`\Omega\Delta`, `<mi mathvariant="normal">Ω</mi><mi mathvariant="normal">Δ</mi>`},
		{`19.95`, `<mn>19.95</mn>`},
		{`19{,}95`, `<mn>19,95</mn>`},
		{`1,2`, `<mn>1</mn><mo>,</mo><mn>2</mn>`},
		{`a-b`, `<mi>a</mi><mo>−</mo><mi>b</mi>`},
		{`a<b>c\&d`, `<mi>a</mi><mo>&lt;</mo><mi>b</mi><mo>&gt;</mo><mi>c</mi><mo stretchy="false">&amp;</mo><mi>d</mi>`},
		{`\leq\neq\approx\pm\cdot\infty`, `<mo>≤</mo><mo>≠</mo><mo>≈</mo><mo>±</mo><mo>⋅</mo><mi>∞</mi>`},
		{`\sum_{k=1}^N k`, `<munderover><mo largeop="true" movablelimits="true">∑</mo><mrow><mi>k</mi><mo>=</mo><mn>1</mn></mrow><mi>N</mi></munderover><mi>k</mi>`},
		{`\int_0^1 x`, `<msubsup><mo largeop="true" movablelimits="true">∫</mo><mn>0</mn><mn>1</mn></msubsup><mi>x</mi>`},
		{`\sin x`, `<mi>sin</mi><mo>` + "\u2061" + `</mo>` + space + `<mi>x</mi>`},
		{`2\sin(x)`, `<mn>2</mn>` + space + `<mi>sin</mi><mo>` + "\u2061" + `</mo><mo stretchy="false">(</mo><mi>x</mi><mo stretchy="false">)</mo>`},
		{`\left(\frac ab\right)^2+c`, `<msup><mrow><mo fence="true" stretchy="true">(</mo><mfrac><mi>a</mi><mi>b</mi></mfrac><mo fence="true" stretchy="true">)</mo></mrow><mn>2</mn></msup><mo>+</mo><mi>c</mi>`},
		{`[0,1)`, `<mo stretchy="false">[</mo><mn>0</mn><mo>,</mo><mn>1</mn><mo stretchy="false">)</mo>`},
		{`u_{\mathrm{open}}`, `<msub><mi>u</mi><mi>open</mi></msub>`},
		{`\mathrm{d}x`, `<mi mathvariant="normal">d</mi><mi>x</mi>`},
		{`\mathrm{m\,s^{-1}}`, `<mi mathvariant="normal">m</mi>` + space + `<msup><mi mathvariant="normal">s</mi><mrow><mo>−</mo><mn>1</mn></mrow></msup>`},
		{`3\,\text{turns a second}`, `<mn>3</mn>` + space + "<mtext>turns\u00a0a\u00a0second</mtext>"},
		{`\begin{cases}1&x<0\\2&x\geq 0\end{cases}`, `<mo fence="true" stretchy="true">{</mo><mtable>` +
			`<mtr><mtd class="math-left"><mn>1</mn></mtd><mtd class="math-left"><mi>x</mi><mo>&lt;</mo><mn>0</mn></mtd></mtr>` +
			`<mtr><mtd class="math-left"><mn>2</mn></mtd><mtd class="math-left"><mi>x</mi><mo>≥</mo><mn>0</mn></mtd></mtr></mtable>`},
		{`\begin{aligned}a&=b\\&=c\end{aligned}`, `<mtable displaystyle="true">` +
			`<mtr><mtd class="math-right"><mi>a</mi></mtd><mtd class="math-left"><mo>=</mo><mi>b</mi></mtd></mtr>` +
			`<mtr><mtd class="math-right"></mtd><mtd class="math-left"><mo>=</mo><mi>c</mi></mtd></mtr></mtable>`},
		{`\begin{pmatrix}x\end{pmatrix}`, `<mo fence="true" stretchy="true">(</mo><mtable><mtr><mtd><mi>x</mi></mtd></mtr></mtable><mo fence="true" stretchy="true">)</mo>`},
	} {
		if got := body(t, c.tex); got != "<mrow>"+c.want+"</mrow>" {
			t.Errorf("%s\n got %s\nwant <mrow>%s</mrow>", c.tex, got, c.want)
		}
	}
}

// The formula for the roots of a quadratic equation, as the Mathematical
// Markup Language (MathML) Version 3.0, section 2.1, marks it up (from
// memory), without the rows that only group.
func TestQuadraticFormula(t *testing.T) {
	const published = `<mrow><mi>x</mi><mo>=</mo><mfrac><mrow><mrow><mo>-</mo><mi>b</mi></mrow><mo>±</mo>` +
		`<msqrt><mrow><msup><mi>b</mi><mn>2</mn></msup><mo>-</mo><mrow><mn>4</mn><mi>a</mi><mi>c</mi></mrow></mrow></msqrt></mrow>` +
		`<mrow><mn>2</mn><mi>a</mi></mrow></mfrac></mrow>`
	bare := func(s string) string {
		return strings.NewReplacer("<mrow>", "", "</mrow>", "", "−", "-").Replace(s)
	}
	if got := bare(body(t, `x = \frac{-b \pm \sqrt{b^2 - 4ac}}{2a}`)); got != bare(published) {
		t.Errorf("got  %s\nwant %s", got, bare(published))
	}
}

// A shape on its own shows the letters of the Greek alphabet by their names in
// Unicode.
func TestGreek(t *testing.T) {
	names := "alpha beta gamma delta epsilon zeta eta theta iota kappa lambda mu nu xi pi rho sigma tau upsilon phi chi psi omega"
	letters := []rune("αβγδϵζηθικλμνξπρστυϕχψω")
	for i, name := range strings.Fields(names) {
		if got, want := body(t, `\`+name), "<mrow><mi>"+string(letters[i])+"</mi></mrow>"; got != want {
			t.Errorf("%s: got %s, want %s", name, got, want)
		}
	}
}

func TestDisplay(t *testing.T) {
	inline, _ := Render("x", false)
	block, _ := Render("x", true)
	if strings.Contains(inline, "display") || !strings.HasPrefix(block, `<math xmlns="http://www.w3.org/1998/Math/MathML" display="block">`) {
		t.Errorf("inline %s\nblock %s", inline, block)
	}
}

func TestRefuses(t *testing.T) {
	deep := strings.Repeat(`\sqrt{`, 40) + "x" + strings.Repeat("}", 40)
	for _, c := range []struct {
		tex  string
		at   int
		want string // of the text
	}{
		{``, 0, "is empty"},
		{`   `, 0, "is empty"},
		{`a + \frobnicate{x}`, 4, `"\\frobnicate" is not a command`},
		{`a + \frac{1}{\wibble}`, 13, `"\\wibble"`},
		{`\frac{1}`, 0, `"\\frac" has nothing to go with`},
		{`\frac{1}{}`, 8, `"\\frac" has nothing in its braces`},
		{`\sqrt[3`, 5, `"[" has no partner`},
		{`a}`, 1, `"}" has no partner`},
		{`x + {a`, 4, `"{" has no partner`},
		{`\left( x`, 6, `"\\left" has no partner`},
		{`\left( x \right`, 9, `no bracket that can grow`},
		{`\left a \right)`, 0, `no bracket that can grow`},
		{`\left. x \right(`, 9, `no bracket that can grow`},
		{`x \right)`, 2, `"\\right" has no partner`},
		{`x^2^3`, 3, "two superscripts"},
		{`x_a_b`, 3, "two subscripts"},
		{`x^2'`, 3, "a prime follows a superscript"},
		{`^2`, 0, `"^" has nothing before it`},
		{`x^`, 1, `"^" has nothing to go with`},
		{`a & b`, 2, `"&" cannot stand here`},
		{`a \\ b`, 2, `"\\\\" cannot stand here`},
		{`50 % of`, 3, `"%" cannot stand here`},
		{`$x$`, 0, `"$" cannot stand here`},
		{`#1`, 0, `"#" cannot stand here`},
		{`\begin{tabular}{l} a \end{tabular}`, 0, `"tabular" is not a table`},
		{`\begin{cases} a`, 13, `"\\begin" has no partner`},
		{`\begin{cases} a \end{aligned}`, 16, `closes the table "cases"`},
		{`\begin{cases} & \\ \end{cases}`, 0, "is empty"},
		{`\begin{array}{lc} a \end{array}`, 0, `"array" is not a table`},
		{`\begin{aligned} a \\[2ex] b \end{aligned}`, 20, "space after a line"},
		{`\end{cases}`, 0, `"\\end" has no partner`},
		{`\text{a $x$}`, 8, `"$" cannot stand in text`},
		{`\text{a`, 5, `"{" has no partner`},
		{`\text{}`, 5, "nothing in its braces"},
		{`\newcommand{\x}{y}\x`, 0, `"\\newcommand" cannot be set`},
		{`\def\x{y}`, 0, `"\\def" cannot be set`},
		{`{a \over b}`, 3, `"\\over" cannot be set`},
		{`\color{red} x`, 0, `"\\color" cannot be set`},
		{`a\mathbf{b}`, 1, `"\\mathbf" cannot be set`},
		{`\binom{n}{k}`, 0, `"\\binom" cannot be set`},
		{`\underbrace{a}_b`, 0, `"\\underbrace" cannot be set`},
		{`\operatorname{a_b}`, 15, `"_" cannot stand in text`},
		{`\textcolor{red;background:url(x)}{y}`, 0, `"\\textcolor" cannot be set`},
		{`\class{x}{y}`, 0, `"\\class" cannot be set`},
		{`\href{javascript:alert(1)}{x}`, 0, `"\\href" cannot be set`},
		{`\mathop{<script>}`, 0, `"\\mathop" is not a command`},
		{`\raisebox{1em}{x}`, 0, `"\\raisebox"`},
		{`\LaTeX`, 0, `"\\LaTeX"`},
		{`\varliminf`, 0, `"\\varliminf"`},
		{`\cancel{x}`, 0, `"\\cancel"`},
		{"\\", 0, "a backslash ends"},
		{"x\uE000", 1, "U+E000"},
		{"x\u202e", 1, "U+202E"},
		{"x\x00", 1, "U+0000"},
		{"x\xff", 1, "not text"},
		{"\u0301", 0, "has no letter"},
		{deep, 24 * 6, "more than 24 deep"},
		{strings.Repeat("{", 4000), 24, "more than 24 deep"},
		{strings.Repeat("x", 4001), 4000, "4001 bytes"},
	} {
		m, err := Render(c.tex, true)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%.60q: got %.80q, %v", c.tex, m, err)
			continue
		}
		if m != "" || e.Offset != c.at || !strings.Contains(e.Text, c.want) || e.Hint == "" {
			t.Errorf("%.60q: got byte %d: %s (%s); want byte %d: %s", c.tex, e.Offset, e.Text, e.Hint, c.at, c.want)
		}
	}
}

// Whatever is written, a page gets elements and attributes of the lists alone,
// and the source as text.
func TestHarmless(t *testing.T) {
	for _, tex := range []string{
		`\text{<script>alert(1)</script>}`,
		`\text{" onclick="alert(1)}`,
		`\mathrm{<b>}`,
		`<script>`,
		`x</annotation></semantics></math><script>`,
		`a<!--b-->c`,
		`\text{]]>}`,
		`x \text{&lt;} y`,
	} {
		m, err := Render(tex, true)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) {
				t.Errorf("%q: %v", tex, err)
			}
			continue
		}
		harmless(t, tex, m)
	}
}

// harmless reads MathML back, by a list of its own.
func harmless(t *testing.T, tex, m string) {
	t.Helper()
	// Of MathML Core (W3C), sections 2 and 3, what formulas here need.
	may := strings.Fields("math semantics annotation mrow mfrac msqrt mroot mspace msub msup msubsup munder mover munderover mtable mtr mtd mi mn mo mtext")
	with := strings.Fields("xmlns display encoding accent displaystyle fence largeop lspace mathvariant movablelimits rspace stretchy width class")
	d := xml.NewDecoder(strings.NewReader(m))
	source, inSource := "", false
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%q gives what is no XML: %v\n%s", tex, err, m)
		}
		switch token := token.(type) {
		case xml.StartElement:
			if !slices.Contains(may, token.Name.Local) {
				t.Errorf("%q gives <%s>", tex, token.Name.Local)
			}
			for _, a := range token.Attr {
				if !slices.Contains(with, a.Name.Local) || strings.ContainsAny(a.Value, "<>&;()") {
					t.Errorf("%q gives %s=%q", tex, a.Name.Local, a.Value)
				}
			}
			inSource = token.Name.Local == "annotation"
		case xml.CharData:
			if inSource {
				source += string(token)
			}
		case xml.EndElement:
			inSource = false
		default:
			t.Errorf("%q gives %T", tex, token)
		}
	}
	if source != strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(tex) && source != tex {
		t.Errorf("%q is annotated as %q", tex, source)
	}
}

var seeds = []string{
	`\frac{K\omega}{R}`, `\sqrt[3]{x^2+1}`, `\hat x_1^{2}`, `\sum_{k=1}^{N} \frac{1}{k^2}`,
	`\begin{cases} 0 & x<0 \\ 1 & x \geq 0 \end{cases}`, `\begin{aligned} a &= b+c \\ &= d \end{aligned}`,
	`\left(\frac{a}{b}\right)^2 + f'(x)`, `\mathrm{open}_{\mathbf{d}}`, `\text{if } x<3`, `\begin{array}{lr} a & b \\ c & d\end{array}`,
	`\overset{a}{b}\underbrace{x}_y \binom nk \lim_{x\to0} \max \vec{E}`, `19{,}95\,\% \mathcal{L}`, `\left\{x\right.|y|`,
	`\mathrm{m\,s^{-1}}`, `{}_1^2 X`, `\mathbf{1 2}\mathbf{a1}`,
}

func FuzzRender(f *testing.F) {
	for _, s := range seeds {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, tex string, display bool) {
		m, err := Render(tex, display)
		again, err2 := Render(tex, display)
		if m != again || (err == nil) != (err2 == nil) || err != nil && err.Error() != err2.Error() {
			t.Fatalf("%q gives two results", tex)
		}
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.Offset < 0 || e.Offset > len(tex) || e.Text == "" || e.Hint == "" || m != "" {
				t.Fatalf("%q: %#v", tex, err)
			}
			return
		}
		harmless(t, tex, m)
	})
}

// Every line of the table of symbols in use is a sign and not a structure.
func TestSymbolsAreLeaves(t *testing.T) {
	for _, name := range strings.Fields("forall exists in notin subset cup cap land lor neg to mapsto implies iff ldots cdots prime ell hbar Re Im angle perp parallel sim simeq equiv propto ll gg mp div ast star circ bullet oplus otimes prod oint langle rangle") {
		if _, err := Render(`a \`+name+` b`, false); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkRender(b *testing.B) {
	for b.Loop() {
		if _, err := Render(`A = \frac{g}{\sqrt{(\omega_0^2 - 2\omega^2)^2 + (2\zeta\omega_0\omega)^2}}`, true); err != nil {
			b.Fatal(err)
		}
	}
}
