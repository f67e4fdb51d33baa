package scenarios

import (
	"fmt"

	"loopdrill/scenarios/unit"
)

// standards reads the test instruments of a plant.
func (f *file) standards(list []*value, p *Plant) {
	seen := map[string]*value{}
	for _, v := range list {
		if !v.ok {
			continue
		}
		b := v.block
		if id := b.get("id"); id.ok {
			f.again(seen, id, "standard")
		}
		if rng := b.get("range"); rng.ok {
			f.checkStandardRange(rng)
		}
		p.Standards = append(p.Standards, Standard{ID: b.get("id").text, Name: b.get("name").text, Range: b.get("range").rng,
			Accuracy: b.get("accuracy").quantity.V, Due: b.get("due").text})
	}
}

func (f *file) checkStandardRange(v *value) {
	switch v.rng.Span().Sign() {
	case 0:
		f.err(RuleSpanZero, v.at(), fmt.Sprintf("the range %s of a standard has a span of 0", v.rng), "the upper end must lie above the lower end")
	case -1:
		up := unit.Range{Low: v.rng.High, High: v.rng.Low, Unit: v.rng.Unit, Decimals: v.rng.Decimals}
		f.err(RuleRangeOrder, v.at(), fmt.Sprintf("the range %s of a standard runs downwards", v.rng), fmt.Sprintf("write the lower end first, %q", "range: "+up.String()))
	}
	if unqualified(v.text) {
		f.warn(RuleWaterColumn, v.at(), fmt.Sprintf("%q does not say at which temperature the water column is; the conventional one is taken", v.text), waterHint)
	}
}
