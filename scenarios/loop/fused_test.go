package loop

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// On arm64 the compiler may fuse a product and a sum into one rounding, across
// statements too, so that a needle could stand elsewhere than on amd64. Only an
// explicit conversion forbids it (Go specification, "Floating-point
// operators"). The test reads what the compiler made of this package for arm64
// and wants no fused instruction in it.
func TestNoFusedMultiplyAdd(t *testing.T) {
	cmd := exec.Command("go", "build", "-gcflags=-S", ".")
	cmd.Env = append(os.Environ(), "GOARCH=arm64", "CGO_ENABLED=0")
	listing, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("building for arm64: %v\n%s", err, listing)
	}
	adds := 0
	for line := range strings.Lines(string(listing)) {
		f := strings.Fields(line)
		if len(f) < 4 {
			continue
		}
		switch f[3] {
		case "FADDD":
			adds++
		case "FMADDD", "FMSUBD", "FNMADDD", "FNMSUBD":
			t.Errorf("fused: %s", strings.TrimSpace(line))
		}
	}
	// A listing without sums would be no listing.
	if adds < 50 {
		t.Errorf("only %d sums in the listing", adds)
	}
}
