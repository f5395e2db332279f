package wiring

import (
	"math"
	"slices"
)

// A size of wire with what a metre of it has at most at 20 °C (IEC 60228 class 5, plain copper; below 0.5 mm² DIN VDE 0812 practice) and
// what it may carry in a bundle (IEC 60204-1 from memory; below 0.75 mm² common practice, no source).
type size struct{ area, ohms, amps float64 } // m², Ω/m, A

var sizes = []size{
	{0.14e-6, 134e-3, 2}, {0.25e-6, 76e-3, 3}, {0.34e-6, 53e-3, 4}, {0.5e-6, 39.0e-3, 6}, {0.75e-6, 26.0e-3, 8.5},
	{1e-6, 19.5e-3, 10.1}, {1.5e-6, 13.3e-3, 13.1}, {2.5e-6, 7.98e-3, 17.4},
}

// Areas are the usual sizes of wire, m².
func Areas() []float64 {
	var all []float64
	for _, s := range sizes {
		all = append(all, s.area)
	}
	return all
}

// Made are the sections that wire is sold in, m²: those of IEC 60228 from 0.5 mm² on, and below what is common practice, no source.
func Made() []float64 {
	return slices.Concat([]float64{0.08e-6, 0.14e-6, 0.22e-6, 0.25e-6, 0.34e-6}, []float64{0.5e-6, 0.75e-6, 1e-6, 1.5e-6, 2.5e-6, 4e-6, 6e-6, 10e-6})
}

// IsGauge reports whether a section (m²) is that of an American wire gauge, as it is printed on wire that is sold by both.
func IsGauge(area float64) bool {
	for gauge := 8.0; gauge <= 28; gauge += 2 {
		if of := AreaOfAWG(gauge); math.Abs(area-of) < 0.03*of {
			return true
		}
	}
	return false
}

const (
	// stranded is the resistivity that the table's larger sizes come to with the lay of their strands, Ω m.
	stranded = 19.5e-9
	// copper is that of annealed copper (IEC 60028), Ω m.
	copper = 1.7241e-8
	// warming is the growth of copper's resistance with its temperature, 1/K, from 20 °C.
	warming = 0.00393
)

// OhmsPerMetre is the resistance of a metre of wire, one way, at 20 °C.
func OhmsPerMetre(area float64) float64 {
	for _, s := range sizes {
		if math.Abs(area-s.area) < 1e-3*s.area {
			return s.ohms
		}
	}
	return stranded / area
}

// OhmsPerMetreAWG is that of an American wire gauge, solid or of strands of its whole section.
func OhmsPerMetreAWG(gauge float64) float64 { return copper / AreaOfAWG(gauge) }

// AreaOfAWG is the section of an American wire gauge, m² (ASTM B258: the diameter grows by 92 in 39 steps from 0.127 mm at 36).
func AreaOfAWG(gauge float64) float64 {
	d := 0.127e-3 * math.Pow(92, (36-gauge)/39)
	return math.Pi / 4 * d * d
}

// Carries is the current that a wire may carry for ever in a bundle, A; between the table's sizes straight in the logarithms, and beyond
// them in proportion to the last ones.
func Carries(area float64) float64 {
	i := 1
	for i < len(sizes)-1 && area > sizes[i].area {
		i++
	}
	a, b := sizes[i-1], sizes[i]
	return a.amps * math.Pow(b.amps/a.amps, math.Log(area/a.area)/math.Log(b.area/a.area))
}

// Warm is a resistance of copper, known at 20 °C, at a temperature in K.
func Warm(ohms, temperature float64) float64 { return ohms * (1 + warming*(temperature-293.15)) }
