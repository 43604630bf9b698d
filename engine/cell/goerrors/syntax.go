// Package goerrors puts what Go says into our own voice: lower case, the
// author's words in quotes, and a next step. In goes a message of the scanner,
// the parser, the type checker or a panic; out come a text and a hint.
package goerrors

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
)

// What the scanner, the parser and the type checker say is put into our own
// voice here: lower case, the author's words in quotes, and a next step.

const LookAround = "look at this line and the one before it for a missing bracket, comma or quotation mark"

// form pairs a message of Go's with ours. $1 and so on stand for the groups
// of the pattern; they are quoted with %q where written «1».
type form struct {
	pattern    *regexp.Regexp
	text, hint string
}

func forms(rows ...[3]string) []form {
	var out []form
	for _, r := range rows {
		out = append(out, form{regexp.MustCompile("^" + r[0] + "$"), r[1], r[2]})
	}
	return out
}

// say finds the first form that matches and fills it.
func say(fs []form, message string) (text, hint string, ok bool) {
	for _, f := range fs {
		groups := f.pattern.FindStringSubmatch(message)
		if groups == nil {
			continue
		}
		return fill(f.text, groups), fill(f.hint, groups), true
	}
	return "", "", false
}

func fill(text string, groups []string) string {
	for i := 1; i < len(groups); i++ {
		text = strings.ReplaceAll(text, fmt.Sprintf("«%d»", i), fmt.Sprintf("%q", groups[i]))
		text = strings.ReplaceAll(text, fmt.Sprintf("$%d", i), groups[i])
	}
	return text
}

var scanForms = forms(
	[3]string{`illegal character (U\+0023.*)`, `"#" does not begin a comment in a cell`, `begin the comment with //`},
	[3]string{`string literal not terminated`, `this text in quotation marks does not end on its line`, `close it with ", or use backquotes for text of several lines`},
	[3]string{`raw string literal not terminated`, `this text in backquotes is never closed`, "close it with ` in the same cell"},
	[3]string{`rune literal not terminated`, `this single quotation mark has no partner`, `a character stands in single quotation marks, text in double ones`},
	[3]string{`illegal rune literal`, `single quotation marks hold one character`, `write text in double quotation marks`},
	[3]string{`more than one character in rune literal`, `single quotation marks hold one character`, `write text in double quotation marks`},
	[3]string{`empty rune literal.*`, `there is nothing between these quotation marks`, `write text in double quotation marks`},
	[3]string{`comment not terminated`, `this comment is never closed`, `close it with */ in the same cell`},
	[3]string{`unknown escape sequence`, `this backslash begins nothing that Go knows`, `write \\ for a backslash, or put the text in backquotes`},
	[3]string{`invalid digit '8' in octal literal|invalid digit '9' in octal literal`, `a number that begins with 0 is not decimal`, `write it without the 0 before it`},
	[3]string{`illegal character NUL`, `there is a zero byte in this cell`, `remove it; it may have come from another program`},
	[3]string{`illegal UTF-8 encoding`, `these bytes are not text in UTF-8`, `save the lesson as UTF-8`},
	[3]string{`illegal byte order mark`, `there is an invisible byte order mark here`, `delete it and type the characters around it anew`},
)

var illegal = regexp.MustCompile(`^illegal character U\+([0-9A-F]+)`)

// Scan words what the scanner says.
func Scan(message string) (text, hint string) {
	message = strings.TrimSpace(message)
	if text, hint, ok := say(scanForms, message); ok {
		return text, hint
	}
	if strings.HasPrefix(message, "curly quotation mark") {
		return "curly quotation marks cannot enclose text in a cell", `use the plain quotation mark "`
	}
	if g := illegal.FindStringSubmatch(message); g != nil {
		var r rune
		fmt.Sscanf(g[1], "%x", &r)
		return fmt.Sprintf("the character %s does not belong to Go", named(r)), plainFor(r)
	}
	return message, "write the number or text as Go does"
}

// named shows a character with its number where it could be mistaken or not
// be seen.
func named(r rune) string {
	if unicode.IsGraphic(r) && !unicode.IsSpace(r) {
		return fmt.Sprintf("%q (U+%04X)", string(r), r)
	}
	return fmt.Sprintf("U+%04X, which cannot be seen,", r)
}

// plainFor says what to type instead of a character that word processors and
// other keyboards put in place of a plain one.
func plainFor(r rune) string {
	switch {
	case r == '\u2212' || r == '\u2013' || r == '\u2014':
		return "type the minus sign -"
	case r == '×' || r == '·' || r == '\u22c5':
		return "type * to multiply"
	case r == '÷' || r == '\u2215':
		return "type / to divide"
	case r == '≤':
		return "type <="
	case r == '≥':
		return "type >="
	case r == '≠':
		return "type !="
	case r == '\u2018' || r == '\u2019' || r == '\u201c' || r == '\u201d' || r == '«' || r == '»':
		return `use the plain quotation mark "`
	case unicode.IsSpace(r) || !unicode.IsGraphic(r):
		return "delete it, and type a plain space if one is needed"
	}
	return "remove it, or put it in quotation marks if it is text"
}

// StrangeLetter speaks up about a name that holds letters outside a to z:
// two that look alike would be two names, and nobody could see it.
func StrangeLetter(name string) (text, hint string) {
	for _, r := range name {
		if r >= 0x80 {
			return fmt.Sprintf("the name %q holds %s, which is no plain letter", name, named(r)), "write names with the letters a to z, digits and _"
		}
	}
	if strings.HasPrefix(name, "__") {
		return fmt.Sprintf("%q begins with two underscores", name),
			"such names are kept for Slipring itself; choose another"
	}
	return "", ""
}

var syntaxForms = forms(
	[3]string{`expected boolean expression, found assignment.*`, `the condition is an assignment`, `compare with ==`},
	[3]string{`expected boolean expression, found (.+)`, `the condition is a statement`, `write what is to be tested, such as x > 0`},
	[3]string{`unexpected newline, expecting \{ after (if|for|switch) clause`, `the "{" of this $1 is missing`, `write it at the end of the line`},
	[3]string{`missing import path.*`, `this import has no path in quotation marks`, `leave it out; packages are at hand without one`},
	[3]string{`expected ';', found (.+)`, `«1» cannot follow here`, `put each statement on a line of its own, or look for a missing operator or comma before it`},
	[3]string{`expected operand, found (.+)`, `a value is missing before «1»`, LookAround},
	[3]string{`expected statement, found (.+)`, `no statement can begin with «1»`, LookAround},
	[3]string{`expected (.+), found newline`, `the line ends too soon: expected $1`, LookAround},
	[3]string{`expected (.+), found (.+)`, `expected $1 before «2»`, LookAround},
	[3]string{`missing ',' before newline in (.+)`, `a comma is missing at the end of this line`, `in a list over several lines, end each line with a comma`},
	[3]string{`missing ',' in (.+)`, `a comma is missing before this`, LookAround},
	[3]string{`non-name (.+) on left side of :=`, `«1» is not a plain name, so that := cannot make it`, `use = to change something that exists`},
	[3]string{`missing condition in (.+) statement`, `this "$1" has no condition`, `write what is to be tested, such as x > 0`},
	[3]string{`cannot use (.+) as value`, `«1» is a statement, not a value`, `compare with ==; give a value with = on a line of its own`},
	[3]string{`missing function body`, `this function has no body`, `write { on the same line, then what it does, then }`},
	[3]string{`unexpected semicolon or newline before (.+)`, `«1» stands on a line of its own`, `put it at the end of the line before`},
	[3]string{`else must be followed by if or statement block`, `"else" needs an "if" or a { after it`, `put { on the line of the else`},
	[3]string{`exceeded max nesting depth`, `this is nested too deeply to be read`, `split it into parts with names of their own`},
)

// Syntax words what the parser says.
func Syntax(message string) (text, hint string) {
	if text, hint, ok := say(syntaxForms, quoted.ReplaceAllString(message, "$1$2")); ok {
		return text, hint
	}
	return strings.ReplaceAll(message, "'", `"`), LookAround
}

// quoted finds what the parser puts in single quotation marks after "found".
var quoted = regexp.MustCompile(`(found )'(.*)'`)
