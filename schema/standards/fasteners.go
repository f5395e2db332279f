package standards

import (
	"math"
	"slices"
	"strings"
)

// Thread is a metric screw thread: basic sizes, and the limits that count against stripping, all in m and m2.
type Thread struct {
	Name          string
	Nominal       float64 // d = D
	Pitch         float64 // P
	PitchDiameter float64 // d2 = D2
	NutMinor      float64 // D1, of the nut or the tapped hole
	ScrewMinor    float64 // d3, of the screw
	StressArea    float64 // As, as ISO 898-1 prints it
	Drill         float64 // tapping drill, ISO 2306
	DMin, D2Min   float64 // screw, 6g
	D1Max, D2Max  float64 // nut, 6H
	Provenance
}

func readThread(name string, s row, from Provenance) Thread {
	return Thread{
		Name:          name,
		Nominal:       s.quantity("nominal"),
		Pitch:         s.quantity("pitch"),
		PitchDiameter: s.quantity("pitchDiameter"),
		NutMinor:      s.quantity("nutMinor"),
		ScrewMinor:    s.quantity("screwMinor"),
		StressArea:    s.quantity("stressArea"),
		Drill:         s.quantity("drill"),
		DMin:          s.quantity("dMin"),
		D2Min:         s.quantity("d2Min"),
		D1Max:         s.quantity("D1Max"),
		D2Max:         s.quantity("D2Max"),
		Provenance:    from,
	}
}

// ThreadByName finds "M5" or "M10x1.25". Without a pitch it is the coarse one.
func ThreadByName(name string) (Thread, error) {
	return lookUp("thread", name, func(t *tables) *named[Thread] { return &t.threads })
}

// ThreadNames lists all threads, coarse ones first.
func ThreadNames() []string {
	return namesIn(func(t *tables) *named[Thread] { return &t.threads })
}

// ClearanceHole is the hole through which a screw passes, ISO 273, in m.
type ClearanceHole struct {
	Fine, Medium, Coarse float64
	Provenance
}

func readClearanceHole(_ string, s row, from Provenance) ClearanceHole {
	return ClearanceHole{s.quantity("fine"), s.quantity("medium"), s.quantity("coarse"), from}
}

// ClearanceHoleFor finds the hole for a thread; the pitch does not matter.
func ClearanceHoleFor(thread string) (ClearanceHole, error) {
	return lookUp("clearance hole for", diameterOf(thread), func(t *tables) *named[ClearanceHole] { return &t.clearanceHoles })
}

// diameterOf drops the pitch: "M10x1.25" is "M10".
func diameterOf(thread string) string {
	diameter, _, _ := strings.Cut(thread, "x")
	return diameter
}

// Head is a screw head, in m.
type Head struct {
	Height     float64 // k, at most
	HeightMin  float64 // 0 where the standard gives none
	Across     float64 // what a recess or a neighbour must clear: largest diameter, or the corners of a hexagon
	Bearing    float64 // least diameter that presses on the part; 0 where the standard gives none
	Key        float64 // width across flats of key or spanner
	Thread     float64 // b, of a screw that is not threaded up to its head
	ThreadLong float64 // b above 125 mm; 0 where it is the same
	// ThreadedTo is the length up to which screws are threaded up to the head.
	ThreadedTo float64
	// LengthWithHead is true where the screw's length counts from the top of the head: countersunk.
	LengthWithHead bool
	Provenance
}

func readHead(_ string, s row, from Provenance) Head {
	return Head{
		Height:         s.quantity("height"),
		HeightMin:      s.quantityOrZero("heightMin"),
		Across:         s.quantity("across"),
		Bearing:        s.quantityOrZero("bearing"),
		Key:            s.quantity("key"),
		Thread:         s.quantity("thread"),
		ThreadLong:     s.quantityOrZero("threadLong"),
		ThreadedTo:     s.quantity("threadedTo"),
		LengthWithHead: s.optional("lengthWithHead") != nil && s.truth("lengthWithHead"),
		Provenance:     from,
	}
}

// longScrew is the length, m, above which hexagon screws have more thread (ISO 4014).
const longScrew = 125e-3

// Shank is how far a screw of a length has no full thread, at most, m: from under the head, or from its top where the length counts from
// there. 0 for one with thread up to its head.
func (h Head) Shank(length float64) float64 {
	switch {
	case length <= h.ThreadedTo:
		return 0
	case length > longScrew && h.ThreadLong > 0:
		return length - h.ThreadLong
	}
	return length - h.Thread
}

// HeadFor finds the head of a style ("socket", "hex", "button", "countersunk") for a coarse thread.
func HeadFor(style, thread string) (Head, error) {
	heads, err := lookUp("head", style, func(t *tables) *named[named[Head]] { return &t.heads })
	if err != nil {
		return Head{}, err
	}
	return heads.find(style+" head for", thread)
}

// HeadStyles lists the styles of head.
func HeadStyles() []string {
	return namesIn(func(t *tables) *named[named[Head]] { return &t.heads })
}

// Nut is a nut, in m.
type Nut struct {
	Height, HeightMin float64 // over all, largest and smallest
	Thread            float64 // least height of its metal thread
	Key               float64 // width across flats
	Corners           float64 // over the corners, at most
	Provenance
}

func readNut(_ string, s row, from Provenance) Nut {
	return Nut{s.quantity("height"), s.quantity("heightMin"), s.quantity("thread"), s.quantity("key"), s.quantity("corners"), from}
}

// CoarseThread is the coarse metric thread of a nominal diameter in m.
func CoarseThread(nominal float64) (Thread, bool) {
	for _, name := range ThreadNames() {
		if t, err := ThreadByName(name); err == nil && !strings.Contains(name, "x") && math.Abs(t.Nominal-nominal) < 1e-6 {
			return t, true
		}
	}
	return Thread{}, false
}

// NutFor finds the nut of a style ("hex", "thin", "lock") for a coarse thread.
func NutFor(style, thread string) (Nut, error) {
	nuts, err := lookUp("nut", style, func(t *tables) *named[named[Nut]] { return &t.nuts })
	if err != nil {
		return Nut{}, err
	}
	return nuts.find(style+" nut for", thread)
}

// NutStyles lists the styles of nut.
func NutStyles() []string {
	return namesIn(func(t *tables) *named[named[Nut]] { return &t.nuts })
}

// Washer is a flat washer, in m.
type Washer struct {
	Inner, Outer              float64 // smallest hole, largest outside
	Thick, ThickMin, ThickMax float64
	Provenance
}

func readWasher(_ string, s row, from Provenance) Washer {
	return Washer{s.quantity("inner"), s.quantity("outer"), s.quantity("thick"), s.quantity("thickMin"), s.quantity("thickMax"), from}
}

// WasherFor finds the washer of a series ("plain", "large") for a thread; the pitch does not matter.
func WasherFor(series, thread string) (Washer, error) {
	washers, err := lookUp("washer series", series, func(t *tables) *named[named[Washer]] { return &t.washers })
	if err != nil {
		return Washer{}, err
	}
	return washers.find(series+" washer for", diameterOf(thread))
}

// WasherSeries lists the series of washers.
func WasherSeries() []string {
	return namesIn(func(t *tables) *named[named[Washer]] { return &t.washers })
}

// ScrewLengths lists the preferred lengths in m, shortest first.
func ScrewLengths() []float64 {
	return slices.Clone(all.lengths)
}
