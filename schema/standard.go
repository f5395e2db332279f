package schema

import (
	"math"

	"trammel.example/schema/standards"
)

// fromStandard fills what a data sheet leaves out of a cylinder that names its standard: the rod and the port threads for its bore.
func (d *decoder) fromStandard(y *Cylinder) {
	if y.Standard.Value == "" || !y.Bore.Given() || math.IsNaN(y.Bore.SI) {
		return
	}
	row, err := standards.CylinderFor(y.Standard.Value, y.Bore.SI)
	if err != nil {
		d.mistakes.add(y.Bore.At, y.Path, "%s: %v", y.Path, err)
		return
	}
	source := y.Standard.Value + " (" + row.Certainty + ")"
	if !y.Rod.Given() {
		mm := UnitsOf(LengthDim)[0]
		where := join(y.Path, "rod")
		y.Rod = Length{Quantity{Origin: Origin{Path: where, Assumed: source}, SI: row.Rod, Value: mm.From(row.Rod), Unit: mm}}
		d.assumptions = append(d.assumptions, Assumption{Path: where, Value: y.Rod.String(), Source: source})
	}
	if y.Ports == nil {
		where := join(y.Path, "ports")
		y.Ports = map[string]Port{}
		ends := []string{"rear", "front"}
		if y.Acting.Value == "single" {
			ends = ends[:1] // the spring brings the rod in
		}
		for _, end := range ends {
			at := join(where, end)
			y.Ports[end] = Port{Origin: Origin{Path: at, Assumed: source}, Thread: Text{Origin{Path: join(at, "thread"), Assumed: source}, row.Port}}
		}
		d.assumptions = append(d.assumptions, Assumption{Path: where, Value: row.Port, Source: source})
	}
}
