package fastening

// Thread stripping.
//
//	ASs = pi Le/P D1 (P/2 + (d2 - D1)/sqrt3)       external thread, sheared off at the nut's crests
//	ASn = pi Le/P d  (P/2 + (d - D2)/sqrt3)        internal thread, sheared off at the screw's crests
//	Le  = 2 As / (ASs/Le)                          engagement for equal materials
//	J   = ASs tau,ext / (ASn tau,int)              if J > 1, Le is multiplied by J
//	F   = AS tau,  tau = Rm x ratio
//	in a hole drilled wider than D1:  ASs with D1 = hole;  ASn x (d - hole)/(d - D1)
//
// Symbols: P pitch m; Le length of engagement m, full threads only; As tensile stress area m2; AS shear
// areas m2; d least major diameter and d2 least pitch diameter of the screw m; D1 greatest minor diameter
// and D2 greatest pitch diameter of the hole m; Rm tensile strength Pa; tau shear strength Pa; F force N.
// The factor 2 stands for a shear strength of Rm/2, a margin of 15 % against Rm/sqrt3.
//
// Range: 60 degree threads (ISO metric, unified inch), static pull along the axis, full threads. Chamfers
// and the incomplete end thread do not count. A thin nut that widens under load holds less. Where the hole is
// drilled larger than the thread's limit, the shear area of the internal thread is taken in proportion to the
// height left, since a lower flank bears less: a cautious assumption, common practice, no source; the
// handbook's formula does not see the hole. A hole that lets the screw through holds nothing.
//
// Source: FED-STD-H28/2B (1991) table II.B.1 formulae 2a, 4a, 14, 16; Machinery's Handbook, "Formulas for
// stress areas and lengths of engagement of screw threads", which writes J with tensile strengths: the same
// where both materials have one ratio.

import (
	"fmt"
	"math"
)

// VonMises is the ratio of shear strength to tensile strength of a ductile metal. A greater value makes
// every thread look stronger.
const VonMises = 1 / 1.7320508075688772

// handbookAreaFactor is the shear area per stress area that the handbook asks for. A smaller value takes
// away the handbook's margin.
const handbookAreaFactor = 2

// Thread is a pair of mating 60 degree threads at their least material: a screw at its smallest in a hole
// at its largest. Lengths in m, StressArea in m2.
type Thread struct {
	D          float64 // basic major diameter
	Pitch      float64
	D2Min      float64 // least pitch diameter of the screw
	DMin       float64 // least major diameter of the screw
	D1Max      float64 // greatest minor diameter of the hole
	D2Max      float64 // greatest pitch diameter of the hole
	StressArea float64
	Hole       float64 // drilled before tapping; counts where it is above D1Max
}

func (t Thread) check() error {
	if err := positive(
		quantity{"thread diameter", t.D}, quantity{"pitch", t.Pitch},
		quantity{"least pitch diameter of the screw", t.D2Min}, quantity{"least major diameter of the screw", t.DMin},
		quantity{"greatest minor diameter of the hole", t.D1Max}, quantity{"greatest pitch diameter of the hole", t.D2Max},
		quantity{"stress area", t.StressArea},
	); err != nil {
		return err
	}
	if t.DMin > t.D {
		return fmt.Errorf("least major diameter of the screw %g is above the thread diameter %g", t.DMin, t.D)
	}
	if err := notNegative(quantity{"hole", t.Hole}); err != nil {
		return err
	}
	if t.D1Max >= t.DMin {
		return fmt.Errorf("hole of %g lets the screw of %g through: no thread is left", t.D1Max, t.DMin)
	}
	return nil
}

// Material is what a thread is cut in.
type Material struct {
	Tensile float64 // Rm, Pa
	// ShearRatio is shear strength over tensile strength. Zero means VonMises.
	ShearRatio float64
}

func (m Material) check(whose string) error {
	if err := positive(quantity{"tensile strength of the " + whose, m.Tensile}); err != nil {
		return err
	}
	return notNegative(quantity{"shear ratio of the " + whose, m.ShearRatio})
}

func (m Material) ratio() float64 {
	if m.ShearRatio == 0 {
		return VonMises
	}
	return m.ShearRatio
}

func (m Material) shear() float64 { return m.Tensile * m.ratio() }

// ShearAreas are the areas in m2 that must shear for a thread to strip.
type ShearAreas struct{ External, Internal float64 }

// areas computes the shear areas. A bracket below zero means that no metal is left at that diameter.
func (t Thread) areas(engagement float64) ShearAreas {
	turns := math.Pi * max(0, engagement) / t.Pitch
	minor := max(t.D1Max, t.Hole)
	left := max(0, t.DMin-minor) / (t.DMin - t.D1Max)
	if left == 0 {
		return ShearAreas{}
	}
	return ShearAreas{
		External: turns * minor * max(0, t.Pitch/2+(t.D2Min-minor)/math.Sqrt(3)),
		Internal: turns * t.DMin * max(0, t.Pitch/2+(t.DMin-t.D2Max)/math.Sqrt(3)) * left,
	}
}

// Areas returns the shear areas over an engagement in m. An engagement below zero counts as none.
// It returns an error for a thread that cannot exist.
func Areas(t Thread, engagement float64) (ShearAreas, error) {
	if err := t.check(); err != nil {
		return ShearAreas{}, err
	}
	if math.IsNaN(engagement) || math.IsInf(engagement, 0) {
		return ShearAreas{}, fmt.Errorf("engagement must be finite, found %g", engagement)
	}
	return t.areas(engagement), nil
}

// StripLoads are the pulls in N at which a screw in a thread fails.
type StripLoads struct {
	External float64 // the screw's own thread strips
	Internal float64 // the thread of the nut or hole strips
	Break    float64 // the screw breaks across its stress area
}

// Weakest is the smaller of the two strip loads in N.
func (s StripLoads) Weakest() float64 { return min(s.External, s.Internal) }

// Strip returns the loads at which the threads strip over an engagement in m, and at which the screw breaks.
// An engagement below zero counts as none. It returns an error for a thread or material that cannot exist.
func Strip(t Thread, engagement float64, screw, hole Material) (StripLoads, error) {
	area, err := Areas(t, engagement)
	if err != nil {
		return StripLoads{}, err
	}
	if err := screw.check("screw"); err != nil {
		return StripLoads{}, err
	}
	if err := hole.check("hole"); err != nil {
		return StripLoads{}, err
	}
	return StripLoads{
		External: area.External * screw.shear(),
		Internal: area.Internal * hole.shear(),
		Break:    t.StressArea * screw.Tensile,
	}, nil
}

// Engagement is the length that a thread needs so that the screw breaks before either thread strips.
type Engagement struct {
	EqualMaterials float64 // m, were the hole of the screw's material
	J              float64 // above 1: the hole's thread is the weaker one
	Needed         float64 // m
}

// NeededEngagement returns the length of full thread at which the screw breaks before a thread strips.
// The handbook's factor of 2 is kept, and raised where the screw's shear ratio is below one half.
// It returns an error for a thread or material that cannot exist.
func NeededEngagement(t Thread, screw, hole Material) (Engagement, error) {
	perMetre, err := Areas(t, 1)
	if err != nil {
		return Engagement{}, err
	}
	if err := screw.check("screw"); err != nil {
		return Engagement{}, err
	}
	if err := hole.check("hole"); err != nil {
		return Engagement{}, err
	}
	if perMetre.External == 0 || perMetre.Internal == 0 {
		return Engagement{}, fmt.Errorf("no thread is left between a hole of %g and a screw of %g", max(t.D1Max, t.Hole), t.DMin)
	}
	factor := max(handbookAreaFactor, 1/screw.ratio())
	e := Engagement{
		EqualMaterials: factor * t.StressArea / perMetre.External,
		J:              perMetre.External * screw.shear() / (perMetre.Internal * hole.shear()),
	}
	e.Needed = e.EqualMaterials * max(1, e.J)
	return e, nil
}
