package checks

import (
	"strings"

	"cuelang.org/go/cue/ast"
	"cuelang.org/go/cue/literal"
	"cuelang.org/go/cue/parser"

	"trammel.example/schema"
)

// A Definition says what one fact is, as facts.cue has it.
type Definition struct {
	Name    string
	Kind    Kind // Quantity, Text or Flag
	Dim     schema.Dimension
	Doc     string
	Formula string
	// Strength says that it is what a part bears, or what it bears with: a rule that measures it tells how far the part is utilised.
	Strength bool
}

// dimensions of the quantities in facts.cue, by the name of their definition there.
var dimensions = map[string]schema.Dimension{
	"#Length": schema.LengthDim, "#Pressure": schema.PressureDim, "#Force": schema.ForceDim, "#Torque": schema.TorqueDim,
	"#Energy": schema.EnergyDim, "#Mass": schema.MassDim, "#Angle": schema.AngleDim, "#Speed": schema.SpeedDim,
	"#Voltage": schema.VoltageDim, "#Current": schema.CurrentDim, "#Power": schema.PowerDim,
	"#Temperature": schema.TemperatureDim, "#Flow": schema.FlowDim, "#Volume": schema.VolumeDim, "#Time": schema.TimeDim,
	"#SecondMoment": schema.MomentDim, "#Area": schema.AreaDim, "#Stress": schema.StressDim,
	"#Conductance": schema.ConductanceDim, "#Acceleration": schema.AccelerationDim,
}

// Definitions reads facts.cue: for each kind of subject its facts, in the order written.
func Definitions() (map[string][]Definition, error) {
	data, err := Files.ReadFile("facts.cue")
	if err != nil {
		return nil, err
	}
	file, err := parser.ParseFile("facts.cue", data, parser.ParseComments)
	if err != nil {
		return nil, err
	}
	kinds := map[string][]Definition{}
	for _, decl := range file.Decls {
		field, ok := decl.(*ast.Field)
		if !ok {
			continue
		}
		body, ok := field.Value.(*ast.StructLit)
		if !ok {
			continue
		}
		kind, facts := readKind(body)
		if kind != "" {
			kinds[kind] = facts
		}
	}
	return kinds, nil
}

func readKind(body *ast.StructLit) (kind string, facts []Definition) {
	doc := ""
	for _, elt := range body.Elts {
		f, ok := elt.(*ast.Field)
		if !ok {
			continue
		}
		name, _, err := ast.LabelName(f.Label)
		if err != nil {
			continue
		}
		if lit, ok := f.Value.(*ast.BasicLit); ok && name == "kind" {
			kind, _ = literal.Unquote(lit.Value)
			continue
		}
		ident, ok := f.Value.(*ast.Ident)
		if !ok || name == "name" {
			continue
		}
		// One comment may speak of several facts that follow it.
		if comments := ast.Comments(f); len(comments) > 0 {
			doc = strings.TrimSpace(comments[0].Text())
		}
		d := Definition{Name: name, Doc: strings.ReplaceAll(doc, "\n", " ")}
		switch ident.Name {
		case "string":
			d.Kind = Text
		case "bool":
			d.Kind = Flag
		case "number":
			d.Kind, d.Dim = Quantity, schema.NumberDim
		default:
			d.Kind, d.Dim = Quantity, dimensions[ident.Name]
		}
		for _, a := range f.Attrs {
			switch key, text := a.Split(); key {
			case "formula":
				d.Formula, _ = literal.Unquote(text)
			case "strength":
				d.Strength = true
			}
		}
		facts = append(facts, d)
	}
	return kind, facts
}
