// Package browser finds an installed browser of the Chromium family, and prints
// pages with it.
//
//	program, ok := browser.Find()
//	printer := browser.NewPrinter(program, 0)
//	defer printer.Close()
//	pdf, err := printer.Print(ctx, "/site/handout/first.html")
//
// It installs nothing, and what it starts asks no other host for anything.
package browser

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
)

// Find gives the path of the first browser found: on the PATH, then in the
// usual places of the system.
func Find() (program string, ok bool) {
	for _, name := range names(runtime.GOOS, os.Getenv) {
		if found, err := exec.LookPath(name); err == nil {
			return found, true
		}
	}
	return "", false
}

// names lists what is looked for on a system, given its environment. These are
// the places that the browsers' own installers choose (common practice, no
// source).
func names(system string, env func(string) string) []string {
	list := []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge", "microsoft-edge-stable", "msedge"}
	switch system {
	case "windows":
		for _, folder := range []string{"ProgramFiles", "ProgramFiles(x86)", "LocalAppData"} {
			if env(folder) == "" {
				continue
			}
			for _, name := range []string{`Chromium\Application\chrome.exe`, `Google\Chrome\Application\chrome.exe`, `Microsoft\Edge\Application\msedge.exe`} {
				list = append(list, env(folder)+`\`+name)
			}
		}
	case "darwin":
		for _, folder := range []string{"/Applications", filepath.Join(env("HOME"), "Applications")} {
			for _, name := range []string{"Chromium", "Google Chrome", "Microsoft Edge"} {
				list = append(list, folder+"/"+name+".app/Contents/MacOS/"+name)
			}
		}
	default:
		list = append(list, "/usr/bin/chromium", "/usr/lib/chromium/chromium", "/snap/bin/chromium",
			"/opt/google/chrome/chrome", "/opt/microsoft/msedge/msedge")
	}
	return list
}
