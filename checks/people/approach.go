package people

// Distance of a light curtain that stops a machine.
//
//	S = K T + C
//	C = 8 (d - 14 mm), not below 0
//	K = 2 m/s; where that gives S above 500 mm, K = 1.6 m/s and S not below 500 mm; S never below 100 mm
//
// Symbols: S m from the curtain to the nearest dangerous place; K speed of a hand m/s; T s from the interruption until everything
// stands still, the curtain's, the control's, the valve's and the machine's time together; C how far a hand gets before it is seen
// m; d smallest object that is seen for certain (resolution) m.
//
// Range: d up to 40 mm, approach square to the curtain, grown-ups at work, nobody behind the curtain or over it. Moving air goes on
// pushing after its valve has shut: T must be measured on the machine, not added up from data sheets.
//
// Source: ISO 13855:2010, clause for approach square to the field; the procedure and C are confirmed by published operating
// instructions that apply it, the least of 100 mm too. The edition of 2024 replaces it: compare before a machine depends on it.

import "fmt"

// The constants of ISO 13855:2010. Smaller speeds or distances bring the curtain nearer than a hand allows.
const (
	reachSpeed    = 2.0   // m/s, a hand within reachEnd
	walkSpeed     = 1.6   // m/s, beyond it
	reachEnd      = 0.5   // m
	nearest       = 0.1   // m
	intrusion     = 8.0   // m of reach per m of resolution
	fingerSeen    = 0.014 // m, resolution at which no finger gets through unseen
	coarsestField = 0.040 // m, beyond it an arm gets through and C is 850 mm
)

// CurtainDistance is the least distance (m) of a light curtain with a resolution (m) from the nearest dangerous place of a machine
// that stands still within a time (s). Source: ISO 13855:2010.
func CurtainDistance(time, resolution float64) (float64, error) {
	if err := positive("time to standstill", time); err != nil {
		return 0, err
	}
	if err := positive("resolution", resolution); err != nil {
		return 0, err
	}
	if resolution > coarsestField+roundoff {
		return 0, fmt.Errorf("a resolution of %.4g mm lets an arm through: the formula ends at %.4g mm", resolution*1e3, coarsestField*1e3)
	}
	c := intrusion * max(0, resolution-fingerSeen)
	if s := reachSpeed*time + c; s <= reachEnd {
		return max(s, nearest), nil
	}
	return max(walkSpeed*time+c, reachEnd), nil
}
