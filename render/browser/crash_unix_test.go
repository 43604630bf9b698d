//go:build unix

package browser

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A browser that crashes is started once more, and no third time.
func TestCrashOnce(t *testing.T) {
	for crashes, want := range map[string]string{"1": "", "2": "segmentation fault"} {
		dir := t.TempDir()
		page, program := filepath.Join(dir, "page.html"), filepath.Join(dir, "browser")
		script := "#!/bin/sh\necho x >> " + dir + "/runs\n" +
			"if [ $(wc -l < " + dir + "/runs) -le " + crashes + " ]; then kill -SEGV $$; fi\n" +
			"for a in \"$@\"; do case $a in --print-to-pdf=*) printf '%%PDF-1.7\\n%%%%EOF\\n' > \"${a#--print-to-pdf=}\";; esac; done\n"
		for file, text := range map[string]string{page: "<p>words", program: script} {
			if err := os.WriteFile(file, []byte(text), 0o755); err != nil {
				t.Fatal(err)
			}
		}
		pdf, err := Printer{Program: program}.Print(t.Context(), page)
		if want == "" && (err != nil || !strings.HasPrefix(string(pdf), "%PDF-")) {
			t.Errorf("after %s crash: %q, %v", crashes, pdf, err)
		}
		if want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("after %s crashes: %v, want %s", crashes, err, want)
		}
	}
}
