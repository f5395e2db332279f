package supply

import "math"

// Water in air: the vapour over water that saturates it (Magnus), and the mixing ratio of two ideal gases.
//
//	e = 611.2 Pa exp(17.62 t / (243.12 °C + t))      −45 to 60 °C, within 0.4 % (WMO-No. 8, annex 4.B)
//	x = 0.622 e / (p − e)                            kg of vapour by kg of dry air
const (
	vapourAtIce  = 611.2  // Pa
	magnusSlope  = 17.62  // 1
	magnusOffset = 243.12 // °C
	celsius      = 273.15 // K
	vapourRatio  = 0.622  // molar mass of water by that of air
	dryDensity   = Reference / (287.05 * ReferenceTemperature)
)

// Saturation is the pressure of vapour, Pa, in air that is saturated at a temperature in K.
func Saturation(temperature float64) float64 {
	t := temperature - celsius
	return vapourAtIce * math.Exp(magnusSlope*t/(magnusOffset+t))
}

// DewPoint is the temperature, K, at which vapour of a pressure (Pa) saturates.
func DewPoint(vapour float64) float64 {
	l := math.Log(vapour / vapourAtIce)
	return magnusOffset*l/(magnusSlope-l) + celsius
}

// Condensed is the water, kg, that falls out of one m³ of free air: taken in at a temperature (K), pressure and relative humidity, and
// cooled back to that temperature in a receiver at another pressure.
func Condensed(temperature, room, humidity, receiver float64) float64 {
	ratio := func(e, p float64) float64 { return vapourRatio * e / (p - e) }
	saturated := Saturation(temperature)
	return dryDensity * max(0, ratio(humidity*saturated, room)-ratio(saturated, receiver))
}
