package schema

import (
	"fmt"
	"slices"
	"strings"

	"trammel.example/schema/standards"
)

// A Material is what parts are made of, by the builder's own figures.
type Material struct {
	Origin
	Tensile    Stress      `cue:"tensile"`
	Yield      Stress      `cue:"yield"`
	Elasticity Stress      `cue:"elasticity"`
	Pressed    Stress      `cue:"pressed"`
	Expansion  Number      `cue:"expansion"`
	Softens    Temperature `cue:"softens"`
	Source     Text        `cue:"source"`
}

const (
	// unknownShear is shear strength over tensile strength where a material's own figures have none, the least of the tables but for sheet of
	// wood, and unknownPressed the share of its yield strength that a head may press on it: what creeping plastics bear. Common practice.
	unknownShear, unknownPressed = 0.5, 0.25
)

// Material is a material by its name: the builder's own figures, and else those of the tables, in SI. It is an error that says what is
// known where neither has it.
func (m *Machine) Material(name string) (standards.Material, error) {
	own, ok := m.Materials[name]
	if !ok {
		return standards.MaterialByName(name)
	}
	row, err := standards.MaterialByName(name)
	if err != nil {
		row = standards.Material{ShearRatio: unknownShear, Pressed: unknownPressed * own.Yield.SI}
	} else if own.Yield.Given() && row.Yield > 0 {
		row.Pressed *= own.Yield.SI / row.Yield
	}
	for _, f := range []struct {
		own float64
		to  *float64
	}{{own.Tensile.SI, &row.Tensile}, {own.Yield.SI, &row.Yield}, {own.Elasticity.SI, &row.Elasticity}, {own.Pressed.SI, &row.Pressed}, {own.Softens.SI, &row.Softens}} {
		if f.own > 0 {
			*f.to = f.own
		}
	}
	if own.Expansion.Given() {
		row.Expansion = own.Expansion.SI * 1e-6
	}
	row.Provenance = standards.Provenance{Source: own.Source.Value}
	return row, nil
}

// materials looks at the builder's own: one that no table has needs all that strength is reckoned with.
func (c *checker) materials() {
	for _, name := range sorted(c.m.Materials) {
		o := c.m.Materials[name]
		var missing []string
		for _, f := range []choice{{"tensile: MPa: …", o.Tensile.Given()}, {"yield: MPa: …", o.Yield.Given()}, {"elasticity: GPa: …", o.Elasticity.Given()}} {
			if !f.given {
				missing = append(missing, "`"+f.name+"`")
			}
		}
		known := slices.Contains(standards.MaterialNames(), name)
		if !known && len(missing) > 0 {
			c.add(o.Origin, "%s is none of trammel's, so that all its figures are yours to give: add %s", o.Path, andList(missing))
		}
		if known && len(missing) == 3 && !o.Pressed.Given() && !o.Softens.Given() && !o.Expansion.Given() {
			c.add(o.Origin, "%s says nothing that trammel can use: give it `tensile`, `yield`, `elasticity`, `pressed`, `expansion` or `softens`", o.Path)
		}
		if o.Softens.Given() && o.Softens.SI <= 0 {
			c.add(o.Softens.Origin, "%s is %s, which no thermometer shows: 0 K is −273.15 °C", o.Softens.Path, o.Softens)
		}
		if o.Tensile.Given() && o.Yield.Given() && o.Yield.SI > o.Tensile.SI {
			c.add(o.Yield.Origin, "%s is %s, and its tensile strength is %s: nothing yields after it has broken", o.Yield.Path, o.Yield, o.Tensile)
		}
	}
}

// material demands the name of a material of the tables, or of one of the builder's own.
func (c *checker) material(t Text) {
	if !t.Given() {
		return
	}
	if _, err := c.m.Material(t.Value); err == nil {
		return
	}
	all := append(standards.MaterialNames(), sorted(c.m.Materials)...)
	which := ""
	if near := c.nearMaterials(t.Value, all); len(near) > 0 {
		which = "did you mean " + orList(near) + "?"
	} else {
		var known []string
		for _, n := range all {
			row, _ := c.m.Material(n)
			known = append(known, called(n, row.Called))
		}
		which = "it knows " + andList(known) + "."
	}
	c.add(t.Origin, "%s is %q, which is no material that trammel knows: %s Figures of your own go into `materials: %q: {tensile: MPa: …, yield: MPa: …, elasticity: GPa: …, source: \"…\"}`",
		t.Path, t.Value, which, t.Value)
}

func called(name, trade string) string {
	if trade == "" {
		return quoteName(name)
	}
	return fmt.Sprintf("%s (%s)", quoteName(name), trade)
}

// nearMaterials are those that a name may have meant: by what the trade calls them, else by a slip of the pen.
func (c *checker) nearMaterials(name string, all []string) (near []string) {
	lower := strings.ToLower(name)
	for _, n := range all {
		if row, _ := c.m.Material(n); row.Called != "" && (strings.Contains(lower, row.Called) || strings.Contains(row.Called, lower)) {
			near = append(near, called(n, row.Called))
		}
	}
	if slip := nearest(name, all); len(near) == 0 && len(slip) == 1 {
		return quotedNames(slip)
	}
	return near
}
