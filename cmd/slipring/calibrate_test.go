package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// calibrateIn runs the command in a folder with the shipped card and readings.
func calibrateIn(t *testing.T, readings string, flags ...string) (code int, stdout, stderr string) {
	t.Helper()
	return calibrateFolder(t, map[string]string{"readings/first.csv": readings}, flags...)
}

// calibrateFolder runs it in a folder with the shipped card and these files.
func calibrateFolder(t *testing.T, files map[string]string, flags ...string) (code int, stdout, stderr string) {
	t.Helper()
	dir := t.TempDir()
	source, err := os.ReadFile("../../lessons/cards/bell-current-set.toml")
	if err != nil {
		t.Fatal(err)
	}
	files["cards/bell-current-set.toml"], files["house.toml"] = string(source), ""
	for name, text := range files {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	var out, errs bytes.Buffer
	code = run(t.Context(), append(append([]string{"calibrate"}, flags...), dir), &out, &errs)
	return code, out.String(), strings.ReplaceAll(errs.String(), dir+string(filepath.Separator), "")
}

// Readings beside a lesson count as those in the folder of all do, but for those
// of its steps alone.
func TestCalibrateBesideLessons(t *testing.T) {
	const lines = "2026-11-01;docent;speed;16,654;Hz;0,005;;;idle\n2026-11-01;docent;contact open;62,9;%;0,5;;;idle\n"
	const lesson = "```lesson\ntitle = \"Read\"\ndata = [\"day.csv\"]\n```\n"
	more := strings.Replace(readingHeads, "role;", "role;expect;", 1) + strings.ReplaceAll(lines, "docent;", "docent;;") + "2026-11-01;docent;volts;;48,6;V;;;;\n"
	const first = "2026-11-02;docent;motor.armature-resistance;0,53;ohm;;ohmmeter;1 %;\n"
	flags := []string{"-json", "-constants", "governor.contact-speed,motor.armature-resistance"}
	code, want, stderr := calibrateIn(t, readingHeads+first+lines, flags...)
	if code != exitClean || stderr != "" {
		t.Fatalf("%d %s", code, stderr)
	}
	code, got, stderr := calibrateFolder(t, map[string]string{"readings/first.csv": readingHeads + first, "01-read/lesson.md": lesson, "01-read/day.csv": more}, flags...)
	if code != exitClean || stderr != "" || got != want {
		t.Errorf("%d %s\n%s\nwant\n%s", code, stderr, got, want)
	}
	code, _, stderr = calibrateFolder(t, map[string]string{"readings/first.csv": readingHeads + first, "01-read/lesson.md": lesson, "01-read/day.csv": strings.Replace(more, "16,654", "fast", 1)}, flags...)
	if code != exitWrong || !strings.Contains(stderr, "day.csv:3:26: \"fast\" is no number") {
		t.Errorf("%d %s", code, stderr)
	}
}

const readingHeads = "# Invented for this test.\ndate;role;quantity;value;unit;uncertainty;instrument;class;load\n"

// The readings are those of the card (which its history tells, in words: 16.65
// turns a second and 62.9 % open with nothing connected), so that the contact
// speed has to come out as it stands there.
func TestCalibrate(t *testing.T) {
	readings := readingHeads + "2026-11-01;docent;speed;16,654;Hz;0,005;;;idle\n2026-11-01;docent;contact open;62,9;%;0,5;;;idle\n2026-11-02;docent;motor.armature-resistance;0,53;ohm;;ohmmeter;1 %;\n"
	code, stdout, stderr := calibrateIn(t, readings, "-json", "-constants", "governor.contact-speed,motor.armature-resistance")
	if code != exitClean || stderr != "" {
		t.Fatalf("%d\n%s%s", code, stdout, stderr)
	}
	var got calibration
	if err := json.Unmarshal([]byte(stdout), &got); err != nil {
		t.Fatalf("%v\n%s", err, stdout)
	}
	if len(got.Constants) != 2 || got.Outliers == nil || got.Alike == nil || len(got.Outliers) != 0 || got.Freedom != 3 {
		t.Fatalf("%s", stdout)
	}
	for _, c := range got.Constants {
		switch c.Name {
		case "governor.contact-speed":
			if c.Value < 16.79-2*c.Uncertainty || c.Value > 16.79+2*c.Uncertainty || c.Uncertainty > 0.02 || c.Unit != "Hz" {
				t.Errorf("%+v", c)
			}
		case "motor.armature-resistance": // 0.52 +- 0.02 on the card, 0.53 +- 0.0042 read
			if c.Value < 0.525 || c.Value > 0.5305 || c.Uncertainty > 0.0045 {
				t.Errorf("%+v", c)
			}
		default:
			t.Errorf("%+v", c)
		}
	}
	code, stdout, _ = calibrateIn(t, readings, "-constants", "governor.contact-speed,motor.armature-resistance")
	if code != exitClean || !strings.Contains(stdout, "fitted 2 constants to 3 readings") || !strings.Contains(stdout, "governor.contact-speed: 16.7") || !strings.Contains(stdout, "doubtful constants of the card were not fitted") {
		t.Errorf("%d\n%s", code, stdout)
	}
}

func TestCalibrateRefuses(t *testing.T) {
	good := readingHeads + "2026-11-01;docent;speed;16,65;Hz;0,005;;;idle\n"
	for _, c := range []struct {
		readings, want string
		flags          []string
	}{
		{readingHeads + "2026-11-01;docent;speed;16,65;Hz;;;;idle\n", "readings/first.csv:3:34: this reading has no uncertainty", nil},
		{readingHeads + "2026-11-01;docent;speed;16,65;V;1;;;idle\n", `readings/first.csv:3:31: "V" is no unit of speed`, nil},
		{strings.Replace(good, "2026", "2926", 1), "readings/first.csv:3:1: warning: this reading is of 2926-11-01, which is after", []string{"-constants", "governor.charm"}},
		{good, `has no constant "governor.charm"`, []string{"-constants", "governor.charm"}},
		{good, `there is no machine card called "other"`, []string{"-card", "other"}},
		{good, "battery.cells is counted", []string{"-constants", "battery.cells"}},
	} {
		code, stdout, stderr := calibrateIn(t, c.readings, c.flags...)
		if code != exitWrong || stdout != "" || !strings.Contains(stderr, c.want) || !strings.Contains(stderr, "\n    ") {
			t.Errorf("%d\n%s\n%s\nwant %s", code, stdout, stderr, c.want)
		}
	}
}
