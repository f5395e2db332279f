package schema

// A Dimension is what a quantity measures. Gauge pressure and stress have the same SI unit and different meanings, and so do torque and
// energy; each is a dimension of its own, so that neither is taken for the other.
type Dimension string

const (
	LengthDim       Dimension = "length"                // m
	AreaDim         Dimension = "area"                  // m²
	PressureDim     Dimension = "pressure"              // Pa above that of the room
	StressDim       Dimension = "stress"                // Pa
	ForceDim        Dimension = "force"                 // N
	TorqueDim       Dimension = "torque"                // N·m
	EnergyDim       Dimension = "energy"                // J
	MassDim         Dimension = "mass"                  // kg
	AngleDim        Dimension = "angle"                 // rad
	TimeDim         Dimension = "time"                  // s
	SpeedDim        Dimension = "speed"                 // m/s
	AccelerationDim Dimension = "acceleration"          // m/s²
	TemperatureDim  Dimension = "temperature"           // K
	FlowDim         Dimension = "flow"                  // m³/s of free air at 100 kPa and 20 °C
	VolumeDim       Dimension = "volume"                // m³
	ConductanceDim  Dimension = "conductance"           // m³/(s·Pa) of free air
	RateDim         Dimension = "spring rate"           // N/m
	MomentDim       Dimension = "second moment of area" // m⁴
	VoltageDim      Dimension = "voltage"               // V
	CurrentDim      Dimension = "current"               // A
	PowerDim        Dimension = "power"                 // W
	ResistanceDim   Dimension = "resistance"            // Ω
	NumberDim       Dimension = "number"                // 1
)

// A Unit turns a number as written into SI: si = (value + Offset) × Factor.
type Unit struct {
	Name   string
	Dim    Dimension
	Factor float64
	Offset float64
}

// Exact by definition: the inch, the pound (0.45359237 kg), standard gravity (9.80665 m/s²). NIST SP 811, appendix B.
const (
	inch          = 0.0254
	pound         = 0.45359237
	gravity       = 9.80665
	poundForce    = pound * gravity
	psi           = poundForce / (inch * inch)
	cubicFoot     = 0.3048 * 0.3048 * 0.3048
	zeroCelsius   = 273.15
	degree        = 0.017453292519943295
	fahrenheitInK = 5.0 / 9.0
)

// units lists every unit that a quantity may be written in; the first of a dimension is the one used for printing.
var units = []Unit{
	{"mm", LengthDim, 1e-3, 0}, {"um", LengthDim, 1e-6, 0}, {"cm", LengthDim, 1e-2, 0}, {"m", LengthDim, 1, 0}, {"inch", LengthDim, inch, 0},
	{"mm2", AreaDim, 1e-6, 0},
	{"bar", PressureDim, 1e5, 0}, {"kPa", PressureDim, 1e3, 0}, {"MPa", PressureDim, 1e6, 0}, {"psi", PressureDim, psi, 0},
	{"MPa", StressDim, 1e6, 0}, {"GPa", StressDim, 1e9, 0}, {"ksi", StressDim, 1e3 * psi, 0},
	{"N", ForceDim, 1, 0}, {"kN", ForceDim, 1e3, 0}, {"lbf", ForceDim, poundForce, 0}, {"kgf", ForceDim, gravity, 0},
	{"Nm", TorqueDim, 1, 0}, {"Ncm", TorqueDim, 1e-2, 0}, {"in lbf", TorqueDim, inch * poundForce, 0}, {"ft lbf", TorqueDim, 12 * inch * poundForce, 0},
	{"J", EnergyDim, 1, 0}, {"mJ", EnergyDim, 1e-3, 0},
	{"kg", MassDim, 1, 0}, {"g", MassDim, 1e-3, 0}, {"lb", MassDim, pound, 0},
	{"deg", AngleDim, degree, 0}, {"rad", AngleDim, 1, 0},
	{"s", TimeDim, 1, 0}, {"ms", TimeDim, 1e-3, 0},
	{"m/s", SpeedDim, 1, 0}, {"mm/s", SpeedDim, 1e-3, 0},
	{"m/s2", AccelerationDim, 1, 0},
	{"degC", TemperatureDim, 1, zeroCelsius}, {"degF", TemperatureDim, fahrenheitInK, 459.67},
	{"L/min", FlowDim, 1e-3 / 60, 0}, {"L/s", FlowDim, 1e-3, 0}, {"cfm", FlowDim, cubicFoot / 60, 0},
	{"L", VolumeDim, 1e-3, 0}, {"mL", VolumeDim, 1e-6, 0},
	{"L/(s bar)", ConductanceDim, 1e-8, 0}, {"dm3/(s bar)", ConductanceDim, 1e-8, 0},
	{"N/mm", RateDim, 1e3, 0}, {"N/m", RateDim, 1, 0},
	{"mm4", MomentDim, 1e-12, 0}, {"cm4", MomentDim, 1e-8, 0},
	{"V", VoltageDim, 1, 0}, {"mV", VoltageDim, 1e-3, 0}, {"A", CurrentDim, 1, 0}, {"mA", CurrentDim, 1e-3, 0},
	{"W", PowerDim, 1, 0}, {"ohm", ResistanceDim, 1, 0}, {"mohm", ResistanceDim, 1e-3, 0},
	{"", NumberDim, 1, 0},
}

// UnitsOf returns the units of a dimension, the one for printing first.
func UnitsOf(d Dimension) []Unit {
	var of []Unit
	for _, u := range units {
		if u.Dim == d {
			of = append(of, u)
		}
	}
	return of
}

// UnitOf finds a dimension's unit by its name.
func UnitOf(d Dimension, name string) (Unit, bool) {
	for _, u := range units {
		if u.Dim == d && u.Name == name {
			return u, true
		}
	}
	return Unit{}, false
}

// SI returns the value in the SI unit of the dimension.
func (u Unit) SI(value float64) float64 { return (value + u.Offset) * u.Factor }

// From returns the SI value in this unit.
func (u Unit) From(si float64) float64 { return si/u.Factor - u.Offset }
