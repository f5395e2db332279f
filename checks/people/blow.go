package people

import (
	"fmt"
	"math"
	"slices"
)

// Blow of a moving part that is free to go on.
//
//	F = v √(μ k)        1/μ = 1/m + 1/mₕ
//
// Symbols: F N, the largest force of the blow; v m/s, the part's speed at the place that strikes; m kg, its effective mass there, 2 E / v² of all
// that moves with it; k N/m and mₕ kg, the spring and the effective mass of the part of the body that is struck.
// Range: a body that can give way, struck by something broad and round; not a body that is held against something, nor an edge or a point.
//
// Source: ISO/TS 15066:2016, the model of its annex A with the figures of tables A.2 and A.3 (from memory): pain thresholds of healthy adults
// at robots made to work beside people, borrowed here as a comparison. It has no figure for feet, and permits no blow to skull and face.

// A Region is a part of the body that is struck.
type Region struct {
	Name   string
	Spring float64 // N/m
	Mass   float64 // kg
	Limit  float64 // N, of a blow
}

// regions by the parts of the body of Gaps that they belong to.
var regions = []struct {
	part string
	Region
}{
	{"finger", Region{"a hand or finger", 75e3, 0.6, 280}},
	{"arm", Region{"a forearm", 40e3, 2, 320}},
	{"arm", Region{"an upper arm", 30e3, 3, 300}},
	{"leg", Region{"a lower leg", 60e3, 75, 260}},
	{"leg", Region{"a thigh", 50e3, 75, 440}},
	{"body", Region{"a chest", 25e3, 40, 280}},
	{"body", Region{"a belly", 10e3, 40, 220}},
	{"body", Region{"a hip", 25e3, 40, 360}},
	{"body", Region{"a back", 35e3, 40, 420}},
}

// Struck is the region at risk of which a blow at a speed (m/s) with an effective mass (kg) comes nearest to the limit, or passes it most, and
// the force of the blow, N. Speed and mass are above zero. The error says why there is no figure for any of them.
func Struck(atRisk string, speed, mass float64) (Region, float64, error) {
	if err := positive("speed", speed); err != nil {
		return Region{}, 0, err
	}
	if err := positive("effective mass", mass); err != nil {
		return Region{}, 0, err
	}
	var worst Region
	most := 0.0
	for _, r := range regions {
		if atRisk != "body" && (atRisk == "head" || !slices.Contains(together[atRisk], r.part)) {
			continue
		}
		if f := r.Blow(speed, mass); worst.Name == "" || f/r.Limit > most/worst.Limit {
			worst, most = r.Region, f
		}
	}
	switch {
	case atRisk == "head":
		return worst, 0, fmt.Errorf("ISO/TS 15066 permits no blow to skull and face, however light")
	case worst.Name == "":
		return worst, 0, fmt.Errorf("ISO/TS 15066 has no figure for a blow to the %s", atRisk)
	}
	return worst, most, nil
}

// Blow is the largest force (N) when something strikes a region at a speed (m/s) with an effective mass (kg).
func (r Region) Blow(speed, mass float64) float64 {
	return speed * math.Sqrt(r.Spring/(1/mass+1/r.Mass))
}
