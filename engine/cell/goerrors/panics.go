package goerrors

// Fits stands between the number and the type in the panic of a conversion that
// cuts off a fraction.
const Fits = " does not fit into "

// Panic words a panic that is known.
func Panic(text string) (said, hint string, ok bool) { return say(panicForms, text) }

// Patterns of panics of the Go runtime, of package reflect (with which the
// interpreter does what the compiler would do itself) and of the packages
// that cells import.
var panicForms = forms(
	[3]string{`(?:runtime error: |reflect: )?(?:(?:slice|array|string) )?index out of (?:range|bounds).*`,
		`an index is out of range`, `the first element has index 0, the last the length less one; fmt.Println shows both`},
	[3]string{`(?:runtime error: )?slice bounds out of range.*|reflect\.Value\.Slice.*out of bounds`,
		`a part is taken that reaches beyond the list or text`, `compare the bounds in the brackets with len(...)`},
	[3]string{`(?:runtime error: )?integer divide by zero`,
		`a whole number is divided by zero`, `test the divisor first, or use float64`},
	[3]string{`(\S+)` + Fits + `(\w+)`,
		`the number $1 does not fit into a whole number of type $2`, `test its size before it is converted, or keep it as float64`},
	[3]string{`assignment to entry in nil map`,
		`a value is put into a map that was never made`, `make it first, such as m := map[string]float64{}`},
	[3]string{`(?:runtime error: )?invalid memory address or nil pointer dereference|reflect: call of .* on zero Value|reflect: (?:call of nil function|indirection through nil pointer).*|reflect\.Value\.\w+: call of nil.*`,
		`this uses something that was never made: a nil pointer or a nil function`, `give it a value before it is used`},
	[3]string{`(?:runtime error: )?make(?:slice|map|chan): (?:len|cap|size) out of range|reflect\.Make\w+: .*`,
		`a list of impossible length is asked for`, `give make a length of zero or more that fits into memory`},
	[3]string{`(?:runtime error: )?negative shift amount`,
		`a number is shifted by less than nothing`, `shift by zero or more`},
	[3]string{`strings: negative Repeat count`,
		`text is to be repeated less than zero times`, `give strings.Repeat zero or more`},
	[3]string{`strings: Repeat output length overflow|strings\.Builder\.Grow: .*|bytes\.Buffer: too large`,
		`text of impossible length is asked for`, `make it shorter`},
)
