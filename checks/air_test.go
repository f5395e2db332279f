package checks_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"trammel.example/checks"
)

func part(kind, fields string) string {
	return fmt.Sprintf(`schema.#%s & {%s, source: "invented"}`, kind, fields)
}

// tee and pair are ports of parts that pass the air on.
const (
	pair = `ports: {"1": thread: "G1/4", "2": thread: "G1/4"}`
	tee  = `ports: {"1": thread: "G1/4", "2": thread: "G1/4", "3": thread: "G1/4"}`
)

func regulator(set string) string {
	return part("Regulator", `set: bar: `+set+`, relieving: true, range: {from: bar: 0.5, to: bar: 8.5}, `+pair)
}

// TestPressureTracing follows the pressure by the meaning of each part (ISO 4414, 5.2.1 and the rule for a single fault): before a
// regulator stands what the relief valve allows, behind it the setting, behind two the lower; when regulators fail, what the relief
// valves allow. By hand:
//
//	source (relief 10) – shut – line 5 – low 2 – spill (relief 3) – lift
//	                                 \ high 7 – end
func TestPressureTracing(t *testing.T) {
	e := examine(t, bench{
		cylinder: ports + ", rating: bar: 10",
		parts: `shut: ` + part("Isolator", `exhausts: true, lockable: true, rating: bar: 12, `+pair) + `
			line: ` + regulator("5") + ` & {rating: bar: 16}
			fork: ` + part("Manifold", tee+`, rating: bar: 8, printed: true`) + `
			low: ` + regulator("2") + `
			spill: ` + part("Manifold", tee) + `
			guard: ` + part("ReliefValve", `set: bar: 3, ports: "1": thread: "G1/4"`) + `
			high: ` + part("Regulator", `set: bar: 7, relieving: false, range: {from: bar: 0.5, to: bar: 8.5}, `+pair) + `
			end: ` + part("Silencer", `ports: "1": thread: "G1/4"`),
		runs: `a: {from: "source.1", to: "shut.1"}, b: {from: "shut.2", to: "line.1"}, c: {from: "line.2", to: "fork.1"}
			d: {from: "fork.2", to: "low.1"}, e: {from: "low.2", to: "spill.1"}, f: {from: "spill.2", to: "guard.1"}, g: {from: "spill.3", to: "lift.rear"}
			h: {from: "fork.3", to: "high.1"}, i: {from: "high.2", to: "end.1"}`,
	})
	const source = "by hand"
	e.flag("part", "fork", "printed", true, "as it is written")
	if f, given := e.fact("part", "spill", "printed"); given {
		t.Errorf("nothing says how the spill is made, and it is %v", f)
	}
	for name, want := range map[string]float64{"source": 10, "shut": 10, "line": 10, "fork": 5, "low": 5, "spill": 2, "guard": 2, "lift": 2, "high": 5, "end": 5} {
		e.want("part", name, "pressure", "bar", want, 1e-9, source)
	}
	for name, want := range map[string]float64{"fork": 10, "low": 10, "spill": 3, "lift": 3, "high": 10, "end": 10} {
		e.want("part", name, "pressureFailed", "bar", want, 1e-9, source)
	}
	if f, ok := e.fact("part", "shut", "pressureFailed"); ok {
		t.Errorf("no regulator is before the shut-off valve, and its failure gives it %v", f)
	}
	e.want("part", "fork", "proof", "bar", 12, 1e-9, "1.5 × rating: common practice")
	e.want("cylinder", "lift", "set", "bar", 2, 1e-9, source)
	e.want("cylinder", "lift", "highest", "bar", 3, 1e-9, source)
	e.flag("cylinder", "lift", "regulated", true, source)
	e.want("supply", "source", "weakest", "bar", 12, 1e-9, "shut-off valve and first regulator are what the receiver reaches")
	e.want("supply", "source", "reliefRatio", "", 1.25, 1e-9, "10 / 8")
	e.want("supply", "source", "reliefAdvised", "bar", 8.8, 1e-9, "1.1 × 8")
	e.open("supply", "source", "reliefFlow")
	e.want("regulator", "low", "setShare", "", 1.5/8, 1e-9, "(2 − 0.5) / (8.5 − 0.5)")
	e.want("regulator", "line", "overSet", "bar", 2, 1e-9, "7 − 5")
	e.flag("regulator", "line", "backward", false, source)
	e.flag("regulator", "line", "relieving", true, "as written")
	e.flag("regulator", "high", "relieving", false, "as written")
}

// TestAirWithoutRegulator: what no regulator is before gets what the relief valve allows.
func TestAirWithoutRegulator(t *testing.T) {
	e := examine(t, bench{cylinder: ports, runs: `a: {from: "source.1", to: "lift.rear"}`})
	e.flag("cylinder", "lift", "regulated", false, "by hand")
	e.want("cylinder", "lift", "set", "bar", 10, 1e-9, "by hand")
	e.flag("supply", "source", "relieved", true, "by hand")
	e.flag("supply", "source", "reliefShutOff", false, "by hand")
	e.want("supply", "source", "cutOut", "bar", 8, 1e-9, "as written")
}

// TestRegulatorBackward: by ISO 11727, 1 is the supply port and 2 the outlet.
func TestRegulatorBackward(t *testing.T) {
	e := examine(t, bench{cylinder: ports, parts: `line: ` + regulator("5"), runs: `a: {from: "source.1", to: "line.2"}, b: {from: "line.1", to: "lift.rear"}`})
	e.flag("regulator", "line", "backward", true, "ISO 11727")
	for kind, name := range map[string]string{"part": "lift", "cylinder": "lift"} {
		fact := map[string]string{"part": "pressure", "cylinder": "set"}[kind]
		e.open(kind, name, fact)
		if f, _ := e.fact(kind, name, fact); !strings.Contains(f.Why, "through line, a regulator that is fitted the wrong way round") {
			t.Errorf("%s %s is not known since %s", kind, name, f.Why)
		}
	}
}

// TestReliefBehindAnIsolator: the only relief valve can be shut off (ISO 4414: protection that can't be shut off, from memory).
func TestReliefBehindAnIsolator(t *testing.T) {
	b := bench{
		cylinder: ports,
		parts: `shut: ` + part("Isolator", `exhausts: true, lockable: true, `+pair) + `
			fork: ` + part("Manifold", tee) + `
			guard: ` + part("ReliefValve", `set: bar: 9, flow: "L/min": 300, ports: "1": thread: "G1/4"`),
		runs: `a: {from: "source.1", to: "shut.1"}, b: {from: "shut.2", to: "fork.1"}, c: {from: "fork.2", to: "guard.1"}, d: {from: "fork.3", to: "lift.rear"}`,
	}
	e := examine(t, b)
	e.flag("supply", "source", "reliefShutOff", false, "the compressor has its own")
	spec := bench{cylinder: ports, parts: b.parts, runs: b.runs}
	spec.parts += `
			alone: schema.#Compressor & {switches: {on: bar: 7, off: bar: 8}, ports: "1": thread: "G1/4", source: "plate"}
			end: ` + part("Silencer", `ports: "1": thread: "G1/4"`) + `
			bare: schema.#Compressor & {switches: {on: bar: 7, off: bar: 8}, delivers: "L/min": 200, ports: "1": thread: "G1/4", source: "plate"}
			valve: ` + part("Isolator", `exhausts: true, lockable: true, `+pair) + `
			knot: ` + part("Manifold", tee) + `
			other: ` + part("ReliefValve", `set: bar: 9, flow: "L/min": 150, ports: "1": thread: "G1/4"`)
	spec.runs += `
			e: {from: "bare.1", to: "valve.1"}, f: {from: "valve.2", to: "knot.1"}, g: {from: "knot.2", to: "other.1"}
			h: {from: "alone.1", to: "end.1"}`
	e = examine(t, spec)
	e.flag("supply", "bare", "reliefShutOff", true, "by hand")
	e.flag("supply", "bare", "relieved", true, "by hand")
	e.flag("supply", "alone", "relieved", false, "by hand")
	e.open("part", "end", "pressure")
	e.want("supply", "bare", "relief", "bar", 9, 1e-9, "as written")
	e.want("supply", "bare", "reliefFlow", "L/min", 150, 1e-6, "as written")
	e.want("supply", "bare", "delivers", "L/min", 200, 1e-6, "as written")
}

// TestReliefOnARail: circuits by hand. The rail works with the lower of two regulators' settings; of two compressors both can push. A relief
// at 1.1 times the working pressure and for all the air delivered is common practice, no source.
func TestReliefOnARail(t *testing.T) {
	b := bench{
		cylinder: ports,
		parts: `first: ` + regulator("5") + `
			second: ` + regulator("4") + `
			rail: ` + part("Manifold", tee) + `
			guard: ` + part("ReliefValve", `set: bar: 4.2, flow: "L/min": 90, ports: "1": thread: "G1/4"`) + `
			source: delivers: "L/min": 200`,
		runs: `a: {from: "source.1", to: "first.1"}, b: {from: "first.2", to: "second.1"}, c: {from: "second.2", to: "rail.1"}, d: {from: "rail.2", to: "guard.1"}, e: {from: "rail.3", to: "lift.rear"}`,
	}
	e := examine(t, b)
	e.want("relief valve", "guard", "worked", "bar", 4, 1e-9, "the lower setting")
	e.want("relief valve", "guard", "setRatio", "", 1.05, 1e-9, "4.2 / 4")
	e.want("relief valve", "guard", "flow", "L/min", 90, 1e-6, "as written")
	e.want("relief valve", "guard", "arrives", "L/min", 200, 1e-6, "as written")
	// Before the regulators, as a second one beside the compressor's own, it must bear the cut-out.
	b.runs = `a: {from: "source.1", to: "rail.1"}, d: {from: "rail.2", to: "guard.1"}, e: {from: "rail.3", to: "first.1"}, b: {from: "first.2", to: "second.1"}, c: {from: "second.2", to: "lift.rear"}`
	examine(t, b).want("relief valve", "guard", "worked", "bar", 8, 1e-9, "the cut-out")
	// Two compressors on one rail.
	b.parts += `
			spare: schema.#Compressor & {switches: {on: bar: 6, off: bar: 7}, relief: set: bar: 9, delivers: "L/min": 150, ports: "1": thread: "G1/4", source: "plate"}
			join: ` + part("Manifold", tee)
	b.runs = `a: {from: "source.1", to: "join.1"}, f: {from: "spare.1", to: "join.2"}, g: {from: "join.3", to: "first.1"}, b: {from: "first.2", to: "rail.1"}, d: {from: "rail.2", to: "guard.1"}, e: {from: "rail.3", to: "lift.rear"}`
	examine(t, b).want("relief valve", "guard", "arrives", "L/min", 350, 1e-6, "200 + 150")
}

// TestIsolation shuts valves one by one, by hand: what a cylinder's air can be kept from by, let out by, and locked away by (ISO 4414 and
// ISO 14118, from memory: isolate and exhaust, and lock).
//
//	source – plain – split – dump – lift
//	                      \ lift, by its other port
func TestIsolation(t *testing.T) {
	valve := func(exhausts, lockable bool) string {
		return part("Isolator", fmt.Sprintf(`exhausts: %v, lockable: %v, `, exhausts, lockable)+pair)
	}
	const inLine = `a: {from: "source.1", to: "plain.1"}, b: {from: "plain.2", to: "dump.1"}, c: {from: "dump.2", to: "lift.rear"}`
	const branched = `a: {from: "source.1", to: "plain.1"}, b: {from: "plain.2", to: "split.1"}, c: {from: "split.2", to: "dump.1"}, d: {from: "dump.2", to: "lift.rear"}, e: {from: "split.3", to: "lift.front"}`
	const beside = `a: {from: "source.1", to: "split.1"}, b: {from: "split.2", to: "plain.1"}, c: {from: "plain.2", to: "lift.rear"}, d: {from: "split.3", to: "dump.1"}`
	const around = `a: {from: "source.1", to: "split.1"}, b: {from: "split.2", to: "plain.1"}, c: {from: "plain.2", to: "lift.rear"}, d: {from: "split.3", to: "lift.front"}`
	for _, r := range []struct {
		runs                       string
		exhausts, lockable         bool // of the one called dump; plain does neither
		isolated, keeps, canBeOpen bool // of the compressor, and of plain
	}{
		{inLine, true, true, true, false, false},
		{inLine, true, false, true, false, true},
		{inLine, false, true, true, true, false},
		{branched, true, true, true, true, true},
		{beside, true, true, true, true, true},
		{around, true, true, false, false, false}, // plain cuts off nothing
	} {
		e := examine(t, bench{cylinder: ports, parts: `plain: ` + valve(false, false) + "\ndump: " + valve(r.exhausts, r.lockable) + "\nsplit: " + part("Manifold", tee), runs: r.runs})
		e.flag("supply", "source", "isolated", r.isolated, "by hand")
		e.flag("isolator", "plain", "keepsPressure", r.keeps, "by hand")
		e.flag("isolator", "plain", "canBeOpened", r.canBeOpen, "by hand")
		e.flag("isolator", "dump", "keepsPressure", r.runs == inLine && !r.exhausts, "by hand")
		if t.Failed() {
			t.Fatal(r)
		}
	}
}

// TestTubeRating: of a burst pressure one quarter (ISO 7751 for air hoses, from memory) and only at the temperature at which it was found;
// of listed ratings the next warmer one, never one in between.
func TestTubeRating(t *testing.T) {
	rate := func(tube, warmest string) examined {
		return examine(t, bench{cylinder: ports,
			runs: `a: {from: "source.1", to: "lift.rear", warmest: degC: ` + warmest + `, tube: {outer: mm: 8, inner: mm: 5.5, material: "polyamide", ` + tube + `, source: "invented"},
			fittings: {from: {tube: mm: 8, thread: "G1/4", source: "invented"}, to: {tube: mm: 8, thread: "G1/8", source: "invented"}}}`})
	}
	const burst, listed = "burst: bar: 64", "ratings: [{bar: 16, at: degC: 20}, {bar: 9, at: degC: 60}, {bar: 12, at: degC: 40}]"
	rate(burst, "20").want("tube", "a", "rating", "bar", 16, 1e-9, "ISO 7751: burst / 4")
	rate(burst, "21").open("tube", "a", "rating")
	for warmest, want := range map[string]float64{"15": 16, "20": 16, "20.1": 12, "40": 12, "41": 9, "60": 9} {
		rate(listed, warmest).want("tube", "a", "rating", "bar", want, 1e-9, "the list's next warmer row")
	}
	rate(listed, "61").open("tube", "a", "rating")
	rate(listed, "40").want("tube", "a", "pressure", "bar", 10, 1e-9, "relief valve")
}

// A hose of 13 mm that comes off at 10 bar: 132.73 mm² × (11.01325 bar × 0.5283 × 2.4 − 1.01325 bar), by the tables of isentropic flow (NACA
// Report 1135). A pipe of metal does not whip, and half an inch is the most that 29 CFR 1926.302 (from memory) leaves without a valve.
func TestHoseThatWhips(t *testing.T) {
	hose := func(inner, material, fields string) examined {
		return examine(t, bench{cylinder: ports,
			runs: `a: {from: "source.1", to: "lift.rear", ` + fields + `tube: {outer: mm: 20, inner: mm: ` + inner + `, material: "` + material + `", burst: bar: 64, source: "invented"},
			fittings: {from: {tube: mm: 20, thread: "G1/4", source: "invented"}, to: {tube: mm: 20, thread: "G1/8", source: "invented"}}}`})
	}
	e := hose("13", "rubber", "length: m: 3.5, ")
	e.want("tube", "a", "jetForce", "N", 132.732e-6*(11.01325e5*0.52828*2.4-1.01325e5), 0.05, "tables of isentropic flow")
	e.want("tube", "a", "whipBore", "mm", 13, 1e-9, "as written")
	e.want("tube", "a", "whipLength", "m", 3.5, 1e-9, "as written")
	e.text("tube", "a", "whipLong", "as its 3500 mm")
	e.flag("tube", "a", "blowsOn", true, "as written")
	// A force of F square to a rod of 1 kg, hinged at its other end, followed step by step through half a turn: what it turns with then.
	force, length, angle, rate := e.number("tube", "a", "jetForce", "N"), 3.5, 0.0, 0.0
	const inertia, dt = 3.5 * 3.5 / 3, 1e-6
	for angle < math.Pi {
		rate += force * length / inertia * dt
		angle += rate * dt
	}
	e.want("tube", "a", "whipEnergy", "J", inertia*rate*rate/2, 5, "followed step by step")
	e.says("tube", "a", "whipSwing", "from side to side it takes ")
	if _, found := hose("13", "rubber", "").fact("tube", "a", "whipEnergy"); found {
		t.Error("a hose of no known length has an energy")
	}
	hose("13", "rubber", "burstValve: true, ").flag("tube", "a", "blowsOn", false, "as written")
	hose("13", "rubber", "cut: m: 2, ").text("tube", "a", "whipLong", "as its 2000 mm")
	if _, whips := hose("13", "copper", "").fact("tube", "a", "jetForce"); whips {
		t.Error("a copper pipe whips")
	}
}

// TestPipesThatShatter: ASME B31.3 and B31.9 keep rigid vinyl pipe from compressed gas (from memory); polyamide, polyurethane, copper,
// steel and braided soft vinyl hose are what compressed air is piped with (common practice, no source).
func TestPipesThatShatter(t *testing.T) {
	for material, want := range map[string]bool{"PVC": true, "PVC-U": true, "CPVC": true, "acrylic": true, "polyamide": false, "polyurethane": false, "copper": false, "steel": false, "soft PVC, braided": false} {
		e := examine(t, bench{cylinder: ports,
			runs: `a: {from: "source.1", to: "lift.rear", tube: {outer: mm: 8, inner: mm: 5.5, material: "` + material + `", burst: bar: 64, source: "invented"},
			fittings: {from: {tube: mm: 8, thread: "G1/4", source: "invented"}, to: {tube: mm: 8, thread: "G1/8", source: "invented"}}}`})
		e.flag("tube", "a", "shatters", want, material)
	}
}

// TestInchTubesInMetricFittings: 1 in is 25.4 mm (NIST SP 811). 5/32 and 5/16 in go into 4 and 8 mm fittings only just; 1/4, 3/8 and
// 1/2 in go into no metric one (common practice, no source).
func TestInchTubesInMetricFittings(t *testing.T) {
	for _, r := range []struct{ sixtyFourths, metric, difference float64 }{
		{10, 4, 0.03125}, {20, 8, 0.0625}, {16, 6, 0.35}, {24, 10, 0.475}, {32, 12, 0.7},
	} {
		e := examine(t, bench{cylinder: ports, runs: fmt.Sprintf(`a: {from: "source.1", to: "lift.rear", tube: {outer: inch: %v, inner: mm: 2.5, material: "polyamide", burst: bar: 64, source: "invented"},
			fittings: {from: {tube: mm: %[2]v, thread: "G1/4", rating: bar: 10, source: "invented"}, to: {tube: mm: %[2]v, thread: "G1/8", source: "invented"}}}`, r.sixtyFourths/64, r.metric)})
		e.want("joint", "a at source.1", "tubeDifference", "mm", r.difference, 1e-9, "25.4 mm to the inch")
		e.want("joint", "a at source.1", "pressure", "bar", 10, 1e-9, "relief valve")
		e.want("joint", "a at source.1", "rating", "bar", 10, 1e-9, "as written")
	}
}

// TestPortThreads screws every male thread into every female one. Threads per inch and flank angle: ISO 228-1 and ISO 7-1 (55°: 28, 19,
// 19, 14 for 1/8, 1/4, 3/8, 1/2), ASME B1.20.1 (60°: 27, 18, 18, 14), ISO 261 (M5 × 0.8). Where size, pitch or angle differ they clash;
// a tapered male in a parallel G port needs a sealant; the pairs that a standard is made of mate.
func TestPortThreads(t *testing.T) {
	type thread struct {
		name, size  string
		perInch     float64
		angle       int
		taper, male bool
	}
	var threads []thread
	for i, size := range []string{"1/8", "1/4", "3/8", "1/2"} {
		bsp, npt := []float64{28, 19, 19, 14}[i], []float64{27, 18, 18, 14}[i]
		threads = append(threads, thread{"G" + size, size, bsp, 55, false, true}, thread{"R" + size, size, bsp, 55, true, true}, thread{"NPT" + size, size, npt, 60, true, true},
			thread{"G" + size, size, bsp, 55, false, false}, thread{"Rc" + size, size, bsp, 55, true, false}, thread{"Rp" + size, size, bsp, 55, false, false}, thread{"NPT" + size, size, npt, 60, true, false})
	}
	threads = append(threads, thread{"M5", "5", 25.4 / 0.8, 60, false, true}, thread{"M5", "5", 25.4 / 0.8, 60, false, false})
	for _, m := range threads {
		for _, f := range threads {
			if !m.male || f.male {
				continue
			}
			e := examine(t, bench{
				cylinder: ports,
				parts:    `end: ` + part("Silencer", `ports: "1": {thread: "`+m.name+`", male: true}`) + "\nmiddle: " + part("Manifold", `ports: {"1": thread: "G1/4", "2": thread: "`+f.name+`"}`),
				runs:     `a: {from: "source.1", to: "middle.1"}, b: {from: "end.1", to: "middle.2"}`,
			})
			same := m.size == f.size && m.perInch == f.perInch && m.angle == f.angle
			clash, _ := e.fact("joint", "b: end.1 in middle.2", "threadsClash")
			sealant, _ := e.fact("joint", "b: end.1 in middle.2", "taperInParallel")
			if clash.Kind != checks.Flag || !same && !clash.Flag {
				t.Errorf("%s into %s: clash %v, and size, pitch or angle differ", m.name, f.name, clash)
			}
			if same && clash.Flag && !(f.taper && !m.taper) {
				t.Errorf("%s into %s: they clash, and are alike in size, pitch and angle", m.name, f.name)
			}
			// ISO 7-1 itself pairs R with Rp; only the G port has no room for the taper.
			if want := same && m.taper && f.name[0] == 'G'; sealant.Flag != want {
				t.Errorf("%s into %s: tapered in parallel %v, want %v", m.name, f.name, sealant, want)
			}
		}
	}
}

// TestTwoMaleThreads: a fitting's thread is male, and so is a nipple's.
func TestTwoMaleThreads(t *testing.T) {
	e := examine(t, bench{cylinder: `ports: {rear: {thread: "G1/8", male: true}, front: thread: "G1/8"}`,
		runs: `a: {from: "source.1", to: "lift.rear", tube: {outer: mm: 8, inner: mm: 5.5, material: "polyamide", burst: bar: 64, source: "invented"},
			fittings: {from: {tube: mm: 8, thread: "G1/4", source: "invented"}, to: {tube: mm: 8, thread: "G1/8", source: "invented"}}}`})
	e.flag("joint", "a at source.1", "threadsClash", false, "male in female")
	e.flag("joint", "a at lift.rear", "threadsClash", true, "male in male")
}
