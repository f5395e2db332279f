package circuit

// A Kind is what a component does.
type Kind int

const (
	Compressor      Kind = iota + 1 // port 1; a source of air at Pressure
	Receiver                        // ports 1 to Ports (2); keeps its air and feeds the circuit when the supply is cut off
	ReliefValve                     // port 1; lets out what is above Pressure
	Isolator                        // ports 1, 2 and, with Exhausts, 3; a shut-off valve for work on the machine, open in service
	Filter                          // ports 1, 2
	Regulator                       // ports 1, 2; limits port 2 to Pressure
	SoftStart                       // ports 1, 2; fills slowly from 1 to 2, lets out freely
	ValveKind                       // ports by its Valve
	Shuttle                         // ports 1 and 3 in, 2 out: the inlet with more pressure passes
	Check                           // ports 1, 2; passes from 1 to 2 only
	PilotCheck                      // ports 1, 2, 12; passes from 1 to 2, and back while there is pressure at 12
	QuickExhaust                    // ports 1 in, 2 to the cylinder, 3 out: 2 empties by 3 when 1 has no pressure
	FlowControl                     // ports 1, 2; throttles as Throttles says
	Silencer                        // port 1, open to the air
	ExhaustThrottle                 // port 1, open to the air through a throttle
	Plug                            // port 1, shut
	Gauge                           // port 1, shut
	Tee                             // ports 1 to 3
	Manifold                        // ports 1 to Ports, all joined
	CylinderKind                    // ports rear and front, or the one that its Cylinder has
)

func (k Kind) String() string { return name(kindNames, int(k)) }

var kindNames = []string{"", "compressor", "receiver", "relief valve", "isolator", "filter", "regulator", "soft start", "valve", "shuttle valve", "check valve",
	"pilot-operated check valve", "quick exhaust", "flow control", "silencer", "exhaust throttle", "plug", "gauge", "tee", "manifold", "cylinder"}

// A Component is one part of the circuit. Only the fields that its Kind names count.
type Component struct {
	Kind Kind
	// Pressure (Pa) of a compressor is the highest that it brings, of a regulator or relief valve its setting.
	Pressure float64
	// Relieving tells that a regulator lets out what is above its setting behind it.
	Relieving bool
	// NoReturn tells that a regulator does not let air back from 2 to 1 when there is less pressure at 1.
	NoReturn bool
	// Exhausts tells that an isolator lets out, by port 3, what is behind it when it is shut.
	Exhausts bool
	// Ports is how many a manifold or receiver has.
	Ports int
	// Throttles is of a flow control, Valve and Cylinder of those kinds.
	Throttles Throttles
	Valve     Valve
	Cylinder  Cylinder
}

// Throttles tells which way a flow control throttles; the other way is free.
type Throttles int

const (
	BothWays Throttles = iota
	From1To2
	From2To1
)

// A Valve is what a directional valve is. The zero value of a field is its first constant.
type Valve struct {
	Ways   Ways
	Moved  Moved
	Return Return
	Centre Centre // of a 5/3
	// Open tells that a 2/2 or 3/2 with a return joins 1 to 2 at rest.
	Open  bool
	Pilot Pilot // of one that a coil moves
	// Service tells that a hand valve is for work on the machine alone, as a bleed is: it is at rest in every state and event.
	Service bool
}

// Ways counts the ports and positions of a valve.
type Ways int

const (
	TwoTwo    Ways = iota // ports 1, 2; positions 10 (shut) and 12
	ThreeTwo              // ports 1, 2, 3; positions 10 (2 to 3) and 12 (1 to 2)
	FiveTwo               // ports 1 to 5; positions 12 (1 to 2, 4 to 5) and 14 (1 to 4, 2 to 3)
	FiveThree             // ports 1 to 5; positions centre, 14 and 12; always returns to the centre by springs
)

func (w Ways) String() string { return name([]string{"2/2", "3/2", "5/2", "5/3"}, int(w)) }

// Moved tells what moves a valve out of its rest.
type Moved int

const (
	ByCoil Moved = iota
	ByHand
	ByAir // by pressure at ports 14 and 12 (5/2, 5/3) or 12 and 10 (2/2, 3/2); a valve with a return has only the port that moves it
)

// Return tells what brings a valve back when nothing moves it.
type Return int

const (
	BySpring  Return = iota
	ByItsAir         // by air from port 1: without pressure there, it stays; a hand valve springs back
	Remembers        // nothing does: bistable, or a hand valve with a catch
)

// Centre tells what a 5/3 joins in its centre.
type Centre int

const (
	ClosedCentre   Centre = iota
	ExhaustCentre         // 4 to 5 and 2 to 3
	PressureCentre        // 1 to 4 and 1 to 2
)

// Pilot tells where a coil's force comes from.
type Pilot int

const (
	InternalPilot Pilot = iota // air from port 1
	ExternalPilot              // air from port 14 (2/2 and 3/2: port 12)
	Direct                     // the coil alone
)

// A Cylinder is what the air moves.
type Cylinder struct {
	Acting Acting
	Rear   float64 // m², area that pushes the rod out
	Front  float64 // m², area that pulls it in
	// Spring is the force of a single-acting cylinder's spring on the rod, N, with the rod in and out; positive pushes it out.
	Spring [2]float64
	// Load is what weight and work put on the rod, N, positive out, at equal steps of the stroke from in to out: both ends at least, or nothing.
	Load []float64
	// Friction, N, is what must be overcome to move.
	Friction float64
}

// Acting tells which chambers of a cylinder take air.
type Acting int

const (
	DoubleActing Acting = iota // ports rear and front
	Pushing                    // port rear; the front breathes
	Pulling                    // port front; the rear breathes
)

// A Port is one opening, by the component's name and its own.
type Port struct{ Component, Name string }

// A Run joins two ports.
type Run struct{ A, B Port }

// A Network is a circuit as it is built.
type Network struct {
	Components map[string]Component
	Runs       map[string]Run
	// Stop names the valves whose coils lose their current when the stop is pressed.
	Stop []string
	// Start has the positions that the controller gives its valves after a reset; the coils of the others stay off.
	Start map[string]string
}

func name(names []string, i int) string {
	if i < 0 || i >= len(names) {
		return ""
	}
	return names[i]
}

// ports are the names of a component's ports, in order.
func (c Component) ports() []string {
	switch c.Kind {
	case Compressor, ReliefValve, Silencer, ExhaustThrottle, Plug, Gauge:
		return []string{"1"}
	case Filter, Regulator, SoftStart, Check, FlowControl:
		return []string{"1", "2"}
	case Isolator:
		if c.Exhausts {
			return []string{"1", "2", "3"}
		}
		return []string{"1", "2"}
	case Shuttle, QuickExhaust, Tee:
		return []string{"1", "2", "3"}
	case PilotCheck:
		return []string{"1", "2", "12"}
	case Receiver, Manifold:
		return numbered(c.count())
	case CylinderKind:
		return [][]string{{"rear", "front"}, {"rear"}, {"front"}}[c.Cylinder.Acting]
	case ValveKind:
		ports := [][]string{{"1", "2"}, {"1", "2", "3"}, {"1", "2", "3", "4", "5"}, {"1", "2", "3", "4", "5"}}[c.Valve.Ways]
		return append(ports, c.Valve.pilots()...)
	}
	return nil
}

func (c Component) count() int {
	if c.Kind == Receiver && c.Ports == 0 {
		return 2
	}
	return c.Ports
}

// isExhaust tells whether a port is made to be open to the air.
func (c Component) isExhaust(port string) bool {
	switch c.Kind {
	case ValveKind:
		return port == "3" || port == "5"
	case Isolator, QuickExhaust:
		return port == "3"
	}
	return false
}

// isOutput tells whether a port gives out air that must not meet another output's. Two 2/2 valves may stand side by side: neither lets out.
func (c Component) isOutput(port string) bool {
	switch c.Kind {
	case ValveKind:
		return c.Valve.Ways != TwoTwo && (port == "2" || port == "4")
	case Regulator:
		return port == "2"
	}
	return false
}
