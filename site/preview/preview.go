// Package preview is the server behind a rehearsal: it shows the pages of a
// site that is held in memory, watches the folders they are made from, has the
// site made anew when something in them changes, and tells the open pages, which
// then update in place.
//
// Begin with [Run]. It is given one function that makes the site, and knows
// nothing else about lessons.
//
// It is for the author's own computer: it listens on the loopback address
// alone, speaks plain HTTP, and is no web server for visitors. It writes
// nothing to disk.
package preview

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"sync"
	"time"

	"slipring/engine/diag"
)

// Config says what to watch, where to listen and how the site is made.
type Config struct {
	// Watch lists the folders whose files the site is made from. A link to a
	// folder is followed when it is listed here, not when it is inside one.
	// Names that begin with a dot or end with "~" are passed over.
	Watch []string

	// Address is the host and port to listen on; the host must be a loopback
	// address or "localhost". Default: 127.0.0.1 and any free port.
	Address string

	// Rebuild makes the site. The files that changed since it was called last
	// are named by their paths below the watched folders; the first call has
	// none. It is never called twice at once, and Run waits for it, so it
	// should return soon after ctx is done.
	Rebuild func(ctx context.Context, changed []string) Build

	// Settle is how long the files must be still before the site is made anew,
	// so that several quick saves are one rebuild. Files that are never still
	// are waited for twenty times as long. Default: 30 ms.
	Settle time.Duration

	// Poll is the time between two looks at the files. Default: 100 ms.
	Poll time.Duration

	// Streams is how many pages may listen for changes at once; further ones
	// are shown but told to ask again later. Default: 32.
	Streams int
}

// Build is one making of the site.
type Build struct {
	// Files is the whole site by slash path. When it is nil nothing could be
	// made, and the files of the build before stay.
	Files map[string][]byte

	// Messages is what was found on the way. As long as an error is among
	// them, they are shown over every page. Warnings alone are not shown.
	Messages []diag.Message

	// Notes is what the author wanted to see, such as what cells printed. It is
	// shown over every page, whether anything is wrong or not; its levels mean
	// nothing. Default: nothing.
	Notes []diag.Message

	// Source gives one line of a file as the author wrote it, counted from 1,
	// or "". It is asked about the places of Messages and Notes. Default: no lines shown.
	Source func(file string, line int) string
}

// defaults fills in what was left out.
func (c Config) defaults() Config {
	if c.Address == "" {
		c.Address = "127.0.0.1:0"
	}
	if c.Settle <= 0 {
		c.Settle = 30 * time.Millisecond
	}
	if c.Poll <= 0 {
		c.Poll = 100 * time.Millisecond
	}
	if c.Streams <= 0 {
		c.Streams = 32
	}
	return c
}

// Run serves the site until ctx is done and then returns nil, with all
// connections closed. It listens first, so that a taken port is an error at
// once, then makes the site, then calls ready (which may be nil) with the
// address of the start page. What cannot be watched or listened on is returned
// as a [diag.Message]; an error of the listener later on is returned as it is.
func Run(ctx context.Context, c Config, ready func(url string)) error {
	c = c.defaults()
	if c.Rebuild == nil {
		return diag.Message{Text: "a rehearsal needs a function that makes the site", Hint: "set Rebuild"}
	}
	if err := watchable(c.Watch); err != nil {
		return err
	}
	address, err := loopback(c.Address)
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return diag.Message{
			Text: fmt.Sprintf("cannot listen on %q: %v", c.Address, err),
			Hint: "choose another port, or leave the address out for any free one",
		}
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()

	s := newServer(listener.Addr().String(), c.Streams)
	stop := s.serve(ctx, cancel, listener)
	c.loop(ctx, s, func() {
		if ready != nil {
			ready("http://" + s.address + "/")
		}
	})
	return stop()
}

// loop makes the site once and then after every change, until ctx is done. It
// is the only caller of Rebuild, and looks at the files in between, so two
// rebuilds never overlap and all that changes during one is the reason for the
// next.
func (c Config) loop(ctx context.Context, s *server, ready func()) {
	w := newWatcher(c.Watch)
	s.publish(c.Rebuild(ctx, nil))
	if ctx.Err() != nil {
		return
	}
	ready()
	for {
		changed := w.wait(ctx, c.Poll, c.Settle)
		if ctx.Err() != nil {
			return
		}
		s.publish(c.Rebuild(ctx, changed))
	}
}

// loopback gives the address to listen on, or refuses one that others could
// reach.
func loopback(address string) (string, error) {
	refuse := func(reason string) error {
		return diag.Message{
			Text: fmt.Sprintf("cannot listen on %q: %s", address, reason),
			Hint: "a rehearsal is for this computer only: give 127.0.0.1 and a port, such as 127.0.0.1:8080",
		}
	}
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return "", refuse("it is not a host and a port")
	}
	if n, err := strconv.ParseUint(port, 10, 16); err != nil || strconv.FormatUint(n, 10) != port {
		return "", refuse("the port is not a number from 0 to 65535")
	}
	if host == "localhost" {
		// Not looked up: a name server could answer with anything.
		host = "127.0.0.1"
	}
	ip, err := netip.ParseAddr(host)
	if err != nil || !ip.IsLoopback() || ip.Zone() != "" {
		return "", refuse("it is not a loopback address")
	}
	return net.JoinHostPort(host, port), nil
}

// serve answers requests in the background, and calls cancel when it cannot any
// more. The function it returns, to be called once ctx is done, ends that: requests under way get a moment to
// finish, then their connections are closed, and it returns when none is left.
func (s *server) serve(ctx context.Context, cancel func(), l net.Listener) (stop func() error) {
	var connections sync.WaitGroup
	h := &http.Server{
		Handler:           s,
		BaseContext:       func(net.Listener) context.Context { return ctx },
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       s.reading,
		WriteTimeout:      30 * time.Second,
		IdleTimeout:       time.Minute,
		MaxHeaderBytes:    16 << 10,
		// What a broken client did is nothing the author could mend.
		ErrorLog: log.New(io.Discard, "", 0),
		ConnState: func(_ net.Conn, state http.ConnState) {
			switch state {
			case http.StateNew:
				connections.Add(1)
			case http.StateClosed, http.StateHijacked:
				connections.Done()
			}
		},
	}
	ended := make(chan error, 1)
	go func() {
		ended <- h.Serve(l)
		cancel()
	}()
	return func() error {
		moment, done := context.WithTimeout(context.Background(), 500*time.Millisecond)
		defer done()
		if h.Shutdown(moment) != nil {
			h.Close()
		}
		err := <-ended
		// Every connection was counted before Serve returned.
		connections.Wait()
		if errors.Is(err, http.ErrServerClosed) {
			return nil
		}
		return fmt.Errorf("the preview stopped: %w", err)
	}
}
