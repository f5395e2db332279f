package schema

import (
	"cuelang.org/go/cue"
	"cuelang.org/go/cue/token"
)

// A Spec is one package of a builder's repository: the machines it holds and the rules of the house.
type Spec struct {
	Dir      string // as the builder named it, with slashes
	Machines []*Machine
	House    cue.Value // the #house set; !Exists() without one
	Remarks  []Remark
	// Place turns a position of the evaluator into a place, for reading House.
	Place func(token.Pos) Place
	// Digest tells the text of the spec's own files from any other: SHA-256, in hexadecimal digits.
	Digest func() string
}

// A Remark is something about how a spec was read that its builder should know.
type Remark struct {
	At   Place
	Text string
}

// A Machine is one machine of a spec in SI. Fields left out have Given() == false; maps have one entry for each key of the spec.
type Machine struct {
	Name        string
	At          Place
	Assumptions []Assumption

	Title      Text                 `cue:"title"`
	Points     map[string]Point     `cue:"points"`
	Links      map[string]Link      `cue:"links"`
	Cylinders  map[string]Cylinder  `cue:"cylinders"`
	Pivots     map[string]Pivot     `cue:"pivots"`
	Slides     map[string]Slide     `cue:"slides"`
	Springs    map[string]Spring    `cue:"springs"`
	Stops      map[string]Stop      `cue:"stops"`
	Reaches    map[string]Reach     `cue:"reaches"`
	Toggles    []Text               `cue:"toggles"`
	Loads      map[string]Load      `cue:"loads"`
	Fastenings map[string]Fastening `cue:"fastenings"`
	Assembly   []Assembled          `cue:"assembly"`
	Fixings    map[string]Fixing    `cue:"fixings"`
	Materials  map[string]Material  `cue:"materials"`
	Air        Air                  `cue:"air"`
	Cycle      Cycle                `cue:"cycle"`
	Wiring     Wiring               `cue:"wiring"`
	People     map[string]Zone      `cue:"people"`
	FirstAir   FirstAir             `cue:"firstAir"`
	Base       Base                 `cue:"base"`
	Frame      Frame                `cue:"frame"`
	Purchases  []Purchase           `cue:"purchases"`
	Copies     Number               `cue:"copies"`
	Spares     Number               `cue:"spares"`
	Site       Site                 `cue:"site"`
	// Kin are all machines that share the kit's purchase list with this one, and itself; nil for a machine with a list of its own or none.
	Kin []*Machine
}

// HowMany is how many machines like it are built.
func (m *Machine) HowMany() int {
	if m.Copies.Given() {
		return int(m.Copies.SI)
	}
	return 1
}

// An Assumption is a value that the builder did not give and that a computation used.
type Assumption struct {
	Path, Value, Source string
}

type Point struct {
	Origin
	X Coordinate `cue:"x"`
	Y Coordinate `cue:"y"`
}

type Link struct {
	Origin
	Points     []Text  `cue:"points"`
	Ground     Flag    `cue:"ground"`
	Mass       Mass    `cue:"mass"`
	Centre     Point   `cue:"centre"`
	Withstands Force   `cue:"withstands"`
	Outline    Outline `cue:"outline"`
	Made       Made    `cue:"made"`
	Printed    Printed `cue:"printed"`
	Sheet      Sheet   `cue:"sheet"`
	Section    Section `cue:"section"`
}

// A Printed link is made layer on layer.
type Printed struct {
	Origin
	Material Text   `cue:"material"`
	Layer    Length `cue:"layer"`
	Walls    Number `cue:"walls"`
	Infill   Number `cue:"infill"`
	Lies     Text   `cue:"lies"`
	Pieces   Number `cue:"pieces"`

	Warmest Temperature `cue:"warmest"`
}

// A Sheet is how a link is cut out of sheet.
type Sheet struct {
	Origin
	Material    Text        `cue:"material"`
	Cut         Text        `cue:"cut"`
	Kerf        Length      `cue:"kerf"`
	Compensated Flag        `cue:"compensated"`
	Grain       SignedAngle `cue:"grain"`
}

type Slide struct {
	Origin
	Point    Text   `cue:"point"`
	Along    []Text `cue:"along"`
	Friction Number `cue:"friction"`
}

type Spring struct {
	Origin
	From Text   `cue:"from"`
	To   Text   `cue:"to"`
	Rate Rate   `cue:"rate"`
	Free Length `cue:"free"`
}

type Stop struct {
	Origin
	Cylinder   Text       `cue:"cylinder"`
	At         Coordinate `cue:"at"`
	Going      Text       `cue:"going"`
	Withstands Force      `cue:"withstands"`
}

// MetGoingOut reports whether the rod of a cylinder with this stroke (m) meets the stop on its way out.
func (s Stop) MetGoingOut(stroke float64) bool {
	if s.Going.Given() {
		return s.Going.Value == "out"
	}
	return s.At.SI > stroke/2
}

type Reach struct {
	Origin
	Rises   Length `cue:"rises"`
	Travels Length `cue:"travels"`
	Turns   Angle  `cue:"turns"`
}

type Outline struct {
	Origin
	Width  Length  `cue:"width"`
	Shapes []Shape `cue:"shapes"`
}

type Shape struct {
	Origin
	Along    []Text  `cue:"along"`
	Width    Length  `cue:"width"`
	At       Text    `cue:"at"`
	Diameter Length  `cue:"diameter"`
	Corners  []Point `cue:"corners"`
}

type Made struct {
	Origin
	Between []Text   `cue:"between"`
	Cut     Size     `cue:"cut"`
	Adds    []Offset `cue:"adds"`
	Stock   Text     `cue:"stock"`
	Pieces  Number   `cue:"pieces"`
}

// An Offset is a length that may be negative, with its limits Least and Most in m.
type Offset struct {
	Coordinate
	Plus        Deviation `cue:"plus"`
	Minus       Deviation `cue:"minus"`
	Least, Most float64
}

type Section struct {
	Origin
	Moment     SecondMoment `cue:"moment"`
	Shape      Profile      `cue:"shape"`
	Lateral    SecondMoment `cue:"lateral"`
	Depth      Length       `cue:"depth"`
	Area       Area         `cue:"area"`
	Material   Text         `cue:"material"`
	Yield      Stress       `cue:"yield"`
	Elasticity Stress       `cue:"elasticity"`
	Endures    Stress       `cue:"endures"`
	Span       Length       `cue:"span"`
	Held       Text         `cue:"held"`
	// Reaches is how far from its middle the edge lies that is stressed most, m, of a section given by its shape: beside a hole across it less
	// is left than Moment says, and Reaches is that much more.
	Reaches float64
}

// Edge is how far from the middle of the section its most stressed edge counts, m: a bending moment M stresses it with M Edge / Moment.
func (s Section) Edge() float64 {
	if s.Reaches > 0 {
		return s.Reaches
	}
	return s.Depth.SI / 2
}

type Profile struct {
	Origin
	Round   RoundProfile `cue:"round"`
	Box     BoxProfile   `cue:"box"`
	Angle   AngleProfile `cue:"angle"`
	Corners []Point      `cue:"corners"`
	Holes   []Chamber    `cue:"holes"`
	Drilled Deviation    `cue:"drilled"`
}

type RoundProfile struct {
	Origin
	Outside Length `cue:"outside"`
	Wall    Length `cue:"wall"`
}

type BoxProfile struct {
	Origin
	Deep   Length `cue:"deep"`
	Wide   Length `cue:"wide"`
	Wall   Length `cue:"wall"`
	Corner Length `cue:"corner"`
}

type AngleProfile struct {
	Origin
	Deep Length `cue:"deep"`
	Wide Length `cue:"wide"`
	Wall Length `cue:"wall"`
}

type Chamber struct {
	Origin
	At       Point   `cue:"at"`
	Diameter Length  `cue:"diameter"`
	Corners  []Point `cue:"corners"`
}

type Load struct {
	Origin
	At      Text        `cue:"at"`
	Mass    Mass        `cue:"mass"`
	Force   Force       `cue:"force"`
	Towards SignedAngle `cue:"towards"`
}

type Site struct {
	Origin
	Warmest  Temperature `cue:"warmest"`
	Coldest  Temperature `cue:"coldest"`
	Humidity Number      `cue:"humidity"`
}

// A Cycle is what the machine does over and over.
type Cycle struct {
	Origin
	Period Time   `cue:"period"`
	Cycles Number `cue:"cycles"`
	Steps  []Step `cue:"steps"`
}

type Step struct {
	Origin
	Cylinder Text   `cue:"cylinder"`
	Goes     Text   `cue:"goes"`
	At       Moment `cue:"at"`
	Stands   Time   `cue:"stands"`
}

type Kit struct {
	Origin
	Purchases []Purchase `cue:"purchases"`
	Spares    Number     `cue:"spares"`
}

type Purchase struct {
	Origin
	Screw  Text   `cue:"screw"`
	Item   Text   `cue:"item"`
	Count  Number `cue:"count"`
	For    []Text `cue:"for"`
	Pack   Number `cue:"pack"`
	Length Length `cue:"length"`
	Kerf   Length `cue:"kerf"`
	Price  Price  `cue:"price"`
	Mass   Mass   `cue:"mass"`
}

type Price struct {
	Origin
	Amount   Number `cue:"amount"`
	Currency Text   `cue:"currency"`
}

type Cylinder struct {
	Origin
	Bore       Length          `cue:"bore"`
	Stroke     Length          `cue:"stroke"`
	Closed     Length          `cue:"closed"`
	Standard   Text            `cue:"standard"`
	Rod        Length          `cue:"rod"`
	Acting     Text            `cue:"acting"`
	Spring     Force           `cue:"spring"`
	Compressed Force           `cue:"compressed"`
	Fastest    Speed           `cue:"fastest"`
	Rating     Pressure        `cue:"rating"`
	Proof      Pressure        `cue:"proof"`
	Rear       CylinderEnd     `cue:"rear"`
	Front      CylinderEnd     `cue:"front"`
	Ports      map[string]Port `cue:"ports"`
	Efficiency Number          `cue:"efficiency"`
	Moving     Mass            `cue:"moving"`
	Barrel     Barrel          `cue:"barrel"`
	Cushion    Cushion         `cue:"cushion"`
	Dead       Volume          `cue:"dead"`
	Friction   Force           `cue:"friction"`
	Breakaway  Number          `cue:"breakaway"`
	Source     Text            `cue:"source"`
	Time       Time            `cue:"time"`
	Harmless   Text            `cue:"harmless"`
}

type Barrel struct {
	Origin
	Outside Length `cue:"outside"`
	Behind  Length `cue:"behind"`
	Length  Length `cue:"length"`
}

type Cushion struct {
	Origin
	Length Length      `cue:"length"`
	Energy Energy      `cue:"energy"`
	Needle Conductance `cue:"needle"`
}

type CylinderEnd struct {
	Origin
	At         Text   `cue:"at"`
	Kind       Text   `cue:"kind"`
	Hole       Size   `cue:"hole"`
	Width      Size   `cue:"width"`
	Gap        Size   `cue:"gap"`
	Outside    Length `cue:"outside"`
	Swing      Angle  `cue:"swing"`
	Tilts      Angle  `cue:"tilts"`
	Rework     Rework `cue:"rework"`
	Withstands Force  `cue:"withstands"`

	ScrewedOn ScrewedOn `cue:"screwedOn"`
}

type ScrewedOn struct {
	Origin
	Thread  Text   `cue:"thread"`
	Engaged Length `cue:"engaged"`
	Depth   Length `cue:"depth"`
	JamNut  Flag   `cue:"jamNut"`
}

type Rework struct {
	Origin
	Open  Size   `cue:"open"`
	Drill Length `cue:"drill"`
	Tap   Text   `cue:"tap"`
}

type Pivot struct {
	Origin
	Pin      Pin     `cue:"pin"`
	Stack    []Layer `cue:"stack"`
	Between  Size    `cue:"between"`
	Sleeve   Sleeve  `cue:"sleeve"`
	Friction Number  `cue:"friction"`
	Tilt     Angle   `cue:"tilt"`
}

type Pin struct {
	Origin
	Diameter  Size        `cue:"diameter"`
	Kept      []Text      `cue:"kept"`
	TurnsWith Text        `cue:"turnsWith"`
	Length    Size        `cue:"length"`
	Beyond    []Deviation `cue:"beyond"`
	Thread    Text        `cue:"thread"`
	Shank     Length      `cue:"shank"`
	Torque    Torque      `cue:"torque"`
	Lock      Text        `cue:"lock"`
	Material  Text        `cue:"material"`
	Yield     Stress      `cue:"yield"`

	SetScrews SetScrews `cue:"setScrews"`
}

type SetScrews struct {
	Origin
	Thread  Text   `cue:"thread"`
	Count   Number `cue:"count"`
	Torque  Torque `cue:"torque"`
	Flat    Flag   `cue:"flat"`
	Carries []Text `cue:"carries"`
}

type Sleeve struct {
	Origin
	Length  Size `cue:"length"`
	Outside Size `cue:"outside"`
}

type Layer struct {
	Origin
	Link     Text         `cue:"link"`
	Cylinder Text         `cue:"cylinder"`
	Block    BearingBlock `cue:"block"`
	Washer   Washer       `cue:"washer"`
	Spacer   Size         `cue:"spacer"`
	Thick    Size         `cue:"thick"`
	Hole     Size         `cue:"hole"`
	Runs     Flag         `cue:"runs"`
	On       Text         `cue:"on"`
	Screwed  Flag         `cue:"screwed"`
	Material Text         `cue:"material"`
	Pressure Stress       `cue:"pressure"`
	Wall     Length       `cue:"wall"`
}

type BearingBlock struct {
	Origin
	Bore         Size  `cue:"bore"`
	Width        Size  `cue:"width"`
	SelfAligning Angle `cue:"selfAligning"`
	Height       Size  `cue:"height"`
	Withstands   Force `cue:"withstands"`
	Static       Force `cue:"static"`
	Dynamic      Force `cue:"dynamic"`
	Source       Text  `cue:"source"`
}

type Washer struct {
	Size
	Thread Text `cue:"size"`
	Series Text `cue:"series"`
}

type Fastening struct {
	Origin
	Screw     Screw     `cue:"screw"`
	Stack     []Clamped `cue:"stack"`
	Into      Into      `cue:"into"`
	Count     Number    `cue:"count"`
	Torque    Torque    `cue:"torque"`
	Lock      Text      `cue:"lock"`
	Room      HeadRoom  `cue:"room"`
	Load      Force     `cue:"load"`
	NutFactor Number    `cue:"nutFactor"`
	Settles   Force     `cue:"settles"`
	Joints    []Joint   `cue:"joints"`
}

type Joint struct {
	Origin
	On       Text        `cue:"on"`
	Carries  []Text      `cue:"carries"`
	Screws   []Hole      `cue:"screws"`
	Looks    SignedAngle `cue:"looks"`
	Off      Length      `cue:"off"`
	Heel     Length      `cue:"heel"`
	Friction Number      `cue:"friction"`
	Located  Flag        `cue:"located"`
	Hole     Length      `cue:"hole"`
	Edge     Length      `cue:"edge"`
	Thick    Length      `cue:"thick"`
	Material Text        `cue:"material"`
}

// A Fixing is screws or inserts in what no table has the strength of a thread in.
type Fixing struct {
	Origin
	Wood   WoodScrew   `cue:"wood"`
	Tested Tested      `cue:"tested"`
	Insert Insert      `cue:"insert"`
	Parts  []FixedPart `cue:"parts"`
}

type Tested struct {
	Origin
	PullOut Force `cue:"pullOut"`
	Across  Force `cue:"across"`
	Source  Text  `cue:"source"`
}

type Insert struct {
	Origin
	Outside Length `cue:"outside"`
	Boss    Length `cue:"boss"`
	Entry   Text   `cue:"entry"`
}

type FixedPart struct {
	Origin
	On      Text        `cue:"on"`
	Carries []Text      `cue:"carries"`
	Screws  []Hole      `cue:"screws"`
	Looks   SignedAngle `cue:"looks"`
	Off     Length      `cue:"off"`
	Heel    Length      `cue:"heel"`
}

type Hole struct {
	Origin
	X Coordinate `cue:"x"`
	Y Coordinate `cue:"y"`
	Z Coordinate `cue:"z"`
}

// A Base is what the machine stands on, and with what.
type Frame struct {
	Origin
	Nodes    map[string]Point       `cue:"nodes"`
	Members  map[string]FrameMember `cue:"members"`
	Supports []Support              `cue:"supports"`
	Beside   []Text                 `cue:"beside"`
	Braced   []Text                 `cue:"braced"` // nil where it is not written
	Anvil    Text                   `cue:"anvil"`
}

type FrameMember struct {
	Origin
	Between []Text          `cue:"between"`
	Section Section         `cue:"section"`
	Turns   []Text          `cue:"turns"`
	Mass    Mass            `cue:"mass"`
	Corner  Torque          `cue:"corner"`
	Gives   map[string]Give `cue:"gives"`
}

// A Give is how far a joint turns under a moment.
type Give struct {
	Origin
	Turns Angle  `cue:"turns"`
	Under Torque `cue:"under"`
}

// Stiffness is the moment by the angle that it turns the joint, N m/rad; 0 where it does not turn.
func (g Give) Stiffness() float64 {
	if !(g.Turns.SI > 0) {
		return 0
	}
	return g.Under.SI / g.Turns.SI
}

type Support struct {
	Origin
	At   Text `cue:"at"`
	Held Text `cue:"held"`
}

// FixedPoints are those of the links that stand still.
func (m *Machine) FixedPoints() []string {
	fixed := map[string]bool{}
	for _, l := range m.Links {
		for _, p := range l.Points {
			if l.Ground.Value {
				fixed[p.Value] = true
			}
		}
	}
	return sorted(fixed)
}

// Joint is the place of a joint of the frame: one of its nodes, or a fixed point of the machine.
func (m *Machine) Joint(name string) Point {
	if p, ok := m.Frame.Nodes[name]; ok {
		return p
	}
	return m.Points[name]
}

type Base struct {
	Origin
	Feet     Feet         `cue:"feet"`
	Mass     Mass         `cue:"mass"`
	Centre   Point        `cue:"centre"`
	Friction Number       `cue:"friction"`
	Within   []Text       `cue:"within"`
	Caught   []Text       `cue:"caught"`
	Bench    Bench        `cue:"bench"`
	Ballast  []Ballast    `cue:"ballast"`
	Clamps   []BenchClamp `cue:"clamps"`
	Screws   BaseScrews   `cue:"screws"`
}

type Feet struct {
	Origin
	From   Coordinate `cue:"from"`
	To     Coordinate `cue:"to"`
	Y      Coordinate `cue:"y"`
	Across Length     `cue:"across"`
}

type Bench struct {
	Origin
	From Coordinate `cue:"from"`
	To   Coordinate `cue:"to"`
}

type Ballast struct {
	Origin
	X    Coordinate `cue:"x"`
	Mass Mass       `cue:"mass"`
}

type BenchClamp struct {
	Origin
	X     Coordinate `cue:"x"`
	Force Force      `cue:"force"`
}

type BaseScrews struct {
	Origin
	At         []FootScrew `cue:"at"`
	Fastening  Text        `cue:"fastening"`
	Wood       WoodScrew   `cue:"wood"`
	Withstands Force       `cue:"withstands"`
}

type FootScrew struct {
	Origin
	X Coordinate `cue:"x"`
	Z Coordinate `cue:"z"`
}

// A WoodScrew goes into wood or board; Into is "" for side grain.
type WoodScrew struct {
	Origin
	Diameter Length `cue:"diameter"`
	Thread   Length `cue:"thread"`
	Gravity  Number `cue:"gravity"`
	Into     Text   `cue:"into"`
}

type Screw struct {
	Origin
	Thread Text   `cue:"thread"`
	Length Length `cue:"length"`
	Head   Text   `cue:"head"`
	Class  Text   `cue:"class"`
	Shank  Length `cue:"shank"`
}

type Clamped struct {
	Origin
	Washer Washer `cue:"washer"`
	Spring Size   `cue:"spring"`
	Part   Text   `cue:"part"`
	Thick  Size   `cue:"thick"`

	Material Text `cue:"material"`
	Sleeve   Flag `cue:"sleeve"`
}

type Into struct {
	Origin
	Nut     Nut            `cue:"nut"`
	SlotNut SlotNut        `cue:"slotNut"`
	Profile SlottedProfile `cue:"profile"`
	Tapped  TappedHole     `cue:"tapped"`
	Slot    Text           `cue:"slot"`
}

// HeadRoom is what there is round a head once it is tight.
type HeadRoom struct {
	Origin
	Recess Length `cue:"recess"`
	Beside Length `cue:"beside"`
	Above  Length `cue:"above"`
}

// An Assembled is one step of putting the machine together.
type Assembled struct {
	Origin
	Does    Text      `cue:"does"`
	Fastens []Text    `cue:"fastens"`
	Loads   []Text    `cue:"loads"`
	Closes  []SlotEnd `cue:"closes"`
}

type SlotEnd struct {
	Origin
	Slot Text `cue:"slot"`
	End  Text `cue:"end"`
}

type Nut struct {
	Origin
	Style  Text   `cue:"style"`
	Thread Text   `cue:"thread"`
	Class  Text   `cue:"class"`
	Height Size   `cue:"height"`
	Room   Length `cue:"room"`
}

type SlotNut struct {
	Origin
	Slot    Length `cue:"slot"`
	Thread  Text   `cue:"thread"`
	Thick   Size   `cue:"thick"`
	Tensile Stress `cue:"tensile"`
	Torque  Torque `cue:"torque"`
	Enters  Text   `cue:"enters"`
	Source  Text   `cue:"source"`
}

type SlottedProfile struct {
	Origin
	Slot    Slot   `cue:"slot"`
	PullOut Force  `cue:"pullOut"`
	Torque  Torque `cue:"torque"`
	Source  Text   `cue:"source"`
}

type Slot struct {
	Origin
	Width Length `cue:"width"`
	Depth Size   `cue:"depth"`
	Lip   Size   `cue:"lip"`
}

type TappedHole struct {
	Origin
	Thread   Text   `cue:"thread"`
	Material Text   `cue:"material"`
	Tensile  Stress `cue:"tensile"`
	Drill    Length `cue:"drill"`
	Drilled  Length `cue:"drilled"`
	Depth    Length `cue:"depth"`
	Through  Flag   `cue:"through"`
	Edge     Length `cue:"edge"`
}

type Air struct {
	Origin
	Parts map[string]AirPart `cue:"parts"`
	Runs  map[string]Run     `cue:"runs"`
	Stop  []Text             `cue:"stop"`
	// Resumes tells that the stopped coils come on again when the stop is let go.
	Resumes Flag            `cue:"resumes"`
	Start   map[string]Text `cue:"start"`
}

// An AirPart holds the fields of every kind of part; those of other kinds than its own are not given.
type AirPart struct {
	Origin
	Kind      Text            `cue:"kind"`
	Printed   Flag            `cue:"printed"`
	Rating    Pressure        `cue:"rating"`
	Proof     Pressure        `cue:"proof"`
	Ports     map[string]Port `cue:"ports"`
	Source    Text            `cue:"source"`
	Delivers  Flow            `cue:"delivers"`
	Switches  Switches        `cue:"switches"`
	Relief    Relief          `cue:"relief"`
	Set       Pressure        `cue:"set"`
	Flow      Flow            `cue:"flow"`
	Displaces Flow            `cue:"displaces"`
	Duty      Number          `cue:"duty"`
	Copies    Number          `cue:"copies"`
	Tank      Vessel          `cue:"tank"`
	Volume    Volume          `cue:"volume"`
	Marked    Flag            `cue:"marked"`
	Drain     Text            `cue:"drain"`
	Gauge     Flag            `cue:"gauge"`
	Bowl      Bowl            `cue:"bowl"`
	DewPoint  Temperature     `cue:"dewPoint"`
	Pilot     Pilot           `cue:"pilot"`
	Exhausts  Flag            `cue:"exhausts"`
	Lockable  Flag            `cue:"lockable"`
	Relieving Flag            `cue:"relieving"`
	Range     PressureRange   `cue:"range"`
	Function  Text            `cue:"function"`
	Moved     Text            `cue:"moved"`
	Returns   Text            `cue:"returns"`
	Rest      Text            `cue:"rest"`
	Centre    Text            `cue:"centre"`
	Passage   Passage         `cue:"passage"`
	Throttles Throttle        `cue:"throttles"`
	Fills     Conductance     `cue:"fills"`
	Vents     Passage         `cue:"vents"`
	Coil      Coil            `cue:"coil"`
}

// A Wiring is the circuit that switches the coils.
type Wiring struct {
	Origin
	Supply      ElectricSupply          `cue:"supply"`
	Fuses       map[string]Fuse         `cue:"fuses"`
	Contacts    map[string]Contact      `cue:"contacts"`
	Drivers     map[string]Driver       `cue:"drivers"`
	Controllers map[string]Controller   `cue:"controllers"`
	Diodes      map[string]Diode        `cue:"diodes"`
	Loads       map[string]ElectricLoad `cue:"loads"`
	Joints      []Text                  `cue:"joints"`
	Wires       map[string]Wire         `cue:"wires"`
}

type ElectricSupply struct {
	Origin
	Volts     Voltage `cue:"volts"`
	Current   Current `cue:"current"`
	Kind      Text    `cue:"kind"`
	Tolerance Number  `cue:"tolerance"`
}

type Fuse struct {
	Origin
	Current Current    `cue:"current"`
	Ohms    Resistance `cue:"ohms"`
}

// A Contact is shut in normal service.
type Contact struct {
	Origin
	Opens   Text    `cue:"opens"`
	Current Current `cue:"current"`
}

type Driver struct {
	Origin
	Side       Text        `cue:"side"`
	Current    Current     `cue:"current"`
	Ohms       Resistance  `cue:"ohms"`
	Blocks     Voltage     `cue:"blocks"`
	Input      DriverInput `cue:"input"`
	Suppressed Flag        `cue:"suppressed"`
	Pulled     Flag        `cue:"pulled"`
}

type DriverInput struct {
	Origin
	Volts   Voltage `cue:"volts"`
	Current Current `cue:"current"`
}

type Controller struct {
	Origin
	Outputs map[string]Output `cue:"outputs"`
	Active  Text              `cue:"active"`
	Draws   Current           `cue:"draws"`
	Least   Voltage           `cue:"least"`
}

type Output struct {
	Origin
	Current Current `cue:"current"`
	Volts   Voltage `cue:"volts"`
	AtReset Text    `cue:"atReset"`
}

type Diode struct {
	Origin
	Current Current `cue:"current"`
	Blocks  Voltage `cue:"blocks"`
	Clamps  Voltage `cue:"clamps"`
}

// An ElectricLoad is what else hangs on the supply.
type ElectricLoad struct {
	Origin
	Draws Current `cue:"draws"`
}

type Wire struct {
	Origin
	From   Text       `cue:"from"`
	To     Text       `cue:"to"`
	Length Length     `cue:"length"`
	Area   Area       `cue:"area"`
	AWG    Number     `cue:"awg"`
	Plugs  Resistance `cue:"plugs"`
}

// A Coil moves a valve, or opens its pilot.
type Coil struct {
	Origin
	Volts      Voltage    `cue:"volts"`
	Watts      Power      `cue:"watts"`
	Current    Current    `cue:"current"`
	Ohms       Resistance `cue:"ohms"`
	Kind       Text       `cue:"kind"`
	Tolerance  Number     `cue:"tolerance"`
	Duty       Number     `cue:"duty"`
	Suppressed Text       `cue:"suppressed"`
	Clamps     Voltage    `cue:"clamps"`
	Inrush     Current    `cue:"inrush"`
	// TimeConstant is inductance over resistance.
	TimeConstant Time `cue:"timeConstant"`
	LetsGoWithin Time `cue:"letsGoWithin"`
}

// Coils are the positions that a valve's coils bring about: none where no coil moves it.
func (p AirPart) Coils() []string {
	if p.Kind.Value != "valve" || p.Moved.Value != "coil" {
		return nil
	}
	two := p.Returns.Value == "nothing"
	switch p.Function.Value {
	case "5/3":
		return []string{"12", "14"}
	case "5/2":
		if two {
			return []string{"12", "14"}
		}
		return []string{"14"}
	}
	if two {
		return []string{"10", "12"}
	}
	if p.Rest.Value == "open" {
		return []string{"10"}
	}
	return []string{"12"}
}

// A Vessel keeps air under pressure.
type Vessel struct {
	Origin
	Volume Volume `cue:"volume"`
	Marked Flag   `cue:"marked"`
	Drain  Text   `cue:"drain"`
}

// A Bowl is what a filter gathers water in.
type Bowl struct {
	Origin
	Material Text `cue:"material"`
	Guarded  Flag `cue:"guarded"`
}

// A Pilot is what shifts a valve whose coil alone is too weak.
type Pilot struct {
	Origin
	Least    Pressure `cue:"least"`
	External Flag     `cue:"external"`
}

// PilotPort is where the air of a valve's external pilot comes in.
func (p AirPart) PilotPort() string {
	if p.Function.Value == "2/2" || p.Function.Value == "3/2" {
		return "12"
	}
	return "14"
}

type Passage struct {
	Origin
	C       Conductance `cue:"C"`
	Nominal Flow        `cue:"nominal"`
	Kv      Number      `cue:"Kv"`
	Cv      Number      `cue:"Cv"`
	B       Number      `cue:"b"`
}

// A Throttle is the way that a flow control throttles.
type Throttle struct {
	Origin
	Enters Text        `cue:"enters"`
	Set    Conductance `cue:"set"`
}

type Switches struct {
	Origin
	On  Pressure `cue:"on"`
	Off Pressure `cue:"off"`
}

type Relief struct {
	Origin
	Set  Pressure `cue:"set"`
	Flow Flow     `cue:"flow"`
}

type PressureRange struct {
	Origin
	From Pressure `cue:"from"`
	To   Pressure `cue:"to"`
}

type Port struct {
	Origin
	Thread Text   `cue:"thread"`
	Male   Flag   `cue:"male"`
	Tube   Length `cue:"tube"`
}

type Run struct {
	Origin
	From       Text        `cue:"from"`
	To         Text        `cue:"to"`
	Tube       Tube        `cue:"tube"`
	Fittings   Fittings    `cue:"fittings"`
	Warmest    Temperature `cue:"warmest"`
	Length     Length      `cue:"length"`
	Cut        Length      `cue:"cut"`
	BurstValve Flag        `cue:"burstValve"`
	Over       Over        `cue:"over"`
}

// Over are the two points between which a tube hangs free and moves.
type Over struct {
	Origin
	From Text `cue:"from"`
	To   Text `cue:"to"`
}

type Fittings struct {
	Origin
	From Fitting `cue:"from"`
	To   Fitting `cue:"to"`
}

type Tube struct {
	Origin
	Outer    Length       `cue:"outer"`
	Inner    Length       `cue:"inner"`
	Material Text         `cue:"material"`
	Ratings  []TubeRating `cue:"ratings"`
	Burst    Pressure     `cue:"burst"`
	Bend     Length       `cue:"bend"`
	Source   Text         `cue:"source"`
}

type TubeRating struct {
	Pressure
	At Temperature `cue:"at"`
}

type Fitting struct {
	Origin
	Tube    Length   `cue:"tube"`
	Thread  Text     `cue:"thread"`
	Rating  Pressure `cue:"rating"`
	Form    Text     `cue:"form"`
	Inserts Length   `cue:"inserts"`
	Passage Passage  `cue:"passage"`
	Source  Text     `cue:"source"`
}

type Zone struct {
	Origin
	Who     Text    `cue:"who"`
	Reaches []Text  `cue:"reaches"`
	Stays   Stays   `cue:"stays"`
	Area    []Point `cue:"area"`
	AtRisk  Text    `cue:"atRisk"`
	Guard   Guard   `cue:"guard"`
}

type FirstAir struct {
	Origin
	Steps    []Pressure `cue:"steps"`
	Isolator Text       `cue:"isolator"`
	Base     Text       `cue:"base"`
}

type Stays struct {
	Origin
	From Text   `cue:"from"`
	Away Length `cue:"away"`
}

type Guard struct {
	Origin
	Kind     Text       `cue:"kind"`
	Stops    Time       `cue:"stops"`
	Opening  Length     `cue:"opening"`
	Shape    Text       `cue:"shape"`
	Distance Length     `cue:"distance"`
	Height   Length     `cue:"height"`
	Floor    Coordinate `cue:"floor"`
}
