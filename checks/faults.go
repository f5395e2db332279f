package checks

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"trammel.example/checks/linkage"
	"trammel.example/schema"
)

// refuse keeps in the builder's names why a linkage can't be computed.
func (mo *motion) refuse(err error) {
	mo.kinds = faultsIn(err)
	if len(mo.kinds) == 0 {
		mo.faults = append(mo.faults, err.Error())
	}
	for _, f := range mo.kinds {
		mo.faults = append(mo.faults, mo.faultText(f))
	}
}

// faultsIn are the mistakes in an error of the solver.
func faultsIn(err error) []linkage.Fault {
	var faults linkage.Faults
	if errors.As(err, &faults) {
		return faults
	}
	var one linkage.Fault
	if errors.As(err, &one) {
		return []linkage.Fault{one}
	}
	return nil
}

func (mo *motion) faultText(f linkage.Fault) string {
	bodies, points, cylinders := mo.names(f.Bodies, mo.links), mo.names(f.Points, mo.points), mo.names(f.Cylinders, mo.cylinders)
	mm := func(x float64) string { return schema.Format(schema.LengthDim, x) }
	if f.Kind == linkage.Locked && len(f.Points) > 0 {
		return fmt.Sprintf("the links can't move, whatever the cylinders do (%s): a pivot too many at %s, or links that should be equal and are not", bodies, points)
	}
	if f.Kind == linkage.Undriven && len(f.Points) > 0 {
		return fmt.Sprintf("with every cylinder held, %s can still move, and the points %s lie in one place without being one: give both links the same point, or add what holds them", bodies, points)
	}
	switch f.Kind {
	case linkage.NoGround:
		return "no link is fixed to the ground"
	case linkage.NothingMoves:
		return "every link is fixed to the ground"
	case linkage.NotConnected:
		return fmt.Sprintf("nothing joins %s to the fixed links", bodies)
	case linkage.SameBody:
		return fmt.Sprintf("%s has both ends on %s and can never move", cylinders, bodies)
	case linkage.DrawnTooShort:
		return fmt.Sprintf("%s is drawn %s long from pin to pin, and closed it is %s: it is %s too long to fit between %s", cylinders, mm(f.Length), mm(f.Least), mm(f.Least-f.Length), points)
	case linkage.DrawnTooLong:
		return fmt.Sprintf("%s is drawn %s long from pin to pin, and with the rod out it reaches %s: it is %s too short to reach between %s", cylinders, mm(f.Length), mm(f.Most), mm(f.Length-f.Most), points)
	case linkage.Locked:
		return fmt.Sprintf("the links can't move, whatever the cylinders do (%s): a pivot too many, or links that should be equal and are not", bodies)
	case linkage.Undriven:
		return fmt.Sprintf("with every cylinder held, %s can still move: a link or a cylinder is missing", bodies)
	case linkage.SingularAsDrawn:
		return fmt.Sprintf("the pose as drawn is one from which two ways lead on (%s): draw it where the links are not in line", points)
	case linkage.NoPoints:
		return bodies + " has no points"
	case linkage.PointTwice:
		return fmt.Sprintf("%s names the point %s twice", bodies, points)
	case linkage.PointsCoincide:
		return fmt.Sprintf("%s lie in one place on %s: between them it has no length", points, bodies)
	case linkage.PointLoose:
		return fmt.Sprintf("%s is on no link, and a cylinder or a slide needs it there", points)
	case linkage.SlideOnItself:
		return fmt.Sprintf("the slide of %s runs on its own link, or between fixed ones: it can never slide", points)
	case linkage.OffLine:
		return fmt.Sprintf("%s is drawn %s beside the line that it slides along", points, mm(f.Length))
	case linkage.NoLength:
		return cylinders + " has no closed length or no stroke"
	case linkage.CylindersFight:
		return fmt.Sprintf("%s work against each other at %s: the links let them move only together, and their strokes and places don't agree", cylinders, points)
	case linkage.CylinderStuck:
		return fmt.Sprintf("what %s acts on can't move between %s, whatever the cylinder does: a pivot too many, or links that hold each other", cylinders, points)
	case linkage.TooMany:
		return fmt.Sprintf("there are %d points, links, slides or cylinders of one kind, and trammel solves machines of up to %d", f.Count, linkage.Most)
	case linkage.NotANumber, linkage.UnknownIndex:
		return fmt.Sprintf("a place, a length or a mass of %s is no usable number", firstNamed(points, bodies, cylinders))
	}
	return f.Error()
}

// firstNamed is the first of some texts that names something.
func firstNamed(texts ...string) string {
	for _, t := range texts {
		if t != noNames {
			return t
		}
	}
	return noNames
}

const noNames = "the links"

// stopText says in the builder's names what is at the end of the way that the links let a cylinder go.
func (mo *motion) stopText(s *linkage.Stop, lead int) string {
	links, points := mo.names(s.Bodies, mo.links), mo.names(s.Points, mo.points)
	stand := "stand"
	if len(s.Bodies) == 1 {
		stand = "stands"
	}
	switch s.Reason {
	case linkage.DeadPoint:
		return "where its line runs through the pivot about which it turns " + links + ": a dead point, at which it has no lever"
	case linkage.Stretched:
		if len(s.Bodies) == 1 {
			return "where " + links + " stands in line with what holds it, and goes no farther"
		}
		return fmt.Sprintf("where %s %s stretched out in line, and reach no farther", links, stand)
	case linkage.ChangePoint:
		text := fmt.Sprintf("where %s %s in line, and can fold one way or the other (a change point)", links, stand)
		if ways := mo.waysOn(s); ways != "" {
			text += ": " + ways
		}
		return text
	case linkage.StrokeEnds:
		for i, c := range mo.mechanism.Cylinders {
			if len(s.Points) == 2 && slices.Contains(s.Points, c.Rear) && slices.Contains(s.Points, c.Front) && i != lead {
				return "where " + mo.cylinders[i] + ", which moves along, is at the end of its own stroke"
			}
		}
	case linkage.Binds:
		for _, set := range mo.solver.Mobility().Tied {
			for _, i := range set {
				if c := mo.mechanism.Cylinders[i]; len(s.Points) == 2 && slices.Contains(s.Points, c.Rear) && slices.Contains(s.Points, c.Front) {
					return "where " + mo.names(set, mo.cylinders) + " no longer fit together: from there on they work against each other"
				}
			}
		}
		return "where the links no longer fit together at " + points + ": one that repeats others has not their length"
	}
	return "and no pose was found beyond it"
}

// names are those of some indexes, in words.
func (mo *motion) names(indexes []int, of []string) string {
	if len(indexes) == 0 {
		return noNames
	}
	return inWords(mo.listed(indexes, of))
}

func (mo *motion) listed(indexes []int, of []string) []string {
	names := make([]string, len(indexes))
	for i, k := range indexes {
		names[i] = of[k]
	}
	return names
}

// inWords is "a, b and c".
func inWords(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
