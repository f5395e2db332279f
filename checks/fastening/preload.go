package fastening

// Clamping force by torque.
//
//	F = T/(K d),   F(1-u) ... F(1+u),   use = F/(As Sp)
//
// Symbols: F preload N; T tightening torque N m; K nut factor, no unit, which holds all friction; d thread
// diameter m; u scatter of the preload, as a share; As stress area m2; Sp proof stress Pa.
//
// Range: below yield, tightened by torque. K and u belong to the surface and its lubrication, not to the
// thread: about 0.2 dry as delivered, u 0.35 as received and 0.25 lubricated. Later loss by settling is not
// in it.
//
// Source: NASA TM-106943 (1995) equation 1 for F and the bounds; the scatter figures from the Journal of
// Failure Analysis and Prevention (2019), doi 10.1007/s11668-019-00693-z, which quotes aerospace practice.

import "fmt"

// Preload is the clamping force in N of one screw: nominal and with the scatter of tightening.
type Preload struct{ Nominal, Least, Most float64 }

// FromTorque returns the preload that a torque in N m gives a thread of diameter d in m. Scatter is the
// share by which the force may be off, from 0 to below 1. It returns an error for values outside these.
func FromTorque(torque, nutFactor, scatter, d float64) (Preload, error) {
	if err := positive(quantity{"nut factor", nutFactor}, quantity{"thread diameter", d}); err != nil {
		return Preload{}, err
	}
	if err := notNegative(quantity{"torque", torque}, quantity{"scatter", scatter}); err != nil {
		return Preload{}, err
	}
	if scatter >= 1 {
		return Preload{}, fmt.Errorf("scatter is a share below 1, found %g", scatter)
	}
	f := torque / (nutFactor * d)
	return Preload{Nominal: f, Least: f * (1 - scatter), Most: f * (1 + scatter)}, nil
}

// TorqueFor returns the torque in N m for a nominal preload in N.
// It returns an error for a negative preload, or a nut factor or diameter that is not above zero.
func TorqueFor(preload, nutFactor, d float64) (float64, error) {
	if err := positive(quantity{"nut factor", nutFactor}, quantity{"thread diameter", d}); err != nil {
		return 0, err
	}
	if err := notNegative(quantity{"preload", preload}); err != nil {
		return 0, err
	}
	return preload * nutFactor * d, nil
}

// ProofUse returns the share of the proof load that a pull in N takes: above 1 the screw stays longer.
// It returns an error for a negative pull, or an area or stress that is not above zero.
func ProofUse(pull, stressArea, proofStress float64) (float64, error) {
	if err := positive(quantity{"stress area", stressArea}, quantity{"proof stress", proofStress}); err != nil {
		return 0, err
	}
	if err := notNegative(quantity{"pull", pull}); err != nil {
		return 0, err
	}
	return pull / (stressArea * proofStress), nil
}
