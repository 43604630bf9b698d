package preview

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"slipring/engine/diag"
)

// site is a small site to ask for; each file holds its own name.
func site(names ...string) map[string][]byte {
	files := map[string][]byte{}
	for _, name := range names {
		files[name] = []byte("this is " + name)
	}
	return files
}

var someNames = []string{
	"index.html", "course/index.html", "course/hunting.html", "course/style.css", "kiosk/index.html",
	"a b/\u00e9t\u00e9.csv", "%2e%2e", "LICENSE",
}

func TestFind(t *testing.T) {
	files := site(someNames...)
	for _, c := range []struct{ asked, key, instead string }{
		{"/", "index.html", ""},
		{"/index.html", "index.html", ""},
		{"/course/", "course/index.html", ""},
		{"/course", "", "/course/"},
		{"/course?lang=fr", "", "/course/?lang=fr"},
		{"/course/index.html?x=../..", "course/index.html", ""},
		{"/course/hunting.html", "course/hunting.html", ""},
		{"/course/%68unting.html", "course/hunting.html", ""},
		{"/a%20b/%C3%A9t%C3%A9.csv", "a b/\u00e9t\u00e9.csv", ""},
		{"/LICENSE", "LICENSE", ""},
		{"/%252e%252e", "%2e%2e", ""}, // a file of that very name, and no parent folder

		{"/none", "", ""},
		{"/course/hunting.html/", "", ""},
		{"/course/hunting.htm", "", ""},
		{"/COURSE/", "", ""},
		{"//", "", ""},
		{"//course/", "", ""},
		{"/course//", "", ""},
		{"/course//hunting.html", "", ""},
		{"/./index.html", "", ""},
		{"/course/.", "", ""},
		{"/course/..", "", ""},
		{"/course/../index.html", "", ""},
		{"/..", "", ""},
		{"/../../etc/passwd", "", ""},
		{"/%2e%2e/%2e%2e/etc/passwd", "", ""},
		{"/%2E%2E", "", ""},
		{"/course%2fhunting.html", "", ""},
		{"/course%2F..%2Findex.html", "", ""},
		{"/..%5c..%5cwindows", "", ""},
		{`/course\hunting.html`, "", ""},
		{"/index.html%00", "", ""},
		{"/index.html%00.css", "", ""},
		{"/index.html%0d%0aX:y", "", ""},
		{"/C:/index.html", "", ""},
		{"/index.html::$DATA", "", ""},
	} {
		u, err := url.ParseRequestURI(c.asked)
		if err != nil {
			t.Fatal(err)
		}
		if key, instead := find(files, u); key != c.key || instead != c.instead {
			t.Errorf("find(%q) = %q, %q, want %q, %q", c.asked, key, instead, c.key, c.instead)
		}
	}
	if key, instead := find(nil, &url.URL{Path: "/"}); key != "" || instead != "" {
		t.Errorf("found %q, %q in no files", key, instead)
	}
	if key, instead := find(files, &url.URL{Path: "*"}); key != "" || instead != "" {
		t.Errorf("found %q, %q for *", key, instead)
	}
}

// Sources: the IANA media types registry, but for audio/wav (WHATWG MIME
// Sniffing, 4.7: audio/wave is the type of a RIFF WAVE; audio/wav is its usual
// other name - common practice, no source).
func TestTypes(t *testing.T) {
	for name, want := range map[string]string{
		"index.html":       "text/html; charset=utf-8",
		"s/style.css":      "text/css; charset=utf-8",
		"s/kiosk.js":       "text/javascript; charset=utf-8",
		"figure.svg":       "image/svg+xml",
		"values.json":      "application/json",
		"contact.csv":      "text/csv; charset=utf-8",
		"Go-Regular.woff":  "font/woff",
		"tone.wav":         "audio/wav",
		"handout.pdf":      "application/pdf",
		"HANDOUT.PDF":      "application/pdf",
		"LICENSE":          "application/octet-stream",
		"a.html.unknown":   "application/octet-stream",
		"folder.css/plain": "application/octet-stream",
	} {
		if got := typeOf(name); got != want {
			t.Errorf("typeOf(%q) = %q, want %q", name, got, want)
		}
	}
}

// FuzzPath asks the whole server for any path. Whatever it says, an answer of
// success holds exactly the file of that name, and a redirection leads to a
// folder of the same server.
func FuzzPath(f *testing.F) {
	for _, seed := range []string{
		"/", "/course", "/course/", "/a%20b/%C3%A9t%C3%A9.csv", "/%2e%2e/x", "/..%5cx", "//evil.example/", "/\\evil.example",
		"/%00", "/course?x#y", "/.rehearse/changes/", "/%252e%252e", "/LICENSE", "*", "http://evil.example/",
	} {
		f.Add(seed)
	}
	files := site(someNames...)
	s := newServer("127.0.0.1:1234", 1)
	s.publish(Build{Files: files})
	f.Fuzz(func(t *testing.T, asked string) {
		u, err := url.ParseRequestURI(asked)
		if err != nil || u.Path == streamPath {
			return
		}
		r := &http.Request{Method: "GET", URL: u, Host: "127.0.0.1:1234", Header: http.Header{}}
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r.WithContext(t.Context()))
		name := strings.TrimPrefix(u.Path, "/")
		if strings.HasSuffix(u.Path, "/") {
			name += "index.html"
		}
		switch w.Code {
		case http.StatusOK:
			want, ok := files[name]
			if !ok {
				t.Fatalf("%q answered with 200, which is no file: %q", asked, w.Body)
			}
			body := w.Body.String()
			if isPage(name) {
				body, _, _ = strings.Cut(body, "<script ")
			}
			if body != string(want) {
				t.Fatalf("%q answered with %q, want %q", asked, body, want)
			}
		case http.StatusFound:
			to := w.Header().Get("Location")
			if !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") {
				t.Fatalf("%q led to %q", asked, to)
			}
			if _, ok := files[name+"/index.html"]; !ok {
				t.Fatalf("%q led to %q, where there is nothing", asked, to)
			}
		case http.StatusNotFound:
			if _, ok := files[name]; ok && !strings.Contains(strings.ToLower(asked), "%2f") && u.Host == "" {
				t.Fatalf("%q was not found", asked)
			}
			if strings.Contains(w.Body.String(), "this is") {
				t.Fatalf("%q was not found, but answered %q", asked, w.Body)
			}
		default:
			t.Fatalf("%q answered %d", asked, w.Code)
		}
	})
}

func TestLoopback(t *testing.T) {
	for address, want := range map[string]string{
		"127.0.0.1:0":    "127.0.0.1:0",
		"127.0.0.1:8080": "127.0.0.1:8080",
		"127.9.9.9:1":    "127.9.9.9:1", // RFC 1122, 3.2.1.3: all of 127/8
		"[::1]:65535":    "[::1]:65535", // RFC 4291, 2.5.3
		"localhost:80":   "127.0.0.1:80",
	} {
		if got, err := loopback(address); err != nil || got != want {
			t.Errorf("loopback(%q) = %q, %v, want %q", address, got, err, want)
		}
	}
	for _, address := range []string{
		":8080", "0.0.0.0:8080", "[::]:8080", "192.168.1.5:8080", "10.0.0.1:0", "8.8.8.8:53", "[fe80::1%eth0]:80", "[::1%lo]:80",
		"example.org:80", "localhost.:80", "localhost.example.org:80", "128.0.0.1:80", "[::2]:80", "127.1:80", "0x7f000001:80",
		"127.0.0.1", "8080", "", "127.0.0.1:", "127.0.0.1:65536", "127.0.0.1:-1", "127.0.0.1:http", "127.0.0.1:080", "127.0.0.1:+1",
	} {
		got, err := loopback(address)
		message, ok := err.(diag.Message)
		if !ok || got != "" || message.Hint == "" || !strings.Contains(message.Text, "cannot listen on") {
			t.Errorf("loopback(%q) = %q, %v, want a refusal with a hint", address, got, err)
		}
	}
}
