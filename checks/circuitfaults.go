package checks

import (
	"fmt"
	"strings"

	"trammel.example/checks/circuit"
	"trammel.example/schema"
)

// circuitFaults gives each mistake of the circuit a subject, and a circuit without one a subject that says so.
func (x *examiner) circuitFaults(faults circuit.Faults) {
	for _, f := range faults {
		at, blame := x.placeOfFault(f)
		s := newSubject(x.m, "circuit", strings.Join(append(f.Components, f.Runs...), ", "), at)
		x.add(s)
		text, remedy := faultInWords(f)
		if f.Kind == circuit.NoSupply && len(f.Ports) == 0 && x.m.Air.Parts[f.Components[0]].Kind.Value == "check valve" {
			text = fmt.Sprintf("Air comes to port 2 of %s, and a check valve lets it through from 1 to 2 only", f.Components[0])
			remedy = fmt.Sprintf("Turn %s round, so that the air comes to its port 1", f.Components[0])
		}
		if f.Kind == circuit.NoSupply && len(f.Ports) == 1 {
			if valve, short := x.oneOutlet(f.Ports[0]); short {
				at = x.m.Air.Parts[valve].At
				s.At, blame = at, []schema.Input{x.m.Air.Parts[valve].Function}
				end := f.Ports[0].Component + "." + f.Ports[0].Name
				text = fmt.Sprintf("No valve position lets air come to %s: %s is a 3/2, which has one outlet, and %s has two ends", end, valve, f.Ports[0].Component)
				remedy = fmt.Sprintf("Take a 5/2 for %s and join its other outlet to %s, or give that end a 3/2 of its own; or take a single-acting cylinder, whose spring brings the rod back", valve, end)
			}
		}
		if f.Kind == circuit.OpenPort && len(f.Ports) == 1 && f.Ports[0].Name != "1" && strings.HasPrefix(x.m.Air.Parts[f.Ports[0].Component].Function.Value, "5/") {
			remedy += "; a 3/2 has one outlet, and is enough for a single-acting cylinder"
		}
		s.flag("faulty", true, blame...)
		s.text("fault", text)
		s.text("remedyFault", remedy)
	}
	if len(faults) == 0 {
		s := newSubject(x.m, "circuit", x.m.Name, x.m.Air.At)
		x.add(s)
		s.flag("faulty", false)
	}
}

// oneOutlet finds the 3/2 valve that works one end of a double-acting cylinder and leaves the other without air.
func (x *examiner) oneOutlet(bare circuit.Port) (valve string, short bool) {
	y, ok := x.m.Cylinders[bare.Component]
	if !ok || y.Acting.Value != "double" {
		return "", false
	}
	other := "rear"
	if bare.Name == other {
		other = "front"
	}
	l, why := x.plumber().line(bare.Component, other)
	if why != "" {
		return "", false
	}
	return l.valve, x.m.Air.Parts[l.valve].Function.Value == "3/2"
}

// placeOfFault is where a fault is to be mended: a port's run where there is one, else the part.
func (x *examiner) placeOfFault(f circuit.Fault) (schema.Place, []schema.Input) {
	for _, run := range f.Runs {
		if r, ok := x.m.Air.Runs[run]; ok {
			return r.At, []schema.Input{r.To}
		}
	}
	for _, name := range f.Components {
		if p, ok := x.m.Air.Parts[name]; ok {
			return p.At, []schema.Input{p.Kind}
		}
		if y, ok := x.m.Cylinders[name]; ok {
			return y.At, nil
		}
	}
	return x.m.Air.At, nil
}

func faultInWords(f circuit.Fault) (text, remedy string) {
	var ports []string
	for _, p := range f.Ports {
		ports = append(ports, p.Component+"."+p.Name)
	}
	parts, named := inWords(f.Components), inWords(ports)
	if named == "" {
		named = parts
	}
	switch f.Kind {
	case circuit.UnknownPort:
		return fmt.Sprintf("Port %s is joined, and a part of that kind has no such port", named), fmt.Sprintf("Join run %s to another port, or give %s its true kind", inWords(f.Runs), parts)
	case circuit.Loop:
		return fmt.Sprintf("The runs %s make a ring with nothing but %s in it", inWords(f.Runs), parts), fmt.Sprintf("Leave out one of the runs %s", inWords(f.Runs))
	case circuit.OutputsJoined:
		return fmt.Sprintf("Ports %s are joined: each lets out what the other supplies", named), fmt.Sprintf("Give each of %s a tube of its own", named)
	case circuit.OpenPort:
		return fmt.Sprintf("Port %s is open, and air under pressure comes to it", named), fmt.Sprintf("Screw a plug into %s, or join it to where its air is to go", named)
	case circuit.NoSupply:
		return fmt.Sprintf("No valve position lets air come to %s", named), fmt.Sprintf("Join %s to an outlet that gets air, or turn round what stands in the way", named)
	case circuit.NoExhaust:
		return fmt.Sprintf("No valve position lets the air out of %s", named), fmt.Sprintf("Join %s to a valve that lets it out: a 3/2 or 5/2 with its exhaust open", named)
	case circuit.TooManyStates:
		return fmt.Sprintf("The valves at %s act on each other in more than %d states", parts, circuit.MostStates), fmt.Sprintf("Part the circuit of %s: valves that only share a supply are judged on their own", parts)
	}
	return "The circuit has a mistake: " + f.Error(), fmt.Sprintf("Correct %s", named)
}
