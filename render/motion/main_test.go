package motion

import (
	"testing"

	"slipring/render/browser/browsertest"
)

func TestMain(m *testing.M) { browsertest.Main(m) }
