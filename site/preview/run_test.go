package preview

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"slipring/engine/diag"
	"slipring/engine/sweeptest"
)

// begin runs a rehearsal on a real port. The function it returns ends it and
// checks that it ended well; it may be called early.
func begin(t testing.TB, c Config) (url string, end func()) {
	t.Helper()
	if len(c.Watch) == 0 {
		c.Watch = []string{t.TempDir()}
	}
	if c.Poll == 0 {
		c.Poll = 5 * time.Millisecond
		c.Settle = 2 * time.Millisecond
	}
	ctx, cancel := context.WithCancel(context.Background())
	ready := make(chan string, 1)
	ended := make(chan error, 1)
	go func() { ended <- Run(ctx, c, func(url string) { ready <- url }) }()
	over := false
	end = func() {
		cancel()
		if !over {
			over = true
			if err := <-ended; err != nil {
				t.Errorf("Run: %v", err)
			}
		}
	}
	t.Cleanup(end)
	select {
	case url = <-ready:
	case err := <-ended:
		t.Fatalf("Run: %v", err)
	}
	return url, end
}

// fixed is a Rebuild that always gives the same files.
func fixed(files map[string][]byte) func(context.Context, []string) Build {
	return func(context.Context, []string) Build { return Build{Files: files} }
}

// ask makes one request and gives the answer and its body. Redirections are
// not followed, and the connection is not kept.
func ask(t *testing.T, method, url string, change func(*http.Request)) (*http.Response, string) {
	t.Helper()
	r, err := http.NewRequest(method, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Close = true
	if change != nil {
		change(r)
	}
	client := &http.Client{
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
		Timeout:       sweeptest.Patience,
	}
	answer, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, string(body)
}

// stream is an open stream of changes.
type stream struct {
	body  io.ReadCloser
	lines *bufio.Reader
}

// listen opens a stream.
func listen(t testing.TB, url string) (*stream, *http.Response) {
	t.Helper()
	r, err := http.NewRequest("GET", strings.TrimSuffix(url, "/")+streamPath, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Close = true
	answer, err := (&http.Client{}).Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { answer.Body.Close() })
	return &stream{answer.Body, bufio.NewReader(answer.Body)}, answer
}

// next reads one notice.
func (s *stream) next(t testing.TB) (n notice) {
	t.Helper()
	for {
		line, err := s.lines.ReadString('\n')
		if err != nil {
			t.Fatalf("stream: %v", err)
		}
		if data, ok := strings.CutPrefix(line, "data: "); ok {
			if err := json.Unmarshal([]byte(data), &n); err != nil {
				t.Fatalf("stream: %q: %v", data, err)
			}
			return n
		}
	}
}

// save writes a file in one step, so that no look at it finds half of it.
func save(t testing.TB, name, text string) {
	t.Helper()
	half := filepath.Join(filepath.Dir(name), ".half")
	write(t, half, text)
	if err := os.Rename(half, name); err != nil {
		t.Fatal(err)
	}
}

// lessonBuild makes a site of one page from one file. A lesson that holds
// "broken" has an error, and one that holds "nothing" makes no files at all.
func lessonBuild(name string) func(context.Context, []string) Build {
	return func(context.Context, []string) Build {
		text, err := os.ReadFile(name)
		if err != nil {
			return Build{Messages: []diag.Message{{File: "lesson.md", Text: "is gone"}}}
		}
		lines := strings.Split(string(text), "\n")
		b := Build{Files: map[string][]byte{"index.html": text}}
		for i, line := range lines {
			if at := strings.Index(line, "broken"); at >= 0 {
				b.Files = nil
				b.Messages = append(b.Messages, diag.Message{
					File: "lesson.md", Line: i + 1, Column: at + 1, Text: "this is broken", Hint: "mend it"})
			}
		}
		b.Source = func(file string, line int) string { return lines[line-1] }
		return b
	}
}

func TestErrorsComeAndGo(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	save(t, name, "good")
	url, _ := begin(t, Config{Watch: []string{dir}, Rebuild: lessonBuild(name)})
	s, answer := listen(t, url)
	if kind := answer.Header.Get("Content-Type"); answer.StatusCode != 200 || kind != "text/event-stream" {
		t.Fatalf("stream: %d %q", answer.StatusCode, kind)
	}
	page := func() string {
		_, body := ask(t, "GET", url, nil)
		return scriptElement.ReplaceAllString(body, "")
	}
	first := s.next(t)
	if first.Build == "" || len(first.Messages) != 0 || page() != "good" {
		t.Fatalf("at first: %+v, %q", first, page())
	}

	save(t, name, "one\n\ttwo is broken <b>&\r\nthree")
	n := s.next(t)
	want := message{Place: "lesson.md:2:9", Source: "\ttwo is broken <b>&", Text: "this is broken", Hint: "mend it"}
	if n.Build != first.Build || len(n.Messages) != 1 || n.Messages[0] != want || page() != "good" {
		t.Fatalf("broken: %+v, %q", n, page())
	}

	save(t, name, "mended")
	if n = s.next(t); n.Build == first.Build || len(n.Messages) != 0 || page() != "mended" {
		t.Fatalf("mended: %+v, %q", n, page())
	}

	remove(t, name)
	if n = s.next(t); len(n.Messages) != 1 || n.Messages[0].Place != "lesson.md" || page() != "mended" {
		t.Fatalf("deleted: %+v, %q", n, page())
	}
	save(t, name, "good")
	if n = s.next(t); n.Build != first.Build || len(n.Messages) != 0 || page() != "good" {
		t.Fatalf("restored: %+v, %q", n, page())
	}
}

func TestFirstBuildFails(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	save(t, name, "broken")
	url, _ := begin(t, Config{Watch: []string{dir}, Rebuild: lessonBuild(name)})
	answer, body := ask(t, "GET", url+"any/where.html", nil)
	if answer.StatusCode != 503 || !strings.Contains(body, attrNone) {
		t.Errorf("before the first good build: %d %q", answer.StatusCode, body)
	}
	s, _ := listen(t, url)
	if n := s.next(t); n.Build != "" || len(n.Messages) != 1 {
		t.Errorf("before the first good build: %+v", n)
	}
	save(t, name, "good")
	if n := s.next(t); n.Build == "" || len(n.Messages) != 0 {
		t.Errorf("mended: %+v", n)
	}
}

func TestStreamsAreBounded(t *testing.T) {
	url, _ := begin(t, Config{Rebuild: fixed(site("index.html")), Streams: 3})
	var open []*stream
	for range 3 {
		s, answer := listen(t, url)
		if answer.StatusCode != 200 {
			t.Fatalf("stream: %d", answer.StatusCode)
		}
		s.next(t)
		open = append(open, s)
	}
	if _, answer := listen(t, url); answer.StatusCode != 503 || answer.Header.Get("Retry-After") == "" {
		t.Errorf("a stream too many: %d", answer.StatusCode)
	}
	if answer, _ := ask(t, "GET", url, nil); answer.StatusCode != 200 {
		t.Errorf("a page while all streams are taken: %d", answer.StatusCode)
	}
	// A stream that is closed makes room, as soon as the server notices.
	open[0].body.Close()
	for {
		s, answer := listen(t, url)
		if answer.StatusCode == 200 {
			s.next(t)
			return
		}
		time.Sleep(time.Millisecond)
	}
}

func TestRunRefuses(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	dir := t.TempDir()
	never := func(context.Context, []string) Build { t.Error("the site was made"); return Build{} }
	for name, c := range map[string]Config{
		"address": {Watch: []string{dir}, Rebuild: never, Address: "0.0.0.0:0"},
		"taken":   {Watch: []string{dir}, Rebuild: never, Address: taken.Addr().String()},
		"folder":  {Watch: []string{filepath.Join(dir, "none")}, Rebuild: never},
		"rebuild": {Watch: []string{dir}},
	} {
		var m diag.Message
		if err := Run(t.Context(), c, func(string) { t.Error("ready") }); !errors.As(err, &m) || m.Hint == "" {
			t.Errorf("%s: %v, want a message with a hint", name, err)
		}
	}
}

// goroutines waits until there are no more than before, and otherwise fails
// with what still runs.
func goroutines(t *testing.T, before int) {
	t.Helper()
	for end := time.Now().Add(sweeptest.Patience); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if runtime.NumGoroutine() <= before {
			return
		}
	}
	all := make([]byte, 1<<20)
	t.Errorf("%d goroutines, %d before:\n%s", runtime.NumGoroutine(), before, all[:runtime.Stack(all, true)])
}

// Whatever is open when it ends, nothing stays behind: streams that listen, a
// connection kept alive, one that never said a word, one in the middle of a
// header, one that does not read what it asked for, and a rebuild under way.
func TestEndsCleanly(t *testing.T) {
	before := runtime.NumGoroutine()
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	write(t, name, "1")
	big := map[string][]byte{"index.html": []byte("x"), "big.wav": make([]byte, 50<<20)}
	var rebuilds atomic.Int32
	running := make(chan struct{})
	url, end := begin(t, Config{Watch: []string{dir}, Rebuild: func(ctx context.Context, _ []string) Build {
		if rebuilds.Add(1) == 2 {
			close(running)
			<-ctx.Done()
		}
		return Build{Files: big}
	}})
	address := strings.Trim(strings.TrimPrefix(url, "http:"), "/")
	var streams []*stream
	for range 5 {
		s, _ := listen(t, url)
		s.next(t)
		streams = append(streams, s)
	}
	for _, begun := range []string{
		"", "GET / HT", "GET /big.wav HTTP/1.1\r\nHost: " + address + "\r\n\r\n",
		"HEAD / HTTP/1.1\r\nHost: " + address + "\r\n\r\n",
		"GET / HTTP/1.1\r\nHost: " + address + "\r\nContent-Length: 9\r\n\r\n",
	} {
		conn, err := net.Dial("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		fmt.Fprint(conn, begun)
	}
	write(t, name, "2")
	<-running
	end()
	for _, s := range streams {
		if _, err := io.Copy(io.Discard, s.lines); err == nil {
			continue
		}
		s.body.Close()
	}
	if conn, err := net.Dial("tcp", address); err == nil {
		conn.Close()
		t.Error("it still listens")
	}
	goroutines(t, before)
}

// A rehearsal that is ended before or during the first build never gets ready.
func TestEndedAtOnce(t *testing.T) {
	before := runtime.NumGoroutine()
	ctx, cancel := context.WithCancel(context.Background())
	err := Run(ctx, Config{Watch: []string{t.TempDir()}, Rebuild: func(context.Context, []string) Build {
		cancel()
		return Build{}
	}}, func(string) { t.Error("ready") })
	if err != nil {
		t.Errorf("Run: %v", err)
	}
	goroutines(t, before)
}

// Two hundred rapid saves over the real server while pages listen: broken ones
// and a deletion among them, and at the end everyone has the last one.
func TestTwoHundredRapidSaves(t *testing.T) {
	before := runtime.NumGoroutine()
	dir := t.TempDir()
	name := filepath.Join(dir, "lesson.md")
	write(t, name, "first")
	var running, most atomic.Int32
	make := lessonBuild(name)
	url, end := begin(t, Config{Watch: []string{dir}, Rebuild: func(ctx context.Context, changed []string) Build {
		most.Store(max(most.Load(), running.Add(1)))
		defer running.Add(-1)
		return make(ctx, changed)
	}})
	a, _ := listen(t, url)
	b, _ := listen(t, url)
	for i := range 200 {
		switch {
		case i%50 == 49:
			remove(t, name)
		case i%7 == 0:
			write(t, name, fmt.Sprintf("broken %d", i))
		default:
			write(t, name, fmt.Sprintf("save %d", i))
		}
		time.Sleep(time.Duration(i%5) * time.Millisecond)
	}
	write(t, name, "last")
	last := fingerprint(map[string][]byte{"index.html": []byte("last")})
	for _, s := range []*stream{a, b} {
		for {
			if n := s.next(t); n.Build == last && len(n.Messages) == 0 {
				break
			}
		}
		s.body.Close()
	}
	if _, body := ask(t, "GET", url, nil); !strings.HasPrefix(body, "last") {
		t.Errorf("in the end: %.40q", body)
	}
	if most.Load() != 1 {
		t.Errorf("%d rebuilds at once", most.Load())
	}
	end()
	goroutines(t, before)
}
