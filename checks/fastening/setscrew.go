package fastening

import "fmt"

// Set screws that press on a shaft from the hub round it.
//
//	F = grip × T/(K d),   M = n F D/2
//
// Symbols: F what one screw with a cup point holds along or round the shaft, N; T its torque, N m; K nut factor, 0.2 dry; d its diameter,
// D that of the shaft, m; n screws; M the moment that they hold, N m. grip is F by what it presses with: tables of holding power have 0.57
// for small sizes and 0.48 for 1/2 in; 0.45 is below them all.
//
// A set screw breaks, or its key socket does, above the torque of the table: by ISO 898-5, strength class 45H. One between two sizes takes what
// the smaller one does.
//
// Range: cup points on a shaft that is softer than they are, tightened as seated, at rest; shaken, the reserve is used up.
//
// Source: holding power of socket set screws, Shigley's Mechanical Engineering Design, table 7-4 (from memory); ISO 898-5, torque test of
// set screws with a key socket (from memory).

// setScrewGrip is the share of a set screw's press that it holds against sliding.
const setScrewGrip = 0.45

// setScrewNut is the nut factor of a set screw, dry.
const setScrewNut = 0.2

// SetScrewHolds is the moment in N m that n set screws of a diameter (m), tightened with a torque (N m), hold on a shaft (m). It returns an
// error for sizes that are not above zero.
func SetScrewHolds(n, torque, d, shaft float64) (float64, error) {
	if err := positive(quantity{"screws", n}, quantity{"thread diameter", d}, quantity{"shaft", shaft}); err != nil {
		return 0, err
	}
	if err := notNegative(quantity{"torque", torque}); err != nil {
		return 0, err
	}
	return n * setScrewGrip * torque / (setScrewNut * d) * shaft / 2, nil
}

// setScrewTorques are what set screws of class 45H must bear in the torque test, by their diameter: m, N m.
var setScrewTorques = []struct{ d, torque float64 }{
	{3e-3, 0.9}, {4e-3, 2.5}, {5e-3, 5}, {6e-3, 8.5}, {8e-3, 20}, {10e-3, 40}, {12e-3, 65}, {16e-3, 160}, {20e-3, 310}, {24e-3, 520},
}

// SetScrewTorque is the most torque in N m that a set screw of a diameter (m) takes. It returns an error below the table.
func SetScrewTorque(d float64) (float64, error) {
	if err := positive(quantity{"thread diameter", d}); err != nil {
		return 0, err
	}
	most := 0.0
	for _, row := range setScrewTorques {
		if row.d <= d+1e-9 {
			most = row.torque
		}
	}
	if most == 0 {
		return 0, fmt.Errorf("how much torque a set screw thinner than M3 takes is in no table of trammel's: take M3 or more")
	}
	return most, nil
}
