package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"slipring/engine/diag"
	"slipring/engine/folder"
	"slipring/engine/replace"
	"slipring/render/browser"
	"slipring/site"
	"slipring/site/publish"
)

// papers gives the size of each paper as style sheets write it: that of
// ISO 216, and that of ANSI/ASME Y14.1 size A. A3 is for charts on the wall.
func papers() map[string]string {
	return map[string]string{"A4": "210mm 297mm", "A3": "297mm 420mm", "Letter": "8.5in 11in"}
}

// printing is what one run of print was asked for.
type printing struct {
	options
	out      string
	paper    string
	editions []string
	program  string
	patience time.Duration
}

// printSheets is the command print: it runs all lessons as publish does and
// makes PDFs of their handouts. find looks for a browser.
func printSheets(ctx context.Context, args []string, stdout, stderr io.Writer, find func() (string, bool)) int {
	began := time.Now()
	p, code := readPrinting(args, stdout, stderr)
	if code >= 0 {
		return code
	}
	if p.program == "" {
		found, ok := find()
		if !ok {
			fmt.Fprintf(stderr, "slipring print: no browser of the Chromium family was found (Chromium, Chrome or Edge)\n"+
				"    install one, or name it with -browser; or publish, open %s and print each sheet by hand\n",
				filepath.Join("visit", "handout", "index.html"))
			return exitWrong
		}
		p.program = found
	}
	in := folder.Open(p.lessons)
	defer in.Close()
	w, tree, messages := buildSite(ctx, p.options, in, p.cache(), stderr)
	if diag.HasError(messages) {
		fmt.Fprintf(stderr, "%s\nnothing was printed; %s is as it was\n", w.summary(), p.out)
		return exitWrong
	}
	sheets := slices.DeleteFunc(site.Sheets(w.input()), func(s site.Sheet) bool { return !slices.Contains(p.editions, s.Edition) })
	done, err := p.all(ctx, tree, sheets, newProgress(stderr))
	if ctx.Err() != nil {
		fmt.Fprintf(stderr, "slipring print: stopped; %s of %d written\n", count(done, "sheet"), len(sheets))
		return exitWrong
	}
	if err != nil {
		fmt.Fprintf(stderr, "slipring print: %v\n    the pages can be printed by hand: publish, and open %s\n", err, filepath.Join("visit", "handout", "index.html"))
		return exitWrong
	}
	fmt.Fprintf(stdout, "%s, %.1f s\n", w.summary(), time.Since(began).Seconds())
	fmt.Fprintf(stdout, "%s on %s in %s\n", count(done, "sheet"), p.paper, p.out)
	return exitClean
}

// readPrinting reads the flags. The returned code is negative when the command
// is to go on.
func readPrinting(args []string, stdout, stderr io.Writer) (printing, int) {
	var p printing
	flags := flag.NewFlagSet("print", flag.ContinueOnError)
	flags.StringVar(&p.out, "out", "prints", "write the PDFs into `DIR`")
	flags.StringVar(&p.paper, "paper", "A4", "size of the paper: A4, Letter or A3")
	editions := flags.String("edition", strings.Join(site.SheetEditions(), ","), "sheets to print, with commas between")
	flags.StringVar(&p.program, "browser", "", "print with the browser at `PATH`; one is looked for when left out")
	flags.DurationVar(&p.patience, "patience", browser.DefaultPatience, "longest time for printing one sheet")
	if code := p.parse(flags, args, stdout, stderr); code >= 0 {
		return p, code
	}
	wrong := func(text, hint string) (printing, int) {
		fmt.Fprintf(stderr, "slipring print: %s\n    %s\n", text, hint)
		return p, exitUsage
	}
	known := false
	for name := range papers() {
		if strings.EqualFold(name, p.paper) {
			p.paper, known = name, true
		}
	}
	if !known {
		return wrong(fmt.Sprintf("there is no paper %q", p.paper), "-paper is A4, Letter or A3")
	}
	for name := range strings.SplitSeq(*editions, ",") {
		name = strings.TrimSpace(name)
		if !slices.Contains(site.SheetEditions(), name) {
			return wrong(fmt.Sprintf("there is no edition %q", name), "editions are "+strings.Join(site.SheetEditions(), ", "))
		}
		p.editions = append(p.editions, name)
	}
	if p.patience <= 0 {
		return wrong("-patience has to be longer than 0", "write it like 90s or 2m")
	}
	if isPublished(p.out) {
		return wrong(fmt.Sprintf("%q is in a folder of published pages, and the next publish would remove the PDFs", p.out), "name another folder with -out")
	}
	if p.program != "" {
		if info, err := os.Stat(p.program); err != nil || info.IsDir() {
			return wrong(fmt.Sprintf("there is no browser %q", p.program), "name its program, or leave -browser out and one is looked for")
		}
	}
	return p, -1
}

// isPublished says whether a folder is one that publish replaces, or lies in one.
func isPublished(dir string) bool {
	dir, err := filepath.Abs(dir)
	for err == nil {
		if _, missing := os.Stat(filepath.Join(dir, publish.Marker)); missing == nil {
			return true
		}
		if dir == filepath.Dir(dir) {
			break
		}
		dir = filepath.Dir(dir)
	}
	return false
}

// all prints sheets side by side, and says how many it has written. It goes on
// to none after one has failed.
func (p printing) all(ctx context.Context, tree publish.Tree, sheets []site.Sheet, bar *progress) (int, error) {
	if err := os.MkdirAll(p.out, 0o755); err != nil {
		return 0, err
	}
	dir, err := os.MkdirTemp("", "slipring-pages-")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	if err := lay(tree, sheets, dir, papers()[p.paper]); err != nil {
		return 0, err
	}
	workers := p.workers
	if workers == 0 {
		workers = runtime.NumCPU()
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	next := make(chan site.Sheet)
	var wait sync.WaitGroup
	var lock sync.Mutex
	var first error
	done := 0
	for range min(workers, max(len(sheets), 1)) {
		wait.Go(func() {
			printer := browser.NewPrinter(p.program, p.patience)
			defer printer.Close()
			for s := range next {
				err := p.one(ctx, printer, dir, s)
				lock.Lock()
				if err == nil {
					done++
					bar.show(done, len(sheets), s.Name())
				} else if first == nil {
					first = fmt.Errorf("%s: %w", s.Name(), err)
					cancel()
				}
				lock.Unlock()
			}
		})
	}
	for _, s := range sheets {
		if ctx.Err() != nil {
			break
		}
		next <- s
	}
	close(next)
	wait.Wait()
	bar.end()
	return done, first
}

// lay writes the sheets into a folder, with what they load, and with the size of
// the paper. A page asks for it itself, so that nothing has to be said to the
// browser.
func lay(tree publish.Tree, sheets []site.Sheet, dir, size string) error {
	for _, name := range slices.Sorted(maps.Keys(tree)) {
		isSheet := slices.ContainsFunc(sheets, func(s site.Sheet) bool { return s.Path == name })
		if !isSheet && !strings.HasPrefix(name, "look/") && !slices.Contains([]string{".png", ".jpg", ".jpeg"}, path.Ext(name)) {
			continue
		}
		content := tree[name]
		if name == "look/common.css" {
			wide, high, _ := strings.Cut(size, " ")
			content = fmt.Appendf(slices.Clone(content), "\n@page { size: %s; }\n@page across { size: %s %s; }\n", size, high, wide)
		}
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(file, content, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// one prints one sheet and puts it in its place, whole or not at all.
func (p printing) one(ctx context.Context, printer *browser.Printer, dir string, s site.Sheet) error {
	pdf, err := printer.Print(ctx, filepath.Join(dir, filepath.FromSlash(s.Path)))
	if err != nil {
		return err
	}
	return replace.File(filepath.Join(p.out, s.Name()+".pdf"), pdf, 0o644, replace.Lasting)
}
