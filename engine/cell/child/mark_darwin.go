package child

import "os"

// newMarkFile makes the file that holds the child's mark and can be read after
// its death. Its name is removed at once, so that it goes with its last user.
func newMarkFile() (*os.File, error) {
	f, err := os.CreateTemp("", "mark-*")
	if err != nil {
		return nil, err
	}
	if err = os.Remove(f.Name()); err == nil {
		err = f.Truncate(markSize)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}
