package child

import (
	"os"
	"testing"
)

func TestMain(m *testing.M) {
	Main()
	tryAll()
	os.Exit(m.Run())
}
