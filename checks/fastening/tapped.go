package fastening

// Tapped and opened holes.
//
//	percentage = (d - hole)/(form P) x 100,   hole = d - form P percentage/100
//	wall       = (outer - hole)/2
//	drilled    = t + lead P
//
// Symbols: d thread diameter m; P pitch m; hole diameter before tapping m; form the diameter difference of a
// 100 % thread in pitches; outer width or diameter around the hole m; t depth of full thread m; lead tapered
// end of the tap in pitches.
//
// Range: 60 degree threads, cut not formed.
//
// Source: ISO 68-1 for the heights; Machinery's Handbook, tap drill percentages (76.98 (d - hole)/P), for the
// chart form; DIN 2197 for the leads of taps.

import "fmt"

// Form is what counts as a thread of 100 %: the difference of its diameters in pitches. A percentage says
// nothing without its form: M8 in a hole of 6.8 mm is 74 % by the one and 89 % by the other.
type Form float64

const (
	// DrillChartForm, 3/4 sqrt3 = 1.29904: three quarters of the sharp triangle, as in tap drill charts.
	DrillChartForm Form = 0.75 * 1.7320508075688772
	// BasicProfileForm, 5/8 sqrt3 = 1.08253: five eighths, the basic profile of ISO 68-1.
	BasicProfileForm Form = 0.625 * 1.7320508075688772
)

// UsualTapLead is the tapered end of a tap for blind holes in pitches, DIN 2197 form C (2 to 3). Less, and the
// tap meets the bottom before the thread is full.
const UsualTapLead = 3.0

// ThreadPercent returns how much of a full thread tapping leaves in a hole. All lengths in m. A hole as wide
// as the thread leaves 0. It returns an error for sizes not above zero.
func ThreadPercent(form Form, d, pitch, hole float64) (float64, error) {
	if err := positive(quantity{"thread form", float64(form)}, quantity{"thread diameter", d},
		quantity{"pitch", pitch}, quantity{"hole", hole}); err != nil {
		return 0, err
	}
	return max(0, d-hole) / (float64(form) * pitch) * 100, nil
}

// TapDrill returns the hole in m to drill for a percentage of thread.
// It returns an error for sizes not above zero, and for a thread deeper than the hole is wide.
func TapDrill(form Form, d, pitch, percent float64) (float64, error) {
	if err := positive(quantity{"thread form", float64(form)}, quantity{"thread diameter", d},
		quantity{"pitch", pitch}, quantity{"thread percentage", percent}); err != nil {
		return 0, err
	}
	hole := d - float64(form)*pitch*percent/100
	if hole <= 0 {
		return 0, fmt.Errorf("a thread of %g %% and pitch %g leaves no hole in a diameter of %g", percent, pitch, d)
	}
	return hole, nil
}

// Wall returns the metal in m left on each side of a centred hole, below zero where the hole breaks out.
func Wall(outer, hole float64) float64 { return (outer - hole) / 2 }

// DrilledDepth returns the depth in m to drill, to the end of the full diameter, for a full thread of a depth.
// It returns an error for a depth or pitch not above zero or a negative lead.
func DrilledDepth(fullThread, pitch, leadPitches float64) (float64, error) {
	if err := positive(quantity{"thread depth", fullThread}, quantity{"pitch", pitch}); err != nil {
		return 0, err
	}
	if err := notNegative(quantity{"tap lead", leadPitches}); err != nil {
		return 0, err
	}
	return fullThread + leadPitches*pitch, nil
}

// Eye is a part with a hole, as it comes. Lengths in m.
type Eye struct {
	Hole  float64
	Outer float64 // width or diameter around the hole
}

// Opened is what opening an eye for a plain pin leaves. Lengths in m.
type Opened struct {
	Hole float64 // after opening: the eye's own where that is already as wide
	Wall float64
}

// Tapped is what tapping an eye for a screw leaves. Lengths in m.
type Tapped struct {
	Drill        float64 // hole before tapping: the eye's own where that is already wider than the drill
	ChartPercent float64 // by DrillChartForm
	BasicPercent float64 // by BasicProfileForm
	Wall         float64 // beside the thread's major diameter, to which the tap cuts
}

// Rework compares both ways to get a pivot through an eye whose hole is too small: open it to a finished hole
// for a plain pin, or drill it and tap it for a screw of diameter d and a pitch. Lengths in m.
// It returns an error for sizes not above zero.
func Rework(eye Eye, pinHole, d, pitch, drill float64) (Opened, Tapped, error) {
	if err := positive(quantity{"hole of the eye", eye.Hole}, quantity{"width of the eye", eye.Outer},
		quantity{"hole for the pin", pinHole}, quantity{"drill", drill}); err != nil {
		return Opened{}, Tapped{}, err
	}
	opened := Opened{Hole: max(eye.Hole, pinHole)}
	opened.Wall = Wall(eye.Outer, opened.Hole)

	tapped := Tapped{Drill: max(eye.Hole, drill)}
	var err error
	if tapped.ChartPercent, err = ThreadPercent(DrillChartForm, d, pitch, tapped.Drill); err != nil {
		return Opened{}, Tapped{}, err
	}
	if tapped.BasicPercent, err = ThreadPercent(BasicProfileForm, d, pitch, tapped.Drill); err != nil {
		return Opened{}, Tapped{}, err
	}
	tapped.Wall = Wall(eye.Outer, max(d, tapped.Drill))
	return opened, tapped, nil
}
