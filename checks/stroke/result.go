package stroke

import "math"

// A Verdict says how a run ended.
type Verdict int

const (
	Arrives     Verdict = iota // the mechanism stands at its end
	NeverStarts                // forces at rest stay below what holds it
	Stalls                     // it moved, and came to rest before the end for good
	OutOfTime                  // the time limit came first
	OutOfSteps                 // the steps ran out, or became too short: the case is too stiff
)

func (v Verdict) String() string {
	return [...]string{"arrives", "never starts", "stalls", "out of time", "out of steps"}[v]
}

// A Sample is the state at one moment.
type Sample struct {
	Time         float64 // since the signal to the valve, s
	Stroke       float64 // m
	Speed        float64 // of the rod, outward positive, m/s
	Acceleration float64 // m/s²
	Cap, Rod     float64 // pressures of the chambers, Pa absolute
}

// Forces are those along the piston's axis, N; positive pushes outward, but for Load, which counts the other way.
type Forces struct {
	Air      float64 // of the chambers and the air around
	Load     float64
	Damper   float64 // against the outward motion
	Friction float64 // of seals and pivots in slow motion, zero or more
	Holding  float64 // what friction holds at rest, zero or more
}

// Energy is what became of the air's work, J. Drive = Cushion + Load + Friction + Damper + Stop + Back + Kinetic + Residual.
type Energy struct {
	Drive    float64 // work of the chambers and the air around, but for the one on the cushion's air
	Cushion  float64 // work on the air in the cushion at the end, above that on the air around
	Load     float64 // work against Load: potential energy gained and work on outside forces
	Friction float64 // of seals, pivots and guides
	Damper   float64
	Stop     float64 // kinetic energy that the stop at the end takes
	Back     float64 // kinetic energy that the stop behind took in a motion the wrong way
	Kinetic  float64 // what is left where the run ended before the stop
	Residual float64 // the error of the account
}

// Imbalance is the error of the account as a share of all that is in it. Above a hundred times the tolerance the run is not to be trusted.
func (e Energy) Imbalance() float64 {
	all := math.Abs(e.Drive) + math.Abs(e.Cushion) + math.Abs(e.Load) + e.Friction + math.Abs(e.Damper) + e.Stop + e.Back + e.Kinetic
	if all == 0 {
		return 0
	}
	return math.Abs(e.Residual) / all
}

// A Loss is what the pressure loses at one element while the air flows: ∫ q Δp dt / ∫ q dt over the run (Pa), and the part of
// Σ ∫ q Δp dt over all elements of both lines.
type Loss struct {
	Name  string // of the element; "tube" and "cushion" for those
	Rod   bool   // of the rod's line, else the cap's
	Mean  float64
	Share float64
}

// A Result is the course of a stroke in figures. Times are in s after the valve's signal, NaN for what did not happen.
type Result struct {
	Verdict Verdict
	Started float64 // when the mechanism began to move
	Arrived float64 // when it came to the end: the valve-to-end time

	PeakSpeed        Sample // where the rod was fastest
	PeakAcceleration Sample // where acceleration or deceleration was largest, the stop left out
	Entry            Sample // where the piston first entered the cushion at the end
	EntryEnergy      float64
	Last             Sample // where the run ended; on arrival just before the stop
	// Forces are those at Last. Where it never starts or stalls, they are the ones nearest to moving it of all that the pressures can
	// still come to, which the run then doesn't follow.
	Forces           Forces
	PeakCap, PeakRod float64
	Forward          float64 // furthest way towards the end, m
	Backward         float64 // furthest way the wrong way, m

	Energy Energy
	Losses []Loss
	Course []Sample // evenly spaced in time but for the last

	Steps, Rejected int
}
