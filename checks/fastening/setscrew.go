package fastening

// Set screws that press on a shaft from the hub round it.
//
//	F = grip × T/(K d),   M = n F D/2
//
// Symbols: F what one screw with a cup point holds along or round the shaft, N; T its torque, N m; K nut factor, 0.2 dry; d its diameter,
// D that of the shaft, m; n screws; M the moment that they hold, N m. grip is F by what it presses with: tables of holding power have 0.57
// for small sizes and 0.48 for 1/2 in; 0.45 is below them all.
//
// Range: cup points on a shaft that is softer than they are, tightened as seated, at rest; shaken, the reserve is used up.
//
// Source: holding power of socket set screws, Shigley's Mechanical Engineering Design, table 7-4 (from memory).

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
