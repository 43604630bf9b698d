package cell

import (
	"os"
	"testing"
)

func TestMain(m *testing.M) {
	ChildMain()
	tryAll()
	os.Exit(m.Run())
}
