package linkage

import (
	"fmt"
	"strings"
)

// A FaultKind says what is wrong with a mechanism.
type FaultKind int

const (
	NotANumber       FaultKind = iota // a coordinate, length or mass that is infinite or not a number, or a negative mass
	UnknownIndex                      // a body, slide or cylinder names a point or body that does not exist
	NoGround                          // no body is grounded
	NothingMoves                      // every body is grounded, or there is no body
	NoPoints                          // a body has no points
	PointTwice                        // a body names a point twice
	PointsCoincide                    // two points of one body are in the same place
	PointLoose                        // a cylinder or slide uses a point that no body has
	NotConnected                      // bodies that nothing joins to the ground
	SlideOnItself                     // the point of a slide belongs to the body of its line, or both are grounded
	OffLine                           // the point of a slide is drawn off its line
	NoLength                          // a cylinder whose closed length or stroke is not above zero
	SameBody                          // both ends of a cylinder are on one body: it can never move
	DrawnTooShort                     // the drawn length of a cylinder is less than its closed length
	DrawnTooLong                      // the drawn length of a cylinder is more than its extended length
	Locked                            // the linkage can't move, with every cylinder free: the pivots that repeat others, else all of them
	Undriven                          // the linkage can still move when every cylinder holds its length; points in one place that are no pivot
	SingularAsDrawn                   // the drawn pose is a dead point or a change point: two ways on from it
	WrongDrive                        // a sweep of a cylinder that does not exist, or to a stroke that it does not have
	CaseIncomplete                    // a load case names what the mechanism doesn't have, or holds a number that is none
	FrictionLocks                     // friction in the pivots grows faster than the thrust: it jams
	PointStandsStill                  // the point that shall take the thrust doesn't move with the cylinder
	TooMany                           // more points, bodies, slides or cylinders than Most
	CylinderStuck                     // a cylinder that is to move and whose ends can't move against each other
	CylindersFight                    // cylinders that share a freedom, of which a drive moves one against another
)

// A Fault is one mistake in a mechanism, with the indices of what it concerns.
type Fault struct {
	Kind                              FaultKind
	Points, Bodies, Slides, Cylinders []int
	Length, Least, Most               float64 // m; of a cylinder as drawn, closed and extended, or how far a point is off its line
	Count                             int     // of what there is too many
}

func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(faultText[f.Kind])
	for _, part := range []struct {
		name string
		of   []int
	}{{"points", f.Points}, {"bodies", f.Bodies}, {"slides", f.Slides}, {"cylinders", f.Cylinders}} {
		if len(part.of) > 0 {
			fmt.Fprintf(&b, ", %s %v", part.name, part.of)
		}
	}
	if f.Kind == OffLine {
		fmt.Fprintf(&b, ": by %.6g m", f.Length)
	}
	if f.Kind == TooMany {
		fmt.Fprintf(&b, ": %d points, bodies, slides or cylinders, allowed %d of each", f.Count, Most)
	}
	if f.Kind == DrawnTooShort || f.Kind == DrawnTooLong {
		fmt.Fprintf(&b, ": %.6g m, allowed %.6g to %.6g m", f.Length, f.Least, f.Most)
	}
	return b.String()
}

var faultText = map[FaultKind]string{
	NotANumber:       "a number is infinite, missing or negative",
	UnknownIndex:     "an index points to nothing",
	NoGround:         "no body is grounded",
	NothingMoves:     "no body can move",
	NoPoints:         "a body has no points",
	PointTwice:       "a body names a point twice",
	PointsCoincide:   "two points of one body are in the same place",
	PointLoose:       "a point belongs to no body",
	NotConnected:     "bodies are not joined to the ground",
	SlideOnItself:    "a slide joins a body to itself",
	OffLine:          "the point of a slide is drawn off its line",
	NoLength:         "a cylinder has no closed length or no stroke",
	SameBody:         "both ends of a cylinder are on one body",
	DrawnTooShort:    "a cylinder is drawn shorter than it is when closed",
	DrawnTooLong:     "a cylinder is drawn longer than it is when extended",
	Locked:           "the linkage can't move",
	Undriven:         "the linkage moves though every cylinder holds its length",
	SingularAsDrawn:  "the drawn pose is a dead point or a change point",
	WrongDrive:       "a sweep that the cylinders can't make",
	CaseIncomplete:   "a load case that does not fit the mechanism",
	FrictionLocks:    "friction in the pivots jams the linkage",
	PointStandsStill: "the point does not move with the cylinder",
	TooMany:          "the mechanism is too large",
	CylinderStuck:    "what a cylinder acts on can't move",
	CylindersFight:   "cylinders that share a freedom can't move against each other",
}

// Faults are all mistakes found in a mechanism. It is the error that New returns.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fault.Error()
	}
	return strings.Join(lines, "; ")
}
