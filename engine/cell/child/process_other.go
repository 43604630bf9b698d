//go:build !linux && !darwin

package child

import (
	"errors"
	"os"
	"os/exec"
	"time"
)

// processorTime is not known here; the clock on the wall counts.
func processorTime() (time.Duration, bool) { return 0, false }

func apart(*exec.Cmd) {}

// newMarkFile makes no file here: the child sends its mark from time to time.
func newMarkFile() (*os.File, error) { return nil, nil }

func mapMark(*os.File) (*int, error) { return nil, errors.ErrUnsupported }
