package preview

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html"
	"maps"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"slipring/engine/diag"
)

const (
	// streamPath is where pages listen for changes. No file of a site can have
	// this name, since published names do not begin with a dot.
	streamPath = "/.rehearse/changes"

	// beat is the time between two signs of life on a stream.
	beat = 15 * time.Second

	// mostShown is how many messages a page shows; the terminal has them all.
	mostShown = 20

	// longestLine is how much of a source line is shown, in bytes.
	longestLine = 300
)

// server answers requests from the state published last.
type server struct {
	address string   // host:port
	hosts   []string // Host headers that mean this server
	script  script
	slots   chan struct{} // one for each open stream
	reading time.Duration // how long a request may take to arrive

	mu      sync.Mutex
	state   state
	changed chan struct{} // closed when state is replaced
}

// state is one state of the site. It is never changed, only replaced.
type state struct {
	files  map[string][]byte // nil until something could be made
	build  string            // digest of files
	notice []byte            // what the streams tell: a notice as JSON
}

// notice is what a page is told.
type notice struct {
	Build    string    `json:"build"`
	Messages []message `json:"messages"`
	More     int       `json:"more"` // messages beyond those
	Notes    []message `json:"notes,omitempty"`
}

// message is a finding as a page shows it. The page sets it as text.
type message struct {
	Place   string `json:"place"`
	Source  string `json:"source"`
	Warning bool   `json:"warning"`
	Text    string `json:"text"`
	Hint    string `json:"hint"`
}

// newServer makes a server for an address that is listened on. Until the first
// publish it asks for patience.
func newServer(address string, streams int) *server {
	_, port, _ := net.SplitHostPort(address)
	hosts := []string{address, "localhost:" + port}
	if port == "80" {
		// A browser leaves the scheme's own port out.
		for _, h := range hosts {
			hosts = append(hosts, strings.TrimSuffix(h, ":80"))
		}
	}
	s := &server{
		address: address,
		hosts:   hosts,
		script:  newScript(),
		slots:   make(chan struct{}, streams),
		reading: 10 * time.Second,
		changed: make(chan struct{}),
	}
	s.state.notice = tell(notice{Messages: []message{}})
	return s
}

// publish makes a build the state that is served, and tells all pages.
func (s *server) publish(b Build) {
	s.mu.Lock()
	defer s.mu.Unlock()
	next := state{files: b.Files, build: s.state.build}
	if b.Files == nil {
		next.files = s.state.files
	} else {
		next.build = fingerprint(b.Files)
	}
	n := notice{Build: next.build, Messages: []message{}}
	if diag.HasError(b.Messages) {
		found := diag.Sort(slices.Clone(b.Messages))
		n.More = max(0, len(found)-mostShown)
		for _, m := range found[:len(found)-n.More] {
			n.Messages = append(n.Messages, shown(m, b.Source))
		}
	}
	for _, m := range b.Notes[:min(len(b.Notes), mostShown)] {
		n.Notes = append(n.Notes, shown(m, b.Source))
	}
	next.notice = tell(n)
	if bytes.Equal(next.notice, s.state.notice) {
		return
	}
	s.state = next
	close(s.changed)
	s.changed = make(chan struct{})
}

// now gives the state, and what is closed when there is a newer one.
func (s *server) now() (state, <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.state, s.changed
}

// tell writes a notice as one line.
func tell(n notice) []byte {
	line, err := json.Marshal(n)
	if err != nil {
		panic("preview: a notice of plain strings did not become JSON: " + err.Error())
	}
	return line
}

// shown makes a finding ready for a page.
func shown(m diag.Message, source func(string, int) string) message {
	out := message{Place: m.File, Warning: m.Level == diag.Warning, Text: m.Text, Hint: m.Hint}
	if m.File == "" || m.Line <= 0 {
		return out
	}
	out.Place = m.At()
	if source != nil {
		line := strings.TrimRight(source(m.File, m.Line), "\r\n")
		if len(line) > longestLine {
			line = strings.ToValidUTF8(line[:longestLine], "") + " ..."
		}
		out.Source = line
	}
	return out
}

// fingerprint is the digest of a site.
func fingerprint(files map[string][]byte) string {
	sum := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(files)) {
		fmt.Fprintf(sum, "%q %d\n", name, len(files[name]))
		sum.Write(files[name])
	}
	return hex.EncodeToString(sum.Sum(nil)[:12])
}

// ServeHTTP answers one request.
func (s *server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Cache-Control", "no-store")
	h.Set("X-Content-Type-Options", "nosniff")
	// Pages of other origins may neither load nor frame what is rehearsed.
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Content-Security-Policy", "frame-ancestors 'self'")

	// A foreign name that leads to this address (DNS rebinding) shows in Host.
	if !slices.ContainsFunc(s.hosts, func(host string) bool { return strings.EqualFold(host, r.Host) }) {
		refuse(w, http.StatusMisdirectedRequest, "this is a rehearsal at "+s.address+" and nothing else")
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		h.Set("Allow", "GET, HEAD")
		refuse(w, http.StatusMethodNotAllowed, "only GET and HEAD")
		return
	}
	if r.URL.Path == streamPath {
		s.stream(w, r)
		return
	}
	now, _ := s.now()
	key, instead := find(now.files, r.URL)
	switch {
	case instead != "":
		h.Set("Location", instead)
		w.WriteHeader(http.StatusFound)
	case key == "":
		s.nothing(w, r, now)
	case isPage(key):
		h.Set("Content-Type", typeOf(key))
		attributes := fmt.Sprintf(`%s="%s" %s="%s"`, attrBuild, now.build, attrUses, uses(now.files, key))
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(s.script.inject(now.files[key], attributes)))
	default:
		h.Set("Content-Type", typeOf(key))
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(now.files[key]))
	}
}

// refuse answers with one line of plain text.
func refuse(w http.ResponseWriter, status int, why string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(status)
	fmt.Fprintln(w, why)
}

// nothing answers for a path that has no file: as a page of its own, which
// comes to life when the file is made.
func (s *server) nothing(w http.ResponseWriter, r *http.Request, now state) {
	status, title, text := http.StatusNotFound, "No such page", "The site has nothing at "+r.URL.Path+"."
	if now.files == nil {
		status, title, text = http.StatusServiceUnavailable, "Nothing to show yet", "No page could be made yet. This one changes as soon as there is something to show."
	}
	page := fmt.Sprintf(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'">
<meta name="viewport" content="width=device-width">
<title>%s</title>
</head>
<body>
<main>
<h1>%[1]s</h1>
<p>%s</p>
<p><a href="/">To the start page</a></p>
</main>
</body>
</html>
`, title, html.EscapeString(text))
	w.Header().Set("Content-Type", typeOf("index.html"))
	w.WriteHeader(status)
	if r.Method == http.MethodGet {
		w.Write(s.script.inject([]byte(page), fmt.Sprintf(`%s="%s" %s`, attrBuild, now.build, attrNone)))
	}
}

// stream tells a page of the present state and of every later one, as
// server-sent events (HTML Living Standard, 9.2). A page that is slow to listen
// misses states in between, never the last one.
func (s *server) stream(w http.ResponseWriter, r *http.Request) {
	origin := r.Header.Get("Origin")
	site := r.Header.Get("Sec-Fetch-Site")
	own := origin == "" || slices.ContainsFunc(s.hosts, func(host string) bool { return origin == "http://"+host })
	if !own || site != "" && site != "same-origin" && site != "none" {
		refuse(w, http.StatusForbidden, "only the pages of this rehearsal may listen")
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	if r.Method == http.MethodHead {
		return
	}
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	default:
		w.Header().Set("Retry-After", "2")
		refuse(w, http.StatusServiceUnavailable, "too many pages listen; close some")
		return
	}
	control := http.NewResponseController(w)
	tick := time.NewTicker(beat)
	defer tick.Stop()
	var last []byte
	for {
		now, changed := s.now()
		text := ": still here\n\n"
		if !bytes.Equal(now.notice, last) {
			text = "data: " + string(now.notice) + "\n\n"
			last = now.notice
		}
		if control.SetWriteDeadline(time.Now().Add(5*time.Second)) != nil {
			return
		}
		if _, err := w.Write([]byte(text)); err != nil || control.Flush() != nil {
			return
		}
		select {
		case <-changed:
		case <-tick.C:
		case <-r.Context().Done():
			return
		}
	}
}
