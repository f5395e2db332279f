package fastening

// A group of screws that holds a part on a face, under a force and its moment.
//
//	shear    S_i = V/n + T × r_i/Σr²                    (elastic centre)
//	tension  N_i = N/n + a u_i + b w_i,  Σ N_i u_i = Σ (F_n u − F_u h),  Σ N_i w_i = Σ (F_n w − F_w h)
//	slip     mu (C − N_i) against S_i
//	bearing  F_b = min(e/(3 d0), p/(3 d0) − 1/4, 1) min(2.8 e/d0 − 1.7, 2.5) Rm d t
//	tear-out F_t = 2 t (e − d/2) tau
//
// Symbols: u, w along the face and n out of it, towards the heads, right-handed, m; F a force onto the part at (u, w) and a height h above
// the face, N; V, N their sums; T the moment about n through the middle of the screws, N m; r_i from there to a screw, m; C what is left
// of its clamping, N; mu friction between the faces; e from the middle of a hole to the edge, p between two holes, d0 the hole, d the
// screw, t the thickness, m; Rm tensile strength, tau shear strength of the part, Pa.
//
// Range: a stiff part that stays on its face: as long as C − N_i is above nothing everywhere. All that pulls is taken off the clamping,
// which is cautious. Screws in one row carry no moment about it but by the edge of the foot that the part tips over: M/(n heel), heel
// the distance of that edge, on the side to which M turns the part. One screw carries T by friction under its head alone, at the radius ring.
//
// Source: elastic centre: Shigley's Mechanical Engineering Design, 9th edition, section 8-12; slip with pull: EN 1993-1-8, 3.9.2, with all of
// the pull; bearing: EN 1999-1-1, table 8.5; both from memory.

import (
	"fmt"
	"math"
)

// A Place is one on the face, m.
type Place struct{ U, W float64 }

// An Onto is a force onto the part, N.
type Onto struct {
	U, W, N float64
	At      Place
	Height  float64 // above the face, m
}

// A Group is the screws of one part.
type Group struct {
	Screws []Place
	// Heel is how far the edge of the foot is from the row, to either side, where the screws stand in one: 0 where there is none.
	Heel float64
	// Foot has two opposite corners of the ground that the part stands on, in place of the heel, where its edges are not equally far: the part
	// tips over the edge towards which the moment turns it.
	Foot [2]Place
	// Ring is the mean radius at which one screw's head presses, m.
	Ring float64
}

// A Share is what one screw has to bear, N. Tension below nothing presses the faces together.
type Share struct{ U, W, Tension float64 }

// Shear is the force across the screw.
func (s Share) Shear() float64 { return math.Hypot(s.U, s.W) }

// rowFlat is the spread of the screws across a row, as a part of that along it, below which they stand in one.
const rowFlat = 1e-6

// edgeLeast is the least lever of a row that stands at the edge of its foot, m: there it bears nearly nothing, and nothing is divided by 0.
const edgeLeast = 1e-3

// heel is how far the edge of the foot is from the middle of the screws, some way along the face.
func (g Group) heel(mid, way Place) float64 {
	if g.Heel > 0 {
		return g.Heel
	}
	if g.Foot[0] == g.Foot[1] {
		return 0
	}
	far := math.Inf(1)
	for _, axis := range [][4]float64{{way.U, mid.U, g.Foot[0].U, g.Foot[1].U}, {way.W, mid.W, g.Foot[0].W, g.Foot[1].W}} {
		along, from, low, high := axis[0], axis[1], axis[2], axis[3]
		switch {
		case along > rowFlat:
			far = min(far, (high-from)/along)
		case along < -rowFlat:
			far = min(far, (low-from)/along)
		}
	}
	return max(far, edgeLeast)
}

// Bear shares the forces out. It returns an error for a group without screws, and where screws in a row would have to bear a moment about
// it and the foot has no heel.
func (g Group) Bear(onto []Onto, shares []Share) ([]Share, error) {
	n := float64(len(g.Screws))
	if n == 0 {
		return nil, fmt.Errorf("a group needs a screw")
	}
	var mid Place
	for _, s := range g.Screws {
		mid.U, mid.W = mid.U+s.U/n, mid.W+s.W/n
	}
	var uu, uw, ww float64
	for _, s := range g.Screws {
		u, w := s.U-mid.U, s.W-mid.W
		uu, uw, ww = uu+u*u, uw+u*w, ww+w*w
	}
	var sum Onto
	var turn, mu, mw float64
	for _, f := range onto {
		u, w := f.At.U-mid.U, f.At.W-mid.W
		sum.U, sum.W, sum.N = sum.U+f.U, sum.W+f.W, sum.N+f.N
		turn += u*f.W - w*f.U
		mu += f.N*u - f.U*f.Height
		mw += f.N*w - f.W*f.Height
	}
	// Along the main axes of the group its two moments are apart.
	angle := math.Atan2(2*uw, uu-ww) / 2
	sin, cos := math.Sincos(angle)
	spread := [2]float64{uu*cos*cos + 2*uw*sin*cos + ww*sin*sin, uu*sin*sin - 2*uw*sin*cos + ww*cos*cos}
	moment := [2]float64{mu*cos + mw*sin, -mu*sin + mw*cos}
	var slope [2]float64
	by := 0.0 // the heel
	polar := uu + ww
	for k := range slope {
		if spread[k] > rowFlat*polar && polar > 0 {
			slope[k] = moment[k] / spread[k]
		} else if m := math.Abs(moment[k]); m > 1e-9 {
			// What pulls on the far side of the row lifts the part off there, and presses it on the near side.
			way := [2]Place{{-cos, -sin}, {sin, -cos}}[k]
			if moment[k] < 0 {
				way = Place{-way.U, -way.W}
			}
			heel := g.heel(mid, way)
			if heel <= 0 {
				if n == 1 {
					return nil, fmt.Errorf("one screw alone would have to bear a moment that tips its part")
				}
				return nil, fmt.Errorf("the screws stand in one row and would have to bear a moment about it")
			}
			by += m / (n * heel)
		}
	}
	shares = shares[:0]
	for _, s := range g.Screws {
		u, w := s.U-mid.U, s.W-mid.W
		one := Share{sum.U / n, sum.W / n, sum.N/n + by + slope[0]*(u*cos+w*sin) + slope[1]*(-u*sin+w*cos)}
		if polar > 0 {
			one.U, one.W = one.U-turn*w/polar, one.W+turn*u/polar
		} else if turn != 0 {
			if g.Ring <= 0 {
				return nil, fmt.Errorf("the ring under the head of a single screw must be above zero")
			}
			across := one.Shear()
			one.U, one.W = across+math.Abs(turn)/g.Ring, 0 // both at once, at worst
		}
		shares = append(shares, one)
	}
	return shares, nil
}

// Bearing is the force in N at which the wall of a hole gives way, and TearOut that at which the strip before it shears out. Lengths in m.
// They return an error for sizes or strengths not above zero.
func Bearing(edge, spacing, hole, d, thick, tensile float64) (float64, error) {
	if err := positive(quantity{"edge distance", edge}, quantity{"hole", hole}, quantity{"screw", d}, quantity{"thickness", thick},
		quantity{"tensile strength", tensile}); err != nil {
		return 0, err
	}
	along := min(edge/(3*hole), 1)
	if spacing > 0 {
		along = min(along, spacing/(3*hole)-0.25)
	}
	across := min(2.8*edge/hole-1.7, 2.5)
	return max(0, along) * max(0, across) * tensile * d * thick, nil
}

func TearOut(edge, d, thick, shear float64) (float64, error) {
	if err := positive(quantity{"edge distance", edge}, quantity{"screw", d}, quantity{"thickness", thick}, quantity{"shear strength", shear}); err != nil {
		return 0, err
	}
	return 2 * thick * max(0, edge-d/2) * shear, nil
}

// ScrewShear is the force in N across one plane at which a screw shears: 0.6 of its tensile strength over the stress area for classes up to
// 8.8, 0.5 for the harder ones, which are less tough (EN 1993-1-8, table 3.4, from memory).
func ScrewShear(stressArea, tensile float64) (float64, error) {
	if err := positive(quantity{"stress area", stressArea}, quantity{"tensile strength", tensile}); err != nil {
		return 0, err
	}
	part := 0.6
	if tensile > 800e6*1.05 { // M16 and larger of class 8.8 have 830 MPa
		part = 0.5
	}
	return part * stressArea * tensile, nil
}
