package standards

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Cylinder is what a cylinder to a standard has by its bore, where the data sheet is silent; in m.
type Cylinder struct {
	Bore, Rod  float64
	RodThread  string
	Port       string
	RearPin    float64 // diameter of the pin of the rear eye
	RearWidth  float64 // width of the rear eye along the pin
	NoseThread string  // ISO 6432 only
	BoltSquare float64 // side of the square of the mounting bolts, ISO 15552 only
	BoltThread string  // ISO 15552 only
	Provenance
}

func readCylinders(s row) named[[]Cylinder] {
	return each(s, Provenance{}, func(_ string, standard row, from Provenance) []Cylinder {
		var bores []Cylinder
		for _, x := range standard.list("bores") {
			c := standard.row(x)
			bores = append(bores, Cylinder{
				Bore:       c.quantity("bore"),
				Rod:        c.quantity("rod"),
				RodThread:  c.text("rodThread"),
				Port:       c.text("port"),
				RearPin:    c.quantity("rearPin"),
				RearWidth:  c.quantity("rearWidth"),
				NoseThread: c.textOrNone("noseThread"),
				BoltSquare: c.quantityOrZero("boltSquare"),
				BoltThread: c.textOrNone("boltThread"),
				Provenance: from,
			})
		}
		return bores
	})
}

// CylinderFor finds the row of a standard ("ISO 6432", "ISO 15552") for a bore in m.
func CylinderFor(standard string, bore float64) (Cylinder, error) {
	bores, err := lookUp("cylinder standard", standard, func(t *tables) *named[[]Cylinder] { return &t.cylinders })
	if err != nil {
		return Cylinder{}, err
	}
	allowed := make([]string, len(bores))
	for i, c := range bores {
		// Bores are whole millimetres; a hundredth apart is the same bore written in another unit.
		if diff := c.Bore - bore; diff > -1e-5 && diff < 1e-5 {
			return c, nil
		}
		allowed[i] = millimetres(c.Bore)
	}
	return Cylinder{}, &UnknownError{Kind: "bore", Name: millimetres(bore), Of: standard, Allowed: allowed}
}

func millimetres(x float64) string {
	// To a millionth, since inches come out long; never with an exponent.
	return fmt.Sprintf("%s mm", strconv.FormatFloat(math.Round(x*1e9)/1e6, 'f', -1, 64))
}

// CylinderStandards lists the standards of cylinders.
func CylinderStandards() []string {
	return namesIn(func(t *tables) *named[[]Cylinder] { return &t.cylinders })
}

// Tube is a size of tube for push-in fittings, m.
type Tube struct {
	Name  string // "6 mm", "1/4 in"
	Outer float64
	Inner []float64 // bores it commonly comes with
	Provenance
}

func readTube(name string, s row, from Provenance) Tube {
	t := Tube{Name: name, Outer: s.quantity("outer"), Provenance: from}
	for _, x := range s.list("inner") {
		t.Inner = append(t.Inner, s.si(x))
	}
	return t
}

// Tubes lists the common sizes, metric ones first.
func Tubes() []Tube {
	tubes := slices.Clone(all.tubes.rows)
	for i := range tubes {
		tubes[i].Inner = slices.Clone(tubes[i].Inner)
	}
	return tubes
}

// PortThread is the thread of a port or a fitting.
type PortThread struct {
	Name   string  // "G1/8"
	Family string  // "metric", "G", "R", "Rc", "Rp", "NPT"
	Size   string  // "1/8"
	Major  float64 // outside diameter of the screw, m
	Pitch  float64 // m
	Angle  float64 // of the flanks, rad
	Taper  bool
	Male   bool // made as an outside thread
	Female bool // made as an inside thread
	Provenance
}

func readPortThread(name string, s row, from Provenance) PortThread {
	p := PortThread{
		Name:       name,
		Family:     s.text("family"),
		Size:       s.text("size"),
		Major:      s.quantity("major"),
		Pitch:      s.quantityOrZero("pitch"),
		Angle:      s.quantity("angle"),
		Taper:      s.truth("taper"),
		Male:       s.truth("male"),
		Female:     s.truth("female"),
		Provenance: from,
	}
	if s.optional("pitch") == nil {
		p.Pitch = 0.0254 / s.number("perInch")
	}
	return p
}

// PortThreadByName finds "G1/8" or "NPT1/4".
func PortThreadByName(name string) (PortThread, error) {
	return lookUp("port thread", name, func(t *tables) *named[PortThread] { return &t.ports })
}

// PortThreadNames lists the threads of ports and fittings.
func PortThreadNames() []string {
	return namesIn(func(t *tables) *named[PortThread] { return &t.ports })
}
