package preview

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
)

// What a policy has to say for a script of a known digest and for requests to
// its own server, by Content Security Policy Level 3: script-src-elem falls
// back on script-src and that on default-src, connect-src on default-src (6.8.3);
// the first of two directives of one name counts (2.2.1); digests switch
// 'unsafe-inline' off (6.7.3.2).
func TestWiden(t *testing.T) {
	const h = "'sha256-H='"
	for _, c := range []struct{ policy, want string }{
		{"default-src 'none'", "default-src 'none'; script-src 'sha256-H='; connect-src 'self'"},
		{"default-src 'none'; style-src 'sha256-S='; script-src 'sha256-P='",
			"default-src 'none'; style-src 'sha256-S='; script-src 'sha256-P=' 'sha256-H='; connect-src 'self'"},
		{"default-src 'none'; script-src-elem 'sha256-P='; script-src 'none'",
			"default-src 'none'; script-src-elem 'sha256-P=' 'sha256-H='; script-src 'none'; connect-src 'self'"},
		{"script-src 'none'; connect-src 'none'", "script-src 'sha256-H='; connect-src 'self'"},
		{"connect-src https://example.org", "connect-src https://example.org 'self'"},
		{"default-src 'self' data:", "default-src 'self' data:; script-src 'self' data: 'sha256-H='; connect-src 'self' data: 'self'"},
		{"default-src 'none'; script-src 'unsafe-inline'", "default-src 'none'; script-src 'unsafe-inline'; connect-src 'self'"},
		{"default-src 'none'; script-src 'unsafe-inline' 'nonce-x'", "default-src 'none'; script-src 'unsafe-inline' 'nonce-x' 'sha256-H='; connect-src 'self'"},
		{"DEFAULT-SRC 'None';; Script-Src 'NONE' ;", "default-src 'None'; script-src 'sha256-H='; connect-src 'self'"},
		{"default-src 'none'; default-src *", "default-src 'none'; script-src 'sha256-H='; connect-src 'self'"},
		{"script-src", "script-src 'sha256-H='"},
		{"img-src data:", "img-src data:"}, // scripts and requests are free
		{"", ""},
	} {
		if got := widen(c.policy, h); got != c.want {
			t.Errorf("widen(%q)\n got %q\nwant %q", c.policy, got, c.want)
		}
	}
}

var scriptElement = regexp.MustCompile(`(?s)<script data-rehearse=.*?</script>`)

// A served page is the published one, byte for byte, but for the script element
// and the policy.
func TestInject(t *testing.T) {
	s := newScript()
	head := "<!DOCTYPE html>\r\n<html lang=en><head><title>a < b & c</title>\n<META NAME=x content='y'>"
	tail := "</HEAD\n><body class=\"a\"  id=b>&nbsp;&#x41;<p>one<p>two<svg><path d='M0'/></svg><!-- </head> --><script>if (a</b/.test(c)) '</head>'</script></body></html>\n"
	for name, page := range map[string]string{
		"with a policy": head + `<meta charset="utf-8"><meta content="default-src 'none'" http-equiv=Content-Security-Policy>` + tail,
		"without":       head + tail,
		"trick":         "<title></head></title><textarea></head></textarea>" + head + tail,
		"no head":       "<p>hello",
		"broken":        "<p <a <<< & </",
		"empty":         "",
		"not UTF-8":     "a\xff\xfe\x00b</head>c",
	} {
		served := string(s.inject([]byte(page), `data-rehearse="1"`))
		if n := len(scriptElement.FindAllString(served, -1)); n != 1 {
			t.Errorf("%s: %d script elements", name, n)
		}
		bare := scriptElement.ReplaceAllLiteralString(served, "")
		want := strings.Replace(page, `<meta content="default-src 'none'" http-equiv=Content-Security-Policy>`,
			`<meta content="default-src &#39;none&#39;; script-src &#39;`+strings.Trim(s.hash, "'")+`&#39;; connect-src &#39;self&#39;" http-equiv="Content-Security-Policy">`, 1)
		if bare != want {
			t.Errorf("%s:\n got %q\nwant %q", name, bare, want)
		}
		if strings.Contains(page, tail) && !strings.Contains(served, "</script></HEAD\n><body") {
			t.Errorf("%s: the script is not at the end of the head", name)
		}
	}
}

func TestScriptText(t *testing.T) {
	text := newScript().text
	if strings.Contains(strings.ToLower(text), "</script") || strings.Contains(text, "<!--") {
		t.Error("the script would end its own element")
	}
	if strings.Contains(text, "\r") {
		t.Error("the script holds carriage returns, which a browser drops before it takes the digest")
	}
	for _, s := range []string{streamPath, attrBuild, attrUses, attrNone} {
		if !strings.Contains(text, `"`+s+`"`) {
			t.Errorf("the script does not know %q", s)
		}
	}
	for _, word := range []string{"innerHTML =", "outerHTML =", "insertAdjacentHTML", "document.write", "eval(", "cssText"} {
		if strings.Contains(text, word) {
			t.Errorf("the script uses %q", word)
		}
	}
}

func TestUses(t *testing.T) {
	files := map[string][]byte{
		"course/a.html":  []byte(`<link rel=stylesheet href="../style.css?v=1"><img src=b.svg><a href="c.csv">c</a><img src="https://example.org/style.css"><iframe src=d.html></iframe>`),
		"style.css":      []byte("one"),
		"course/b.svg":   []byte("one"),
		"course/c.csv":   []byte("one"),
		"course/d.html":  []byte("one"),
		"example/x.html": []byte("one"),
	}
	before := uses(files, "course/a.html")
	for name, matters := range map[string]bool{
		"style.css": true, "course/b.svg": true, "course/c.csv": false, "course/d.html": false, "example/x.html": false,
	} {
		kept := files[name]
		files[name] = []byte("two")
		if changed := uses(files, "course/a.html") != before; changed != matters {
			t.Errorf("a change of %s changes what the page uses: %v, want %v", name, changed, matters)
		}
		files[name] = kept
	}
}

// Both of what serving a page adds, on a page of 600 KB.
func BenchmarkInject(b *testing.B) {
	page := []byte("<html><head></head><body>" + strings.Repeat("<p class=\"text\">Some words <em>about</em> the governor.</p>\n", 10000) + "</body></html>")
	s := newScript()
	b.SetBytes(int64(len(page)))
	files := map[string][]byte{"a.html": page}
	for b.Loop() {
		uses(files, "a.html")
		if !bytes.Contains(s.inject(page, `data-rehearse="1"`), []byte("data-rehearse")) {
			b.Fatal("nothing put in")
		}
	}
}
