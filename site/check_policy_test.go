package site

import (
	"bytes"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// checkPolicies: the content security policy (W3C, Content Security Policy
// Level 3) stands on every page before anything that it governs, lets no other
// host in, and nothing on the page would need one.
func checkPolicies(t *testing.T, dir string, pages []string) {
	for _, page := range pages {
		content, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(page)))
		if err != nil {
			t.Fatal(err)
		}
		root, err := html.ParseWithOptions(bytes.NewReader(content), html.ParseOptionEnableScripting(false)) // with what only pages without scripts show
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range policyFaults(root) {
			t.Errorf("%s: %s", page, fault)
		}
	}
}

// policyFaults lists what is wrong with the policy of a page.
func policyFaults(root *html.Node) (faults []string) {
	policies := 0
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if n.Data == "meta" && strings.EqualFold(attr(n, "http-equiv"), "Content-Security-Policy") {
			policies++
			if n.Parent.Data != "head" {
				faults = append(faults, "the policy stands outside the head, where browsers do not read it")
			}
			faults = append(faults, directiveFaults(attr(n, "content"))...)
		}
		if n.Data == "meta" && strings.EqualFold(attr(n, "http-equiv"), "refresh") {
			faults = append(faults, "the page leads on by itself to "+attr(n, "content"))
		}
		for _, a := range n.Attr {
			loads := a.Key == "src" || a.Key == "srcset" || a.Key == "data" || a.Key == "poster" || a.Key == "action" ||
				a.Key == "href" && n.Data != "a"
			if !loads {
				continue
			}
			if policies == 0 {
				faults = append(faults, "<"+n.Data+"> loads "+a.Val+" before the policy")
			}
			if u, err := url.Parse(a.Val); err != nil || u.IsAbs() || u.Host != "" {
				faults = append(faults, "<"+n.Data+"> loads "+a.Val)
			}
		}
	}
	if policies != 1 {
		faults = append(faults, "the page has no policy, or several")
	}
	return faults
}

// directiveFaults lists what a policy lets in that it should not. default-src
// stands for every kind that is not named; base-uri and form-action it does not
// stand for (CSP Level 3, sections 6.1.3 and 6.3).
func directiveFaults(policy string) (faults []string) {
	rules := map[string][]string{}
	for rule := range strings.SplitSeq(policy, ";") {
		words := strings.Fields(rule)
		if len(words) == 0 {
			continue
		}
		if _, twice := rules[words[0]]; twice {
			faults = append(faults, "the policy has "+words[0]+" twice, of which the second is ignored")
			continue
		}
		rules[words[0]] = words[1:]
	}
	for _, name := range []string{"default-src", "base-uri", "form-action"} {
		if sources := rules[name]; len(sources) != 1 || sources[0] != "'none'" {
			faults = append(faults, "the policy's "+name+" is not 'none' but "+strings.Join(sources, " "))
		}
	}
	for name, sources := range rules {
		for _, source := range sources {
			switch {
			case source == "'none'", source == "'self'", source == "file:":
			case source == "data:" && name == "img-src", source == "blob:" && name == "media-src":
			case strings.HasPrefix(source, "'sha256-"):
			default:
				faults = append(faults, "the policy's "+name+" lets in "+source)
			}
		}
	}
	return faults
}

// Each policy here lets something in that it should not; the first is ours.
func TestPolicyFaults(t *testing.T) {
	const rest = "; base-uri 'none'; form-action 'none'"
	page := func(policy, more string) string {
		return `<html><head><meta http-equiv="Content-Security-Policy" content="` + policy + `">` + more + `</head><body></body></html>`
	}
	for text, want := range map[string]int{
		page(policy(true), `<link rel="stylesheet" href="a.css">`):                            0,
		page("default-src 'none'; style-src https://example.org"+rest, ""):                    1,
		page("default-src 'none'; script-src *"+rest, ""):                                     1,
		page("default-src 'none'; script-src 'unsafe-inline'"+rest, ""):                       1,
		page("default-src 'none'; font-src 'self'; font-src 'none'"+rest, ""):                 1,
		page("default-src 'self'"+rest, ""):                                                   1,
		page("default-src 'none'", ""):                                                        2,
		page("default-src 'none'"+rest, `<script src="//example.org/a.js"></script>`):         1,
		`<html><head><link rel="stylesheet" href="a.css"></head><body></body></html>`:         2,
		page("default-src 'none'"+rest, `<meta http-equiv="refresh" content="1;url=a.html">`): 1,
	} {
		root, err := html.Parse(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if faults := policyFaults(root); len(faults) != want {
			t.Errorf("%s has the faults %q, want %d", text, faults, want)
		}
	}
}
