package checks_test

import (
	"io/fs"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"trammel.example/checks"
	"trammel.example/schema"
	"trammel.example/schema/standards"
)

// examples are the machines of all examples, by their folders.
func examples(t *testing.T) map[string]*schema.Machine {
	t.Helper()
	folders, err := os.ReadDir("../examples")
	if err != nil {
		t.Fatal(err)
	}
	loader := schema.NewLoader("..", map[string]fs.FS{"schema": schema.Files, "schema/standards": standards.Files, "facts": checks.Files})
	all := map[string]*schema.Machine{}
	for _, f := range folders {
		spec, err := loader.Load("examples/" + f.Name())
		if err != nil {
			t.Fatal(err)
		}
		all[f.Name()] = spec.Machines[0]
	}
	return all
}

// TestRodsAreThoseInWords holds the numbers of a fact's pose against its words: how far each rod is out stands in both.
func TestRodsAreThoseInWords(t *testing.T) {
	compared := 0
	for name, m := range examples(t) {
		var cylinders []string
		for c := range m.Cylinders {
			cylinders = append(cylinders, c)
		}
		slices.Sort(cylinders)
		for _, s := range checks.Examine(m) {
			for fact, f := range s.Facts {
				if f.Rods == nil {
					continue
				}
				if len(f.Rods) != len(cylinders) {
					t.Fatalf("%s: %s of %s has %d rods, the machine has %d", name, fact, s.Name, len(f.Rods), len(cylinders))
				}
				said := 0
				for i, c := range cylinders {
					words := "out by " + schema.Format(schema.LengthDim, f.Rods[i])
					// A stroke's words leave out whose rod it is: its name says that.
					if strings.Contains(f.Worst, words) && (len(cylinders) == 1 || strings.Contains(f.Worst, c) || s.Kind == "stroke" && strings.HasPrefix(s.Name, c+" ") || fact == "buckleForce" && s.Name == c) {
						said++
					}
				}
				// Only the rod that moves is in a stroke's words, and the one that might buckle in its cylinder's.
				if said == 0 || said < len(cylinders) && s.Kind != "stroke" && fact != "buckleForce" && !strings.Contains(f.Worst, "moving along") {
					t.Errorf("%s: %s of %s %q is worst %q, and the rods are out by %v", name, fact, s.Kind, s.Name, f.Worst, f.Rods)
				}
				compared++
			}
		}
	}
	if compared < 100 {
		t.Errorf("only %d poses were compared", compared)
	}
}

// TestCoursesReachTheFacts demands that the most and the least along a course are the facts that rules judge, which are found without it.
func TestCoursesReachTheFacts(t *testing.T) {
	compared := 0
	for name, m := range examples(t) {
		facts := map[string]checks.Fact{}
		for _, s := range checks.Examine(m) {
			for fact, f := range s.Facts {
				facts[s.Kind+" "+s.Name+" "+fact] = f
			}
		}
		near := func(what string, got float64, kind, subject, fact string, tolerance float64) {
			want, known := facts[kind+" "+subject+" "+fact]
			if !known || want.Kind != checks.Quantity || math.IsInf(got, 0) {
				return
			}
			compared++
			if math.Abs(got-want.SI) > tolerance*math.Abs(want.SI)+1e-9 {
				t.Errorf("%s: %s of %s is %g along its course, and the fact %s is %g", name, what, subject, got, fact, want.SI)
			}
		}
		out, in := map[string]float64{}, map[string]float64{}
		angle := map[string]float64{}
		for _, c := range checks.Courses(m, 201) {
			for i := range c.Out.Needed {
				out[c.Cylinder] = max(out[c.Cylinder], c.Out.Needed[i])
				in[c.Cylinder] = max(in[c.Cylinder], c.In.Needed[i])
			}
			near("thrust", c.Out.Given, "cylinder", c.Cylinder, "thrustOut", 1e-9)
			near("thrust", c.In.Given, "cylinder", c.Cylinder, "thrustIn", 1e-9)
			for _, p := range c.Passings {
				for _, a := range p.Angle {
					if old, ok := angle[p.Link]; !ok || a < old {
						angle[p.Link] = a
					}
				}
			}
		}
		if len(m.Cylinders) == 1 { // with more, a rod is also pushed while it rests
			for c := range out {
				near("force", out[c], "cylinder", c, "loadOut", 1e-6)
				near("force", in[c], "cylinder", c, "loadIn", 1e-6)
			}
		}
		for link, a := range angle {
			near("transmission angle", a, "link", link, "transmission", 1e-6)
		}
		for _, s := range checks.TimedStrokes(m) {
			peak, high := 0.0, 0.0
			for i, v := range s.Speed {
				peak, high = max(peak, math.Abs(v)), max(high, s.Rear[i])
				if i > 0 && s.Time[i] <= s.Time[i-1] {
					t.Errorf("%s: the time of %s %s goes back", name, s.Cylinder, s.Way)
				}
			}
			near("speed", peak, "stroke", s.Cylinder+" "+s.Way, "peakSpeed", 1e-6)
			// The fact is found between the moments.
			near("pressure", high, "stroke", s.Cylinder+" "+s.Way, "peakRear", 0.02)
			near("time", s.Time[len(s.Time)-1], "stroke", s.Cylinder+" "+s.Way, "time", 1e-9)
			if s.Energy.Imbalance() > 1e-3 {
				t.Errorf("%s: the energy of %s %s does not add up", name, s.Cylinder, s.Way)
			}
		}
	}
	if compared < 30 {
		t.Errorf("only %d numbers were compared", compared)
	}
}

// TestCircuitStates names the states of a 5/2 valve: the rod goes out in one and in in the other (ISO 5599: 14 joins 1 to 4, 12 joins 1 to 2).
func TestCircuitStates(t *testing.T) {
	states := checks.CircuitStates(examples(t)["tray-lifter"])
	if len(states) != 2 {
		t.Fatalf("%d states: %v", len(states), states)
	}
	for _, s := range states {
		want := map[string]string{"14": "lift moves out with shift at 14", "12": "lift moves in with shift at 12"}[s.Positions["shift"]]
		if s.Says != want {
			t.Errorf("at %s: %q, want %q", s.Positions["shift"], s.Says, want)
		}
	}
}
