package math

// The names are those of TeX and of amsmath. Which sign is an operator, and
// with which spaces, is told by the operator dictionary of MathML Core.

// spaces in em, as TeX has them (18 mu to the em)
var spaces = map[string]string{
	",": "0.1667", ":": "0.2222", ";": "0.2778", "!": "-0.1667", " ": "0.25", "quad": "1", "qquad": "2",
}

var letters = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ϵ", "varepsilon": "ε", "zeta": "ζ", "eta": "η",
	"theta": "θ", "vartheta": "ϑ", "iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ",
	"pi": "π", "varpi": "ϖ", "rho": "ρ", "varrho": "ϱ", "sigma": "σ", "varsigma": "ς", "tau": "τ", "upsilon": "υ",
	"phi": "ϕ", "varphi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω",
	"Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Xi": "Ξ", "Pi": "Π", "Sigma": "Σ", "Upsilon": "Υ",
	"Phi": "Φ", "Psi": "Ψ", "Omega": "Ω",
	"ell": "ℓ", "hbar": "ℏ", "Re": "ℜ", "Im": "ℑ", "partial": "∂", "nabla": "∇", "infty": "∞", "emptyset": "∅",
	"forall": "∀", "exists": "∃", "neg": "¬", "angle": "∠", "degree": "°", "prime": "′", "therefore": "∴",
	"dots": "…", "ldots": "…", "cdots": "⋯", "vdots": "⋮", "ddots": "⋱",
}

var signs = map[string]string{
	"pm": "±", "mp": "∓", "times": "×", "div": "÷", "cdot": "⋅", "ast": "∗", "star": "⋆", "circ": "∘", "bullet": "•",
	"oplus": "⊕", "otimes": "⊗", "leq": "≤", "le": "≤", "geq": "≥", "ge": "≥", "neq": "≠", "ne": "≠", "ll": "≪", "gg": "≫",
	"approx": "≈", "sim": "∼", "simeq": "≃", "cong": "≅", "equiv": "≡", "propto": "∝", "perp": "⊥", "parallel": "∥",
	"in": "∈", "notin": "∉", "ni": "∋", "subset": "⊂", "subseteq": "⊆", "supset": "⊃", "supseteq": "⊇",
	"cup": "∪", "cap": "∩", "setminus": "∖", "land": "∧", "wedge": "∧", "lor": "∨", "vee": "∨", "mid": "∣",
	"to": "→", "rightarrow": "→", "leftarrow": "←", "leftrightarrow": "↔", "uparrow": "↑", "downarrow": "↓", "mapsto": "↦",
	"longrightarrow": "⟶", "Rightarrow": "⇒", "Leftarrow": "⇐", "Leftrightarrow": "⇔", "implies": "⟹", "iff": "⟺",
	"langle": "⟨", "rangle": "⟩", "lfloor": "⌊", "rfloor": "⌋", "lceil": "⌈", "rceil": "⌉",
}

// large signs; those whose names end in int have their limits at the side
var large = map[string]string{
	"sum": "∑", "prod": "∏", "bigcup": "⋃", "bigcap": "⋂", "int": "∫", "iint": "∬", "iiint": "∭", "oint": "∮",
}

var functions = []string{
	"sin", "cos", "tan", "cot", "sec", "csc", "arcsin", "arccos", "arctan", "sinh", "cosh", "tanh", "coth",
	"ln", "log", "lg", "exp", "dim", "deg", "ker", "hom",
}

// limiting functions have what stands below them right below
var limiting = []string{"lim", "max", "min", "sup", "inf", "det", "gcd", "Pr"}

var accents = map[string]string{
	"hat": "^", "widehat": "^", "bar": "¯", "overline": "‾", "vec": "⃗",
	"dot": "˙", "ddot": "¨", "tilde": "~", "widetilde": "~",
}

const (
	noMacros    = "write the formula out; commands cannot be defined"
	growing     = `write \left and \right`
	plainFrac   = `write \frac{...}{...}`
	otherLetter = `choose another letter, or give it an index in \mathrm`
	inWords     = "say it in the words beside the formula"
)

// refused commands are known to TeX and cannot be set here, each with what to
// do instead.
var refused = map[string]string{
	"newcommand": noMacros, "renewcommand": noMacros, "def": noMacros, "let": noMacros,
	"over": plainFrac, "atop": plainFrac, "cfrac": plainFrac, "choose": inWords, "binom": inWords, "tbinom": inWords,
	"big": growing, "Big": growing, "bigg": growing, "Bigg": growing, "bigl": growing, "Bigl": growing, "biggl": growing,
	"Biggl": growing, "bigr": growing, "Bigr": growing, "biggr": growing, "Biggr": growing,
	"mathbf": otherLetter, "boldsymbol": otherLetter, "mathbb": otherLetter, "mathcal": otherLetter, "mathscr": otherLetter,
	"mathfrak": otherLetter, "mathit": otherLetter, "mathsf": otherLetter, "mathtt": otherLetter, "bf": otherLetter,
	"overset": inWords, "underset": inWords, "overbrace": inWords, "underbrace": inWords,
	"underline": "leave it out",
	"middle":    "write a plain bar", "limits": "leave it out", "nolimits": "leave it out",
	"not": `write the negated sign itself, such as \neq`, "color": "leave colours to the page", "textcolor": "leave colours to the page",
	"href": "put the link into the text", "class": "leave it out", "tag": "number the formula in the text",
	"mbox": `write \text{...}`, "textrm": `write \text{...}`, "rm": `write \mathrm{...}`,
	"cr": `write \\`, "hline": "leave it out", "displaystyle": `write \dfrac for a large fraction`,
}
