package scenarios_test

import (
	"slices"
	"strings"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
)

// The duties are those of issue 1 and of the trade: a caution that is taken
// out of the list must be taken out here too, by somebody who thinks about it.
func TestEachDutyHasItsCaution(t *testing.T) {
	for _, row := range []struct {
		id    string
		names []string // words without which the duty is not said
	}{
		{"practice-figures", []string{"not a work permit", "site's rules", "maker's instructions", "local codes", "licensed or competent people"}},
		{"before-test-lead", []string{"permit", "operator", "manual", "Trips", "inhibited", "logged"}},
		{"open-loop", []string{"0 mA", "operator", "live circuits"}},
		{"back-in-service", []string{"inhibits off", "automatic", "operator", "sign the record"}},
		{"manifold", []string{"in order", "site's procedure", "maker's instructions"}},
		{"wet-leg", []string{"Never equalise"}},
		{"settle-each-point", []string{"without going past", "settle"}},
		{"intrinsic-safety", []string{"certified for this area and this loop", "Nothing is repaired"}},
		{"paper-only", []string{"On paper only", "nothing here is a permit", "competent, licensed person", "certificates", "local codes"}},
		{"cell-outside", []string{"outside the hazardous area", "certificate names"}},
		{"vent-and-isolate", []string{"Isolate and vent", "pressure, heat", "poisonous", "oxygen", "permit"}},
		{"as-found-first", []string{"before you touch a screw"}},
	} {
		d, ok := scenarios.Caution(row.id)
		if !ok {
			t.Errorf("there is no caution %q", row.id)
			continue
		}
		text := strings.ReplaceAll(prose.Text{Doc: d}.Plain(), "\u00a0", " ")
		for _, w := range row.names {
			if !strings.Contains(text, w) {
				t.Errorf("caution %q does not say %q:\n%s", row.id, w, text)
			}
		}
	}
	if n := len(scenarios.CautionIDs()); n != 12 {
		t.Errorf("%d cautions are listed, 12 are checked here", n)
	}
	if _, ok := scenarios.Caution("nobody"); ok {
		t.Error("an unknown id gave a caution")
	}
}

// A caution is read by somebody who wants to get on: it begins with its point
// in bold, and is short.
func TestCautionsAreShort(t *testing.T) {
	for _, id := range scenarios.CautionIDs() {
		d, _ := scenarios.Caution(id)
		if !strings.HasPrefix(string(d.Source), "**") {
			t.Errorf("caution %q does not begin with its point in bold", id)
		}
		if n := len(strings.Fields(string(d.Source))); n > 60 {
			t.Errorf("caution %q has %d words, more than 60", id, n)
		}
		if len(d.Slots) > 0 {
			t.Errorf("caution %q has slots %v, which nobody fills", id, d.Slots)
		}
		if _, found := d.HasRawHTML(); found {
			t.Errorf("caution %q holds HTML", id)
		}
	}
}

// The faults name cautions by the ids of this list and no other.
func TestFaultsNameKnownCautions(t *testing.T) {
	known := scenarios.CautionIDs()
	for _, f := range loop.Faults() {
		for _, c := range f.Cautions {
			if !slices.Contains(known, string(c)) {
				t.Errorf("fault %q names the caution %q, which is not in cautions.md", f.Name, c)
			}
		}
	}
}
