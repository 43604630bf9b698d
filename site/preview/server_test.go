package preview

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"slipring/engine/diag"
)

func TestServesTheFiles(t *testing.T) {
	files := map[string][]byte{
		"index.html":        []byte("<!DOCTYPE html><html><head><title>t</title></head><body>start</body></html>"),
		"course/index.html": []byte("course"),
		"style.css":         []byte("p{}"),
		"tone.wav":          []byte("RIFF0123456789"),
		"empty.csv":         {},
	}
	url, _ := begin(t, Config{Rebuild: fixed(files)})
	if !strings.HasPrefix(url, "http://127.0.0.1:") || !strings.HasSuffix(url, "/") {
		t.Fatalf("ready with %q", url)
	}
	for _, c := range []struct {
		path, kind, body string
		status           int
	}{
		{"style.css", "text/css; charset=utf-8", "p{}", 200},
		{"tone.wav", "audio/wav", "RIFF0123456789", 200},
		{"empty.csv", "text/csv; charset=utf-8", "", 200},
		{"course", "", "", 302},
	} {
		answer, body := ask(t, "GET", url+c.path, nil)
		h := answer.Header
		if answer.StatusCode != c.status || body != c.body || h.Get("Content-Type") != c.kind {
			t.Errorf("%s: %d %q %q", c.path, answer.StatusCode, h.Get("Content-Type"), body)
		}
		if h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Cache-Control") != "no-store" || h.Get("Cross-Origin-Resource-Policy") != "same-origin" {
			t.Errorf("%s: headers %v", c.path, h)
		}
	}
	answer, body := ask(t, "GET", url, nil)
	if bare := scriptElement.ReplaceAllString(body, ""); bare != string(files["index.html"]) || bare == body {
		t.Errorf("start page: %d %q", answer.StatusCode, body)
	}
	head, nothing := ask(t, "HEAD", url, nil)
	if head.StatusCode != 200 || nothing != "" || head.ContentLength != int64(len(body)) {
		t.Errorf("HEAD: %d, %d bytes announced, GET has %d; body %q", head.StatusCode, head.ContentLength, len(body), nothing)
	}
	// A browser asks for parts of a sound (RFC 9110, 14).
	part, body := ask(t, "GET", url+"tone.wav", func(r *http.Request) { r.Header.Set("Range", "bytes=4-6") })
	if part.StatusCode != http.StatusPartialContent || body != "012" {
		t.Errorf("range: %d %q", part.StatusCode, body)
	}
	missing, body := ask(t, "GET", url+"gone%3Cb%3E.html", nil)
	if missing.StatusCode != 404 || !strings.Contains(body, "/gone&lt;b&gt;.html") || strings.Contains(body, "<b>") ||
		!strings.Contains(body, attrNone) || !strings.HasPrefix(missing.Header.Get("Content-Type"), "text/html") {
		t.Errorf("missing page: %d %q", missing.StatusCode, body)
	}
}

func TestRefuses(t *testing.T) {
	url, _ := begin(t, Config{Rebuild: fixed(site("index.html"))})
	address := strings.Trim(strings.TrimPrefix(url, "http:"), "/")
	_, port, _ := net.SplitHostPort(address)
	stream := strings.TrimSuffix(url, "/") + streamPath
	host := func(h string) func(*http.Request) { return func(r *http.Request) { r.Host = h } }
	header := func(name, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, value) }
	}
	for _, c := range []struct {
		method, url string
		change      func(*http.Request)
		want        int
	}{
		{"GET", url, nil, 200},
		{"GET", url, host("localhost:" + port), 200},
		{"GET", url, host("LocalHost:" + port), 200},
		{"GET", url, host("evil.example:" + port), 421},
		{"GET", url, host("evil.example"), 421},
		{"GET", url, host("127.0.0.1"), 421},
		{"GET", url, host("127.0.0.1:1"), 421},
		{"GET", url, host("127.0.0.2:" + port), 421},
		{"GET", url, host("localhost.:" + port), 421},
		{"GET", url, host("localhost:" + port + ".evil.example"), 421},
		{"GET", stream, host("evil.example:" + port), 421},
		{"POST", url, nil, 405},
		{"PUT", url, nil, 405},
		{"DELETE", url, nil, 405},
		{"OPTIONS", url, nil, 405},
		{"TRACE", url, nil, 405},
		{"POST", stream, nil, 405},
		{"HEAD", stream, nil, 200},
		{"HEAD", stream, header("Origin", "http://"+address), 200},
		{"HEAD", stream, header("Origin", "http://localhost:"+port), 200},
		{"GET", stream, header("Origin", "http://evil.example"), 403},
		{"GET", stream, header("Origin", "https://"+address), 403},
		{"GET", stream, header("Origin", "http://127.0.0.1"), 403},
		{"GET", stream, header("Origin", "null"), 403}, // a page opened from a file
		{"GET", stream, header("Sec-Fetch-Site", "cross-site"), 403},
		{"GET", stream, header("Sec-Fetch-Site", "same-site"), 403}, // another port of this computer
		{"HEAD", stream, header("Sec-Fetch-Site", "same-origin"), 200},
		{"GET", stream + "/", nil, 404},
		{"GET", url + ".rehearse/", nil, 404},
	} {
		answer, body := ask(t, c.method, c.url, c.change)
		if answer.StatusCode != c.want {
			t.Errorf("%s %.60s: %d, want %d (%.60q)", c.method, c.url, answer.StatusCode, c.want, body)
		}
		if c.want == 405 && answer.Header.Get("Allow") != "GET, HEAD" {
			t.Errorf("%s: allows %q", c.method, answer.Header.Get("Allow"))
		}
		if c.want >= 400 && strings.Contains(body, "this is index.html") {
			t.Errorf("%s %.60s: refused, and sent all the same", c.method, c.url)
		}
	}
	// Requests that no client library makes, sent as they stand.
	for _, c := range []struct{ request, want string }{
		{"GET / HTTP/1.1\r\n\r\n", "400"},
		{"GET / HTTP/1.0\r\n\r\n", "421"},
		{"GET http://evil.example/ HTTP/1.1\r\nHost: " + address + "\r\n\r\n", "421"},
		{"GET /../../etc/passwd HTTP/1.1\r\nHost: " + address + "\r\n\r\n", "404"},
		{"GET /..\\..\\boot.ini HTTP/1.1\r\nHost: " + address + "\r\n\r\n", "404"},
		{"GET /%00 HTTP/1.1\r\nHost: " + address + "\r\n\r\n", "404"},
		{"GET index.html HTTP/1.1\r\nHost: " + address + "\r\n\r\n", "400"},
		{"CONNECT evil.example:80 HTTP/1.1\r\nHost: " + address + "\r\n\r\n", "421"},
		{"CONNECT " + address + " HTTP/1.1\r\nHost: " + address + "\r\n\r\n", "405"},
		{"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", "4"},
		// Cut where the limit is, so that the server reads all of it: what is
		// left unread can make the connection break before the answer is read.
		{("GET /?" + strings.Repeat("x", 30<<10))[:20<<10], "431"},
		{("GET / HTTP/1.1\r\nHost: " + address + "\r\nX-Long: " + strings.Repeat("x", 30<<10))[:20<<10], "431"},
	} {
		conn, err := net.Dial("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(conn, c.request)
		line, err := bufio.NewReader(conn).ReadString('\n')
		conn.Close()
		if _, status, _ := strings.Cut(line, " "); err != nil || !strings.HasPrefix(status, c.want) {
			t.Errorf("%q: %q, %v, want %s", c.request, line, err, c.want)
		}
	}
}

// Messages beside files are shown with the new files: a number that drifted is
// an error, and the page can be made.
func TestPublish(t *testing.T) {
	s := newServer("127.0.0.1:1", 1)
	told := func() (n notice) {
		now, _ := s.now()
		if err := json.Unmarshal(now.notice, &n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	warning := diag.Message{File: "b.md", Line: 1, Level: diag.Warning, Text: "long"}
	s.publish(Build{Files: site("a"), Messages: []diag.Message{warning}})
	if n := told(); len(n.Messages) != 0 {
		t.Errorf("warnings alone: %+v", n)
	}
	s.publish(Build{Files: site("a"), Notes: []diag.Message{{File: "c.md", Line: 4, Column: 2, Level: diag.Warning, Text: "printed", Hint: "x 1\ny 2"}}})
	if n := told(); len(n.Messages) != 0 || len(n.Notes) != 1 || n.Notes[0].Place != "c.md:4:2" || n.Notes[0].Hint != "x 1\ny 2" {
		t.Errorf("a note beside files without a fault: %+v", n)
	}
	long := strings.Repeat("\u00e9", 400)
	s.publish(Build{
		Files:    site("a", "b"),
		Messages: []diag.Message{warning, {File: "a.md", Line: 3, Text: "drifted"}, {Text: "of no file"}},
		Source:   func(file string, line int) string { return fmt.Sprintf("%s %d %s\r\n", file, line, long) },
	})
	n := told()
	now, _ := s.now()
	if len(now.files) != 2 || len(n.Messages) != 3 || n.Messages[0].Text != "of no file" || n.Messages[0].Source != "" ||
		n.Messages[1].Place != "a.md:3:1" || !strings.HasPrefix(n.Messages[1].Source, "a.md 3 \u00e9") ||
		len(n.Messages[1].Source) > longestLine+4 || !n.Messages[2].Warning {
		t.Errorf("error beside files: %d files, %+v", len(now.files), n)
	}
	var many []diag.Message
	for i := range 500 {
		many = append(many, diag.Message{File: "a.md", Line: i + 1, Text: "wrong"})
	}
	s.publish(Build{Messages: many})
	if n := told(); len(n.Messages) != mostShown || n.More != 500-mostShown || n.Messages[0].Place != "a.md:1:1" {
		t.Errorf("many messages: %d and %d more", len(n.Messages), n.More)
	}
	_, changed := s.now()
	s.publish(Build{Messages: many})
	select {
	case <-changed:
		t.Error("the same state was told twice")
	default:
	}
}

// The time that a request may take to arrive does not end a stream.
func TestStreamOutlivesItsRequest(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	s := newServer(l.Addr().String(), 1)
	s.reading = time.Second
	stop := s.serve(ctx, cancel, l)
	open, _ := listen(t, "http://"+s.address)
	open.next(t)
	time.Sleep(s.reading * 3 / 2)
	s.publish(Build{Files: site("index.html")})
	if n := open.next(t); n.Build == "" {
		t.Errorf("after the time for reading: %+v", n)
	}
	cancel()
	if err := stop(); err != nil {
		t.Error(err)
	}
}
