package schema

import (
	"math"
	"strconv"
)

// An Origin says where a value comes from: the builder's place to change it, or the assumption that stood in.
type Origin struct {
	At   Place
	Path string // within the machine, as in cylinders.lift.bore
	// Assumed names the source of a default that the builder left as it is; empty for a value that was written.
	Assumed string
}

// Given reports whether the value is there, written or assumed.
func (o Origin) Given() bool { return o.Path != "" }

// place is where the builder wrote the value; nowhere for an assumption.
func (o Origin) place() Place {
	if o.Assumed != "" {
		return Place{}
	}
	return o.At
}

// A Quantity is a number with its dimension, in SI and as it was written.
type Quantity struct {
	Origin
	SI    float64
	Value float64
	Unit  Unit
}

// String is the quantity as the builder wrote it.
func (q Quantity) String() string { return withUnit(formatNumber(q.Value), q.Unit.Name) }

// Quantities of one dimension each.
type (
	Length       struct{ Quantity } // m
	Coordinate   struct{ Quantity } // m
	Deviation    struct{ Quantity } // m
	Pressure     struct{ Quantity } // Pa, gauge
	Stress       struct{ Quantity } // Pa
	Force        struct{ Quantity } // N
	Torque       struct{ Quantity } // N·m
	Mass         struct{ Quantity } // kg
	Angle        struct{ Quantity } // rad
	SignedAngle  struct{ Quantity } // rad
	Time         struct{ Quantity } // s
	Moment       struct{ Quantity } // s from a beginning
	Temperature  struct{ Quantity } // K
	Flow         struct{ Quantity } // m³/s of free air
	Volume       struct{ Quantity } // m³
	Conductance  struct{ Quantity } // m³/(s·Pa) of free air
	Energy       struct{ Quantity } // J
	Speed        struct{ Quantity } // m/s
	Rate         struct{ Quantity } // N/m
	SecondMoment struct{ Quantity } // m⁴
	Area         struct{ Quantity } // m²
	Voltage      struct{ Quantity } // V
	Current      struct{ Quantity } // A
	Power        struct{ Quantity } // W
	Resistance   struct{ Quantity } // Ω
	Number       struct{ Quantity } // 1
)

// Text is a string with its place; Flag a yes or no.
type Text struct {
	Origin
	Value string
}

func (t Text) String() string { return strconv.Quote(t.Value) }

type Flag struct {
	Origin
	Value bool
}

func (f Flag) String() string { return strconv.FormatBool(f.Value) }

// Input is any value of a spec that a computed number came from.
type Input interface {
	String() string
	origin() Origin
}

func (o Origin) origin() Origin { return o }

// OriginOf returns where an input comes from.
func OriginOf(in Input) Origin { return in.origin() }

// brief in s is below what times are printed in ms: a coil lets go within some thousandths of a second.
const brief = 0.1

// Format prints an SI value in the dimension's first unit, a short time in ms, to four significant digits and never more than a thousandth
// of the unit.
func Format(d Dimension, si float64) string {
	for _, u := range units {
		if u.Dim == d && (d != TimeDim || u.Name == "ms" || si == 0 || !(math.Abs(si) < brief)) {
			return withUnit(formatNumber(round(u.From(si))), u.Name)
		}
	}
	return ""
}

func round(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return x
	}
	digits := 3 - int(math.Floor(math.Log10(math.Abs(x))))
	scale := math.Pow(10, float64(max(0, min(digits, 3))))
	return math.Round(x*scale) / scale
}

func formatNumber(x float64) string {
	if x == 0 {
		return "0" // never -0
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// printed says how a unit's name is shown to people where the field's name can't be.
var printed = map[string]string{
	"deg": "°", "degC": " °C", "degF": " °F", "um": " µm", "mm2": " mm²", "m/s2": " m/s²", "mm4": " mm⁴", "cm4": " cm⁴", "inch": " in", "Nm": " N·m", "Ncm": " N·cm", "in lbf": " in·lbf", "ft lbf": " ft·lbf", "": "",
}

func withUnit(number, unit string) string {
	if p, ok := printed[unit]; ok {
		return number + p
	}
	return number + " " + unit
}
