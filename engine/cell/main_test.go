package cell

import (
	"os"
	"testing"
)

func TestMain(m *testing.M) {
	ChildMain()
	os.Exit(m.Run())
}
