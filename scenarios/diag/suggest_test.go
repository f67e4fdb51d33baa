package diag

import "testing"

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		name, a, b string
		want       int
	}{
		{"same", "span", "span", 0},
		{"from nothing", "", "span", 4},
		{"left out", "tolerance", "tolernce", 1},
		{"put in", "ring", "rring", 1},
		{"changed", "input", "imput", 1},
		{"swapped neighbours", "title", "tilte", 1},
		{"two slips", "wiring", "wirring2", 2},
		// No letter is touched twice: CA -> ABC takes 3, not 2.
		{"restricted", "ca", "abc", 3},
		{"letters, not bytes", "°C", "°F", 1},
	} {
		if got := Distance(c.a, c.b); got != c.want {
			t.Errorf("%s: %q to %q is %d, want %d", c.name, c.a, c.b, got, c.want)
		}
	}
}

func TestHint(t *testing.T) {
	keys := []string{"tag", "service", "adjust_at", "tolerance"}
	for _, c := range []struct{ word, want string }{
		{"tolernce", `did you mean "tolerance"?`},
		{"adjust-at", `did you mean "adjust_at"?`},
		{"Service", `did you mean "service"?`},
		{"tga", `did you mean "tag"?`},
		{"colour", "known keys: tag, service, adjust_at, tolerance"},
		{"x", "known keys: tag, service, adjust_at, tolerance"},
	} {
		if got := Hint(c.word, "known keys", keys); got != c.want {
			t.Errorf("%q: %s", c.word, got)
		}
	}
}
