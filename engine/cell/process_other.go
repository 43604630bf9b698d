//go:build !linux && !darwin

package cell

import (
	"errors"
	"os"
	"os/exec"
)

func apart(*exec.Cmd) {}

// newMarkFile makes no file here: the child sends its mark from time to time.
func newMarkFile() (*os.File, error) { return nil, nil }

func mapMark(*os.File) (*int, error) { return nil, errors.ErrUnsupported }
