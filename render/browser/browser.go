// Package browser finds an installed browser of the Chromium family, for
// whoever needs one: the tests that open pages, and printing.
//
//	program, ok := browser.Find()
//
// It installs nothing and starts nothing.
package browser

import "os/exec"

// names are the programs that are looked for: by name on the PATH, and in their
// usual places on macOS and Windows.
var names = [...]string{
	"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge", "microsoft-edge",
	"/Applications/Chromium.app/Contents/MacOS/Chromium",
	"/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
	"/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
	`C:\Program Files\Google\Chrome\Application\chrome.exe`,
	`C:\Program Files (x86)\Google\Chrome\Application\chrome.exe`,
	`C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe`,
	`C:\Program Files\Microsoft\Edge\Application\msedge.exe`,
}

// Find gives the path of the first browser found.
func Find() (program string, ok bool) {
	for _, name := range names {
		if found, err := exec.LookPath(name); err == nil {
			return found, true
		}
	}
	return "", false
}
