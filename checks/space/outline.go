package space

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// An Outline is the shape of a part in its body's own frame, m. Bar, Circle and Polygon make one.
type Outline struct{ pieces []piece }

// A piece is all that is within a radius of a convex core: one corner, two, or a polygon's counter-clockwise.
type piece struct {
	core   []r2.Vec
	radius float64
}

// Bar is a strip with round ends along a line through the points. Its width is in m. With one point it is a circle. The error says
// which point or number is no good.
func Bar(width float64, points ...r2.Vec) (Outline, error) {
	if err := positive("the width of a bar", width); err != nil {
		return Outline{}, err
	}
	if len(points) == 0 {
		return Outline{}, errors.New("a bar has no points, it needs one or more")
	}
	if err := finite("a bar", points); err != nil {
		return Outline{}, err
	}
	if len(points) == 1 {
		return Outline{[]piece{{slices.Clone(points), width / 2}}}, nil
	}
	out := Outline{}
	for i, p := range points[1:] {
		if p == points[i] {
			return Outline{}, fmt.Errorf("points %d and %d of a bar are in the same place, they must differ", i+1, i+2)
		}
		out.pieces = append(out.pieces, piece{[]r2.Vec{points[i], p}, width / 2})
	}
	return out, nil
}

// Circle is a disc; its diameter is in m. The error says which number is no good.
func Circle(centre r2.Vec, diameter float64) (Outline, error) {
	if err := positive("the diameter of a circle", diameter); err != nil {
		return Outline{}, err
	}
	if err := finite("a circle", []r2.Vec{centre}); err != nil {
		return Outline{}, err
	}
	return Outline{[]piece{{[]r2.Vec{centre}, diameter / 2}}}, nil
}

// Polygon is an area with straight sides, convex or not, with its corners in either order. The error says which corner or side is no
// good: sides must not cross or touch each other except at the corner that they share.
func Polygon(corners ...r2.Vec) (Outline, error) {
	if err := finite("a polygon", corners); err != nil {
		return Outline{}, err
	}
	if err := simple(corners); err != nil {
		return Outline{}, err
	}
	ring := slices.Clone(corners)
	if area(ring) < 0 {
		slices.Reverse(ring)
	}
	out := Outline{}
	for _, core := range convexParts(ring) {
		out.pieces = append(out.pieces, piece{core, 0})
	}
	return out, nil
}

func positive(name string, value float64) error {
	if !(value > 0) || math.IsInf(value, 0) {
		return fmt.Errorf("%s must be above zero and finite, found %g m", name, value)
	}
	return nil
}

func finite(name string, points []r2.Vec) error {
	for i, p := range points {
		if !isFinite(p.X) || !isFinite(p.Y) {
			return fmt.Errorf("point %d of %s is at (%g, %g), both numbers must be finite", i+1, name, p.X, p.Y)
		}
	}
	return nil
}

func isFinite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// simple reports what keeps corners from bounding one area.
func simple(p []r2.Vec) error {
	n := len(p)
	if n < 3 {
		return fmt.Errorf("a polygon has %d corners, it needs three or more", n)
	}
	for i := range p {
		if p[i] == p[(i+1)%n] {
			return fmt.Errorf("corners %d and %d of a polygon are in the same place, they must differ", i+1, (i+1)%n+1)
		}
	}
	for i := range p {
		a, b, c := p[i], p[(i+1)%n], p[(i+2)%n]
		if turn(a, b, c) == 0 && r2.Dot(r2.Sub(b, a), r2.Sub(c, b)) < 0 {
			return fmt.Errorf("the sides of a polygon run back on each other at corner %d, they must enclose an area", (i+1)%n+1)
		}
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			if meet(a, b, p[j], p[(j+1)%n]) {
				return fmt.Errorf("the sides of a polygon from corner %d to %d and from %d to %d cross or touch, they must stay apart", i+1, i+2, j+1, (j+1)%n+1)
			}
		}
	}
	return nil
}

// turn is twice the area of the triangle a, b, c: above zero when it turns left.
func turn(a, b, c r2.Vec) float64 { return r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) }

// meet says whether two lines between points cross or touch.
func meet(a, b, c, d r2.Vec) bool {
	within := func(a, b, p r2.Vec) bool { // p on the line through a and b
		return min(a.X, b.X) <= p.X && p.X <= max(a.X, b.X) && min(a.Y, b.Y) <= p.Y && p.Y <= max(a.Y, b.Y)
	}
	abc, abd, cda, cdb := turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)
	return abc*abd < 0 && cda*cdb < 0 ||
		abc == 0 && within(a, b, c) || abd == 0 && within(a, b, d) || cda == 0 && within(c, d, a) || cdb == 0 && within(c, d, b)
}

// area of a ring, above zero when it runs counter-clockwise.
func area(ring []r2.Vec) float64 {
	sum := 0.0
	for i := 1; i+1 < len(ring); i++ {
		sum += turn(ring[0], ring[i], ring[i+1])
	}
	return sum / 2
}

// convexParts cuts a simple ring into convex ones: ears first, then ears that make a convex part together are joined again.
func convexParts(ring []r2.Vec) [][]r2.Vec {
	corners := make([]int, len(ring))
	for i := range corners {
		corners[i] = i
	}
	var parts [][]int
	for len(corners) > 3 {
		n, cut := len(corners), false
		for i := range corners {
			a, b, c := corners[(i+n-1)%n], corners[i], corners[(i+1)%n]
			bend := turn(ring[a], ring[b], ring[c])
			if bend < 0 || bend > 0 && !isEar(ring, corners, a, b, c) {
				continue
			}
			if bend > 0 {
				parts = append(parts, []int{a, b, c})
			}
			corners = slices.Delete(corners, i, i+1)
			cut = true
			break
		}
		if !cut {
			break // roundoff alone: a simple ring has an ear
		}
	}
	parts = append(parts, corners)
	for joined := true; joined; {
		joined = false
		for i := range parts {
			for j := i + 1; j < len(parts) && !joined; j++ {
				if both := joinedAlongSide(ring, parts[i], parts[j]); both != nil {
					parts[i], parts = both, slices.Delete(parts, j, j+1)
					joined = true
				}
			}
			if joined {
				break
			}
		}
	}
	out := make([][]r2.Vec, len(parts))
	for i, part := range parts {
		for _, c := range part {
			out[i] = append(out[i], ring[c])
		}
	}
	return out
}

func isEar(ring []r2.Vec, corners []int, a, b, c int) bool {
	for _, k := range corners {
		p := ring[k]
		if k != a && k != b && k != c && turn(ring[a], ring[b], p) >= 0 && turn(ring[b], ring[c], p) >= 0 && turn(ring[c], ring[a], p) >= 0 {
			return false
		}
	}
	return true
}

// joinedAlongSide gives the union of two counter-clockwise parts that share a side, or nil when it isn't convex.
func joinedAlongSide(ring []r2.Vec, p, q []int) []int {
	for i := range p {
		from, to := p[i], p[(i+1)%len(p)]
		j := slices.Index(q, to)
		if j < 0 || q[(j+1)%len(q)] != from {
			continue
		}
		both := slices.Clone(p[:i+1])
		for k := 2; k < len(q); k++ {
			both = append(both, q[(j+k)%len(q)])
		}
		both = append(both, p[i+1:]...)
		n := len(both)
		for k := range both {
			if turn(ring[both[k]], ring[both[(k+1)%n]], ring[both[(k+2)%n]]) < 0 {
				return nil
			}
		}
		return both
	}
	return nil
}
