package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// leastPart is the part of the size below which a length counts as zero: points that close are one, and an unset Fit is this. Much
// smaller and rounding decides; much larger and a small but real link is refused.
const leastPart = 1e-9

// Most is how many points, bodies, slides or cylinders a mechanism may have, each point in two bodies on average: preparing goes with
// the square, and this many take about a second.
const Most = 1000

// check finds the mistakes that need no solving. size is the longest way between two points.
func check(m Mechanism) (size float64, faults Faults) {
	count := max(len(m.Points), len(m.Bodies), len(m.Slides), len(m.Cylinders))
	places := 0
	for _, b := range m.Bodies {
		places += len(b.Points)
	}
	if count = max(count, (places+1)/2); count > Most {
		return 0, Faults{{Kind: TooMany, Count: count}}
	}
	faults = append(checkNumbers(m), checkIndices(m)...)
	if len(faults) > 0 {
		return 0, faults // what follows would compute with them
	}
	size = diameter(m.Points)
	faults = append(faults, checkBodies(m, size)...)
	faults = append(faults, checkCylinders(m, size)...)
	return size, append(faults, checkConnected(m)...)
}

// diameter is the longest way between two points.
func diameter(points []r2.Vec) float64 {
	most := 0.0
	for i, p := range points {
		for _, q := range points[:i] {
			most = max(most, r2.Norm2(r2.Sub(p, q)))
		}
	}
	return math.Sqrt(most)
}

// finite refuses NaN, infinities and numbers so large that their square is none.
func finite(numbers ...float64) bool {
	for _, v := range numbers {
		if !(math.Abs(v) < 1e100) {
			return false
		}
	}
	return true
}

func checkNumbers(m Mechanism) (faults Faults) {
	for i, p := range m.Points {
		if !finite(p.X, p.Y) {
			faults = append(faults, Fault{Kind: NotANumber, Points: []int{i}})
		}
	}
	for i, b := range m.Bodies {
		if !finite(b.Mass, b.Centre.X, b.Centre.Y, b.Inertia) || b.Mass < 0 || b.Inertia < 0 {
			faults = append(faults, Fault{Kind: NotANumber, Bodies: []int{i}})
		}
	}
	for i, c := range m.Cylinders {
		if !finite(c.Closed, c.Stroke, c.BodyMass, c.BodyCentre, c.RodMass, c.RodCentre) || c.BodyMass < 0 || c.RodMass < 0 {
			faults = append(faults, Fault{Kind: NotANumber, Cylinders: []int{i}})
		}
	}
	if !finite(m.Fit) || m.Fit < 0 {
		faults = append(faults, Fault{Kind: NotANumber})
	}
	return faults
}

func checkIndices(m Mechanism) (faults Faults) {
	known := func(points ...int) bool {
		for _, p := range points {
			if p < 0 || p >= len(m.Points) {
				return false
			}
		}
		return true
	}
	for i, b := range m.Bodies {
		if !known(b.Points...) {
			faults = append(faults, Fault{Kind: UnknownIndex, Bodies: []int{i}})
		}
	}
	for i, s := range m.Slides {
		if !known(s.Point, s.From, s.To) || s.Body < 0 || s.Body >= len(m.Bodies) {
			faults = append(faults, Fault{Kind: UnknownIndex, Slides: []int{i}})
		} else if !has(m.Bodies[s.Body], s.From) || !has(m.Bodies[s.Body], s.To) || s.From == s.To {
			faults = append(faults, Fault{Kind: UnknownIndex, Slides: []int{i}, Points: []int{s.From, s.To}, Bodies: []int{s.Body}})
		}
	}
	for i, c := range m.Cylinders {
		if !known(c.Rear, c.Front) {
			faults = append(faults, Fault{Kind: UnknownIndex, Cylinders: []int{i}})
		}
	}
	return faults
}

func has(b Body, point int) bool {
	for _, p := range b.Points {
		if p == point {
			return true
		}
	}
	return false
}

func checkBodies(m Mechanism, size float64) (faults Faults) {
	grounded, moving := false, false
	for i, b := range m.Bodies {
		grounded = grounded || b.Ground
		moving = moving || !b.Ground
		if len(b.Points) == 0 {
			faults = append(faults, Fault{Kind: NoPoints, Bodies: []int{i}})
		}
		for k, p := range b.Points {
			for _, q := range b.Points[:k] {
				if p == q {
					faults = append(faults, Fault{Kind: PointTwice, Points: []int{p}, Bodies: []int{i}})
				} else if r2.Norm(r2.Sub(m.Points[p], m.Points[q])) <= leastPart*size {
					faults = append(faults, Fault{Kind: PointsCoincide, Points: []int{q, p}, Bodies: []int{i}})
				}
			}
		}
	}
	if !grounded {
		faults = append(faults, Fault{Kind: NoGround})
	}
	if !moving {
		faults = append(faults, Fault{Kind: NothingMoves})
	}
	owned := make([]bool, len(m.Points))
	for _, b := range m.Bodies {
		for _, p := range b.Points {
			owned[p] = true
		}
	}
	for i, s := range m.Slides {
		on := m.Bodies[s.Body]
		switch {
		case !owned[s.Point]:
			faults = append(faults, Fault{Kind: PointLoose, Points: []int{s.Point}, Slides: []int{i}})
		case has(on, s.Point) || on.Ground && onGround(m, s.Point):
			faults = append(faults, Fault{Kind: SlideOnItself, Points: []int{s.Point}, Bodies: []int{s.Body}, Slides: []int{i}})
		default:
			from := m.Points[s.From]
			along, to := r2.Sub(m.Points[s.To], from), r2.Sub(m.Points[s.Point], from)
			if off := math.Abs(r2.Cross(along, to)) / r2.Norm(along); off > max(m.Fit, leastPart*size) {
				faults = append(faults, Fault{Kind: OffLine, Points: []int{s.Point, s.From, s.To}, Slides: []int{i}, Length: off})
			}
		}
	}
	for i, c := range m.Cylinders {
		for _, p := range []int{c.Rear, c.Front} {
			if !owned[p] {
				faults = append(faults, Fault{Kind: PointLoose, Points: []int{p}, Cylinders: []int{i}})
			}
		}
	}
	return faults
}

func onGround(m Mechanism, point int) bool {
	for _, b := range m.Bodies {
		if b.Ground && has(b, point) {
			return true
		}
	}
	return false
}

func checkCylinders(m Mechanism, size float64) (faults Faults) {
	fit := max(m.Fit, leastPart*size)
	for i, c := range m.Cylinders {
		length := r2.Norm(r2.Sub(m.Points[c.Front], m.Points[c.Rear]))
		fault := Fault{Points: []int{c.Rear, c.Front}, Cylinders: []int{i}, Length: length, Least: c.Closed, Most: c.Closed + c.Stroke}
		if body, same := oneBody(m, c.Rear, c.Front); same {
			fault.Kind, fault.Bodies = SameBody, []int{body}
			faults = append(faults, fault)
			continue
		}
		switch {
		case !(c.Closed > 0 && c.Stroke > 0):
			fault.Kind = NoLength
		case length < c.Closed-fit:
			fault.Kind = DrawnTooShort
		case length > c.Closed+c.Stroke+fit:
			fault.Kind = DrawnTooLong
		default:
			continue
		}
		faults = append(faults, fault)
	}
	return faults
}

// oneBody finds a body that has both points. All grounded bodies count as one.
func oneBody(m Mechanism, p, q int) (body int, same bool) {
	for i, b := range m.Bodies {
		if has(b, p) && (has(b, q) || p == q || b.Ground && onGround(m, q)) {
			return i, true
		}
	}
	return 0, false
}

// checkConnected finds bodies that no chain of pivots, slides and cylinders joins to the ground, and those that only cylinders do.
func checkConnected(m Mechanism) (faults Faults) {
	reached := make([]bool, len(m.Points))
	inBody := make([]bool, len(m.Bodies))
	for i, b := range m.Bodies {
		inBody[i] = b.Ground
		for _, p := range b.Points {
			reached[p] = reached[p] || b.Ground
		}
	}
	join := func(points ...int) (changed bool) {
		one := false
		for _, p := range points {
			one = one || reached[p]
		}
		for _, p := range points {
			changed = changed || one && !reached[p]
			reached[p] = one
		}
		return changed
	}
	for again := true; again; {
		again = false
		for i, b := range m.Bodies {
			again = join(b.Points...) || again
			inBody[i] = inBody[i] || len(b.Points) > 0 && reached[b.Points[0]]
		}
		for _, s := range m.Slides {
			again = join(s.Point, s.From) || again
		}
		for _, c := range m.Cylinders {
			again = join(c.Rear, c.Front) || again
		}
	}
	loose := Fault{Kind: NotConnected}
	for i, in := range inBody {
		if !in && len(m.Bodies[i].Points) > 0 {
			loose.Bodies = append(loose.Bodies, i)
			loose.Points = append(loose.Points, m.Bodies[i].Points...)
		}
	}
	if len(loose.Bodies) > 0 {
		slices.Sort(loose.Points)
		loose.Points = slices.Compact(loose.Points)
		faults = append(faults, loose)
	}
	return faults
}

// coincident lists points of different bodies that are drawn in one place without being one pivot: often meant as one.
func coincident(m Mechanism, size float64) (points []int) {
	owner := make([]int, len(m.Points))
	for i := range owner {
		owner[i] = -1
	}
	for i, b := range m.Bodies {
		for _, p := range b.Points {
			owner[p] = i
		}
	}
	for i, p := range m.Points {
		for k, q := range m.Points[:i] {
			if owner[i] >= 0 && owner[k] >= 0 && owner[i] != owner[k] && r2.Norm(r2.Sub(p, q)) <= max(m.Fit, leastPart*size) {
				points = append(points, k, i)
			}
		}
	}
	slices.Sort(points)
	return slices.Compact(points)
}
