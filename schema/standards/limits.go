package standards

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// ISO 286-1:2010. A class is a letter and a grade. The grade gives the width IT of the zone, the letter where it lies:
//
//	shaft c to h      upper = es, lower = es - IT
//	shaft k, m to s   lower = ei, upper = ei + IT
//	hole D to H       lower = EI, upper = EI + IT
//	hole K7, N9, ...  upper = ES, lower = ES - IT
//	js, JS            IT/2 to both sides
//
// Sizes above 0 up to 120 mm, grades 5 to 16; k up to grade 7, as its deviation is another one beyond.

// step is a row of a table by size: it holds for sizes up to and including upTo, in m.
type step struct {
	upTo   float64
	values named[float64]
}

// limits keeps the values of ISO 286 in micrometres, whole numbers as printed, so that sums are exact.
type limits struct {
	grades                         []step // by "5" to "16"
	shaftES, shaftEI, holeEI       []step // by letter
	holeES                         []step // by class
	gradeNames                     []string
	shaftESLetters, shaftEILetters []string
	holeEILetters, holeESClasses   []string
	holes, shafts                  []string // all classes
}

const (
	isoLimits  = "ISO 286"
	isoGeneral = "ISO 2768-1, class m"
	// The last grade for which k has the deviation in the table.
	lastGradeOfK = 7
)

func readLimits(s row) limits {
	column := func(list, label string) (steps []step, labels []string) {
		for _, x := range s.list(list) {
			entry := s.row(x)
			cells := entry.child(label)
			values := named[float64]{names: cells.labels}
			for _, name := range cells.labels {
				values.rows = append(values.rows, cells.child(name).number("um"))
			}
			steps, labels = append(steps, step{entry.quantity("upTo"), values}), cells.labels
		}
		return steps, labels
	}
	var l limits
	l.grades, l.gradeNames = column("grades", "IT")
	l.shaftES, l.shaftESLetters = column("shafts", "es")
	l.shaftEI, l.shaftEILetters = column("shafts", "ei")
	l.holeEI, l.holeEILetters = column("holes", "EI")
	l.holeES, l.holeESClasses = column("holes", "ES")
	l.holes, l.shafts = l.holeClasses(), l.shaftClasses()
	return l
}

// rowAt finds the row for a size.
func rowAt(steps []step, table string, size float64) (step, error) {
	if size > 0 {
		for _, s := range steps {
			// A size worked out in floating point may lie a hair above the limit it stands for.
			if size <= s.upTo*(1+1e-9) {
				return s, nil
			}
		}
	}
	return step{}, &RangeError{Table: table, Size: size, To: steps[len(steps)-1].upTo}
}

// metres turns deviations in micrometres into m.
func metres(lower, upper float64) (float64, float64, error) { return lower / 1e6, upper / 1e6, nil }

// Hole gives the deviations of a hole class such as "H7" at a size in m: lower (EI) and upper (ES), m.
func Hole(class string, size float64) (lower, upper float64, err error) {
	l := &all.limits
	if !slices.Contains(l.holes, class) {
		return 0, 0, &UnknownError{Kind: "hole class", Name: class, Allowed: slices.Clone(l.holes), Summary: l.sentence(l.holeEILetters, "JS", strings.Join(l.holeESClasses, ", "))}
	}
	it, err := l.width(class, size)
	if err != nil {
		return 0, 0, err
	}
	if strings.HasPrefix(class, "JS") {
		return metres(-it/2, it/2)
	}
	if ei, err := rowAt(l.holeEI, isoLimits, size); err != nil {
		return 0, 0, err
	} else if v, ok := ei.values.at(letterOf(class)); ok {
		return metres(v, v+it)
	}
	es, err := rowAt(l.holeES, isoLimits, size)
	if err != nil {
		return 0, 0, err
	}
	v, _ := es.values.at(class)
	return metres(v-it, v)
}

// Shaft gives the deviations of a shaft class such as "h6" at a size in m: lower (ei) and upper (es), m.
func Shaft(class string, size float64) (lower, upper float64, err error) {
	l := &all.limits
	if !slices.Contains(l.shafts, class) {
		letters := slices.DeleteFunc(slices.Concat(l.shaftESLetters, l.shaftEILetters), func(s string) bool { return s == "k" })
		return 0, 0, &UnknownError{Kind: "shaft class", Name: class, Allowed: slices.Clone(l.shafts), Summary: l.sentence(letters, "js", "k5, k6, k7")}
	}
	it, err := l.width(class, size)
	if err != nil {
		return 0, 0, err
	}
	if strings.HasPrefix(class, "js") {
		return metres(-it/2, it/2)
	}
	if es, err := rowAt(l.shaftES, isoLimits, size); err != nil {
		return 0, 0, err
	} else if v, ok := es.values.at(letterOf(class)); ok {
		return metres(v-it, v)
	}
	ei, err := rowAt(l.shaftEI, isoLimits, size)
	if err != nil {
		return 0, 0, err
	}
	v, _ := ei.values.at(letterOf(class))
	return metres(v, v+it)
}

func letterOf(class string) string { return strings.TrimRight(class, "0123456789") }

// width is IT of the class's grade, micrometres.
func (l *limits) width(class string, size float64) (float64, error) {
	row, err := rowAt(l.grades, isoLimits, size)
	if err != nil {
		return 0, err
	}
	it, _ := row.values.at(strings.TrimPrefix(class, letterOf(class)))
	return it, nil
}

func (l *limits) sentence(letters []string, symmetric, others string) string {
	return fmt.Sprintf("%s, %s with a grade from %s to %s, and %s", strings.Join(letters, ", "), symmetric, l.gradeNames[0], l.gradeNames[len(l.gradeNames)-1], others)
}

func (l *limits) holeClasses() []string {
	var all []string
	for _, letter := range append(slices.Clone(l.holeEILetters), "JS") {
		for _, grade := range l.gradeNames {
			all = append(all, letter+grade)
		}
	}
	return append(all, l.holeESClasses...)
}

func (l *limits) shaftClasses() []string {
	var all []string
	for _, letter := range append(slices.Concat(l.shaftESLetters, l.shaftEILetters), "js") {
		for _, grade := range l.gradeNames {
			if n, err := strconv.Atoi(grade); err == nil && letter == "k" && n > lastGradeOfK {
				continue
			}
			all = append(all, letter+grade)
		}
	}
	return all
}

// HoleClasses lists the classes that Hole knows.
func HoleClasses() []string {
	return slices.Clone(all.limits.holes)
}

// ShaftClasses lists the classes that Shaft knows.
func ShaftClasses() []string {
	return slices.Clone(all.limits.shafts)
}

// ScrewLengthTolerance is how much longer or shorter than its nominal length in m a screw may be, m, to either side:
// js15 of ISO 286, as ISO 4762, ISO 4014, ISO 4017, ISO 10642 (product grade A) have it. Lengths up to 120 mm.
func ScrewLengthTolerance(length float64) (float64, error) {
	row, err := rowAt(all.limits.grades, isoLimits, length)
	if err != nil {
		return 0, err
	}
	it, _ := row.values.at("15")
	return it / 2 / 1e6, nil
}

func readGeneral(s row) []step {
	var steps []step
	for _, x := range s.list("each") {
		entry := s.row(x)
		steps = append(steps, step{entry.quantity("upTo"), named[float64]{[]string{"deviation"}, []float64{entry.quantity("deviation")}}})
	}
	return steps
}

// GeneralTolerance is the deviation in m, to either side, of a size in m that has no tolerance of its own: ISO 2768-1, class m.
// The standard starts at 0.5 mm; below, the first row is used.
func GeneralTolerance(size float64) (float64, error) {
	row, err := rowAt(all.general, isoGeneral, size)
	if err != nil {
		return 0, err
	}
	deviation, _ := row.values.at("deviation")
	return deviation, nil
}
