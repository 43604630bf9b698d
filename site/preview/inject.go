package preview

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"net/url"
	"path"
	"slices"
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

//go:embed patch.js
var patchJS string

//go:embed reload.js
var reloadJS string

// script is the reload script as it stands in a page, and its source in the
// words of a content security policy.
type script struct {
	text string
	hash string
}

// newScript puts the script together. Carriage returns go, since a browser
// drops them before it takes the digest.
func newScript() script {
	text := strings.ReplaceAll("(function () {\n\"use strict\";\n"+patchJS+reloadJS+"})();\n", "\r\n", "\n")
	sum := sha256.Sum256([]byte(text))
	return script{text: text, hash: "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"}
}

// Attributes of the script element, which the script reads.
const (
	attrBuild = "data-rehearse"      // which state of the site the page is from
	attrUses  = "data-rehearse-uses" // digest of the files that the page loads
	attrNone  = "data-rehearse-none" // the page is not one of the site
)

// inject gives a page as it is served: the bytes as published, with the script
// element before the end of the head (or at the end of a page without one) and
// with each policy in a meta element widened by the script and the stream of
// changes.
func (s script) inject(page []byte, attributes string) []byte {
	element := "<script " + attributes + ">" + s.text + "</script>"
	var out bytes.Buffer
	out.Grow(len(page) + len(element) + 256)
	z := html.NewTokenizer(bytes.NewReader(page))
	at := 0 // bytes of the page that are dealt with
	for {
		kind := z.Next()
		raw := len(z.Raw())
		switch kind {
		case html.ErrorToken:
			out.Write(page[at:])
			out.WriteString(element)
			return out.Bytes()
		case html.EndTagToken:
			if name, _ := z.TagName(); atom.Lookup(name) == atom.Head {
				// A policy further down has no effect (Content Security
				// Policy Level 3, 3.3), so the rest goes as it is.
				out.WriteString(element)
				out.Write(page[at:])
				return out.Bytes()
			}
		case html.StartTagToken, html.SelfClosingTagToken:
			if t := z.Token(); t.DataAtom == atom.Meta && s.allow(&t) {
				out.WriteString(t.String())
				at += raw
				continue
			}
		}
		out.Write(page[at : at+raw])
		at += raw
	}
}

// allow widens the policy of a meta element; false when it holds none.
func (s script) allow(meta *html.Token) bool {
	policy := -1
	isPolicy := false
	for i, a := range meta.Attr {
		switch a.Key {
		case "http-equiv":
			isPolicy = strings.EqualFold(strings.TrimSpace(a.Val), "content-security-policy")
		case "content":
			policy = i
		}
	}
	if !isPolicy || policy < 0 {
		return false
	}
	meta.Attr[policy].Val = widen(meta.Attr[policy].Val, s.hash)
	return true
}

// widen adds to a content security policy what the reload script needs: itself,
// by its digest, and requests to the server that the page came from. The rules
// are those of Content Security Policy Level 3 (W3C): which directive stands in
// for a missing one (6.8.3), a repeated directive counts not (2.2.1), 'none'
// counts only when alone, and 'unsafe-inline' counts only without digests
// (6.7.3.2), so where it allows the script no digest may be added.
func widen(policy, hash string) string {
	var order []string
	values := map[string][]string{}
	for directive := range strings.SplitSeq(policy, ";") {
		words := strings.Fields(directive)
		if len(words) == 0 {
			continue
		}
		name := strings.ToLower(words[0])
		if _, twice := values[name]; twice {
			continue
		}
		order = append(order, name)
		values[name] = words[1:]
	}
	// allow adds a source to the first of the directives that is there, or else
	// makes the last of them from what default-src says.
	allow := func(source string, directives ...string) {
		into := directives[len(directives)-1]
		from := "default-src"
		for _, d := range directives {
			if _, ok := values[d]; ok {
				into, from = d, d
				break
			}
		}
		present, limited := values[from]
		if !limited || source == hash && allowsInline(present) {
			return
		}
		if into != from {
			order = append(order, into)
		}
		wide := slices.DeleteFunc(slices.Clone(present), func(w string) bool { return strings.EqualFold(w, "'none'") })
		values[into] = append(wide, source)
	}
	allow(hash, "script-src-elem", "script-src")
	allow("'self'", "connect-src")
	var out strings.Builder
	for i, name := range order {
		if i > 0 {
			out.WriteString("; ")
		}
		out.WriteString(strings.Join(append([]string{name}, values[name]...), " "))
	}
	return out.String()
}

// allowsInline says whether sources allow any inline script.
func allowsInline(sources []string) bool {
	any := false
	for _, s := range sources {
		s = strings.ToLower(s)
		if strings.HasPrefix(s, "'nonce-") || strings.HasPrefix(s, "'sha") || s == "'strict-dynamic'" {
			return false
		}
		any = any || s == "'unsafe-inline'"
	}
	return any
}

// uses gives the digest of the files of the site that a page loads by itself:
// when one of them changes the page has to be loaded anew.
func uses(files map[string][]byte, key string) string {
	here := &url.URL{Path: "/" + key}
	sum := sha256.New()
	z := html.NewTokenizer(bytes.NewReader(files[key]))
	for kind := z.Next(); kind != html.ErrorToken; kind = z.Next() {
		if kind != html.StartTagToken && kind != html.SelfClosingTagToken {
			continue
		}
		name, more := z.TagName()
		isLink := atom.Lookup(name) == atom.Link
		for more {
			var key, value []byte
			key, value, more = z.TagAttr()
			if string(key) != "src" && !(isLink && string(key) == "href") {
				continue
			}
			link, err := url.Parse(string(value))
			if err != nil || link.Host != "" || link.Scheme != "" {
				continue
			}
			used := strings.TrimPrefix(path.Clean(here.ResolveReference(link).Path), "/")
			if data, ok := files[used]; ok && !isPage(used) {
				fmt.Fprintf(sum, "%s %d\n", used, len(data))
				sum.Write(data)
			}
		}
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}
