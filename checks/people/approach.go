package people

// Distance of a light curtain, a gate or a control for two hands that stops a machine.
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

// Of a gate that is opened and of a control that is let go S = K T + C with K = 1.6 m/s throughout; C is 0 where a closed gate must first move (from
// memory: one with openings has the reach through them on top), and 250 mm for a control without shrouds (from memory).

// The constants of ISO 13855:2010. Smaller speeds or distances bring the curtain nearer than a hand allows.
const (
	reachSpeed    = 2.0   // m/s, a hand within reachEnd
	walkSpeed     = 1.6   // m/s, beyond it
	reachEnd      = 0.5   // m
	nearest       = 0.1   // m
	intrusion     = 8.0   // m of reach per m of resolution
	fingerSeen    = 0.014 // m, resolution at which no finger gets through unseen
	letGo         = 0.250 // m, how far a hand gets while a control for two hands is let go
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

// StopDistance is the least distance (m) of a gate or of a control for two hands from the nearest dangerous place of a machine that stands
// still within a time (s) after it is opened or let go. Through is how far a hand gets through the closed gate's openings, 0 without any.
func StopDistance(time float64, twoHands bool, through float64) (float64, error) {
	if err := positive("time to standstill", time); err != nil {
		return 0, err
	}
	if err := notNegative("reach through openings", through); err != nil {
		return 0, err
	}
	if twoHands {
		return walkSpeed*time + letGo, nil
	}
	return walkSpeed*time + through, nil
}

// StopTime is the longest time (s) in which a machine may come to a standstill for a distance (m); below 0 none is short enough.
func StopTime(distance float64, twoHands bool, through float64) float64 {
	if twoHands {
		through = letGo
	}
	return (distance - through) / walkSpeed
}
