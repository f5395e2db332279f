package schema

import (
	"math"
	"reflect"
	"slices"
	"strconv"

	"cuelang.org/go/cue"
)

var dimensionOf = map[reflect.Type]Dimension{
	reflect.TypeFor[Length](): LengthDim, reflect.TypeFor[Coordinate](): LengthDim, reflect.TypeFor[Deviation](): LengthDim,
	reflect.TypeFor[Pressure](): PressureDim, reflect.TypeFor[Stress](): StressDim, reflect.TypeFor[Force](): ForceDim,
	reflect.TypeFor[Torque](): TorqueDim, reflect.TypeFor[Mass](): MassDim, reflect.TypeFor[Angle](): AngleDim,
	reflect.TypeFor[SignedAngle](): AngleDim, reflect.TypeFor[Time](): TimeDim, reflect.TypeFor[Moment](): TimeDim, reflect.TypeFor[Temperature](): TemperatureDim,
	reflect.TypeFor[Rate](): RateDim, reflect.TypeFor[SecondMoment](): MomentDim, reflect.TypeFor[Area](): AreaDim,
	reflect.TypeFor[Flow](): FlowDim, reflect.TypeFor[Volume](): VolumeDim,
	reflect.TypeFor[Conductance](): ConductanceDim, reflect.TypeFor[Energy](): EnergyDim, reflect.TypeFor[Speed](): SpeedDim,
	reflect.TypeFor[Voltage](): VoltageDim, reflect.TypeFor[Current](): CurrentDim, reflect.TypeFor[Power](): PowerDim,
	reflect.TypeFor[Resistance](): ResistanceDim,
}

var (
	numberType = reflect.TypeFor[Number]()
	textType   = reflect.TypeFor[Text]()
	flagType   = reflect.TypeFor[Flag]()
	originType = reflect.TypeFor[Origin]()
	qtyType    = reflect.TypeFor[Quantity]()
	toleranced = map[reflect.Type]bool{reflect.TypeFor[Size](): true, reflect.TypeFor[Washer](): true}
)

// A layout says where the fields of a CUE struct go in a Go struct.
type layout struct {
	fields   []layoutField // those that the spec may have
	byName   map[string][]int
	assumed  []assumedField
	quantity []int // the embedded Quantity, for a struct that is one
	dim      Dimension
	units    []layoutUnit // those that the spec may have
	origin   []int
}

// An assumedField is one that may have an assumption for what the builder left out, or a tolerance.
type assumedField struct {
	field
	index []int
}

type layoutField struct {
	name  string
	path  cue.Path
	index []int
}

type layoutUnit struct {
	Unit
	path cue.Path
}

// layouts are those of all structs of a spec.
type layouts struct {
	labels      labels
	definitions definitions
	of          map[reflect.Type]*layout
}

func newLayouts(ls labels, ds definitions) *layouts {
	all := &layouts{ls, ds, map[reflect.Type]*layout{}}
	all.add(reflect.TypeFor[Machine]())
	all.add(reflect.TypeFor[Kit]())
	return all
}

// add lays out a type and all that it is made of.
func (all *layouts) add(t reflect.Type) {
	switch t.Kind() {
	case reflect.Map, reflect.Slice:
		all.add(t.Elem())
		return
	case reflect.Struct:
	default:
		return
	}
	if _, ok := all.of[t]; ok || t == textType || t == flagType || t == numberType {
		return
	}
	l := all.layout(t)
	all.of[t] = l
	for _, index := range l.byName {
		all.add(t.FieldByIndex(index).Type)
	}
}

// decoder turns one checked machine value into Go, field by field, keeping where each was written.
type decoder struct {
	root        []string // of all paths, from a file's top: the machine, or the kit
	places      *places
	labels      labels
	layouts     *layouts
	mistakes    *Mistakes
	assumptions []Assumption
}

func (all *layouts) layout(t reflect.Type) *layout {
	l := &layout{byName: map[string][]int{}}
	var visit func(t reflect.Type, index []int)
	visit = func(t reflect.Type, index []int) {
		for i := range t.NumField() {
			f := t.Field(i)
			at := append(append([]int{}, index...), i)
			switch {
			case f.Type == originType:
				l.origin = at
			case f.Type == qtyType:
				l.quantity, l.dim = at, dimensionOf[t]
				visit(f.Type, at)
				for _, u := range UnitsOf(l.dim) {
					if all.labels.mayHaveUnit(u.Name) {
						l.units = append(l.units, layoutUnit{u, cue.MakePath(cue.Str(u.Name))})
					}
				}
			case f.Anonymous:
				visit(f.Type, at)
			case f.Tag.Get("cue") != "" && f.Tag.Get("cue") != "-":
				name := f.Tag.Get("cue")
				l.byName[name] = at
				if all.labels.mayHave(name) {
					l.fields = append(l.fields, layoutField{name, cue.MakePath(cue.Str(name)), at})
				}
			}
		}
	}
	visit(t, nil)
	if def, ok := all.definitions["#"+t.Name()]; ok {
		for _, f := range all.definitions.all(def) {
			if index, ok := l.byName[f.name]; ok && (f.assumed != nil || toleranced[t.FieldByIndex(index).Type]) {
				l.assumed = append(l.assumed, assumedField{f, index})
			}
		}
	}
	return l
}

func (d *decoder) originOf(v cue.Value, path string) Origin {
	pos := v.Pos()
	o := Origin{Path: path, At: d.places.of(pos)}
	if pos.IsValid() && isServed(pos.Filename()) {
		a := v.Attribute("assumed")
		o.Assumed, _, _ = a.Lookup(0, "source")
		if o.Assumed == "" {
			o.Assumed = "the schema's default"
		}
	}
	return o
}

// value decodes v into out, which has the Go type for its definition. It returns where the first value inside was written.
func (d *decoder) value(v cue.Value, out reflect.Value, path string) Place {
	switch t := out.Type(); {
	case t == textType:
		s, err := v.String()
		d.failed(v, path, err)
		o := d.originOf(v, path)
		out.Set(reflect.ValueOf(Text{o, s}))
		return o.place()
	case t == flagType:
		b, err := v.Bool()
		d.failed(v, path, err)
		o := d.originOf(v, path)
		out.Set(reflect.ValueOf(Flag{o, b}))
		return o.place()
	case t == numberType:
		x, err := v.Float64()
		d.failed(v, path, err)
		o := d.originOf(v, path)
		if o.Assumed != "" {
			d.assumptions = append(d.assumptions, Assumption{Path: path, Value: formatNumber(x), Source: o.Assumed})
		}
		out.Set(reflect.ValueOf(Number{Quantity{Origin: o, SI: x, Value: x, Unit: UnitsOf(NumberDim)[0]}}))
		return o.place()
	case t.Kind() == reflect.Map:
		var first Place
		out.Set(reflect.MakeMap(t))
		elem := reflect.New(t.Elem()).Elem() // of which the map keeps copies
		for it := d.fields(v, path); it != nil && it.Next(); {
			elem.SetZero()
			name := it.Selector().Unquoted()
			first = first.or(d.value(it.Value(), elem, join(path, name)))
			out.SetMapIndex(reflect.ValueOf(name), elem)
		}
		return first
	case t.Kind() == reflect.Slice:
		var first Place
		it, err := v.List()
		d.failed(v, path, err)
		var elements []cue.Value
		for err == nil && it.Next() {
			elements = append(elements, it.Value())
		}
		if err == nil { // not nil, though nothing be in it: it is written
			out.Set(reflect.MakeSlice(t, len(elements), len(elements)))
		}
		for i, v := range elements {
			first = first.or(d.value(v, out.Index(i), path+"["+strconv.Itoa(i)+"]"))
		}
		return first
	default:
		return d.structure(v, out, path)
	}
}

func (d *decoder) structure(v cue.Value, out reflect.Value, path string) Place {
	l := d.layouts.of[out.Type()]
	var first Place
	var written []string // the units used
	// Each field is asked for by name: the evaluator would sort those of a struct before it listed them, which takes longer.
	for _, f := range l.fields {
		if field := v.LookupPath(f.path); field.Exists() {
			first = first.or(d.value(field, out.FieldByIndex(f.index), join(path, f.name)))
		}
	}
	for _, u := range l.units {
		field := v.LookupPath(u.path)
		if !field.Exists() {
			continue
		}
		written = append(written, u.Name)
		where := join(path, u.Name)
		x, err := field.Float64()
		d.failed(field, where, err)
		q := Quantity{Origin: d.originOf(field, where), SI: u.SI(x), Value: x, Unit: u.Unit}
		q.Path = path
		first = q.At
		out.FieldByIndex(l.quantity).Set(reflect.ValueOf(q))
	}
	if first.File == "" {
		// A default among several structs has no fields until it is asked for.
		if chosen, is := v.Default(); is && chosen != v {
			return d.structure(chosen, out, path)
		}
		if v.Kind() != cue.StructKind {
			d.unread(v, path, d.layouts.definitions.units("#"+out.Type().Name()))
			return first
		}
	}
	if len(written) != 1 { // a quantity stands where its number does
		if label, ok := d.labels.at(append(slices.Clone(d.root), splitPath(path)...)); ok {
			// The builder looks for the field's name, not for the first value that came in through a shared part.
			first = label
		}
	}
	switch {
	case l.quantity != nil:
		d.oneUnit(v, out, path, written, first)
	case l.origin != nil:
		out.FieldByIndex(l.origin).Set(reflect.ValueOf(Origin{Path: path, At: first}))
	}
	d.assume(out, path, l)
	if p, ok := out.Addr().Interface().(*AirPart); ok {
		d.definedPart(v, p, path)
	}
	switch v := out.Addr().Interface().(type) {
	case *Cylinder:
		d.fromStandard(v)
	case *Offset: // which stands in lists alone
		d.settleOffset(v)
	}
	return first
}

// definedPart demands that a part of the air's way is written from the definition of its kind, which says what it may have.
func (d *decoder) definedPart(v cue.Value, p *AirPart, path string) {
	if v.LookupPath(definitionMark).Exists() {
		return
	}
	fields := map[string]string{}
	for it := d.fields(v, path); it != nil && it.Next(); {
		fields[it.Selector().Unquoted()], _ = it.Value().String()
	}
	last := splitPath(path)
	d.mistakes.add(p.At, path, "%s is written from no definition: %s", path, d.layouts.definitions.asKind(last[len(last)-1], fields))
}

// oneUnit demands that a quantity is written in exactly one unit; a standard washer needs none.
func (d *decoder) oneUnit(v cue.Value, out reflect.Value, path string, written []string, at Place) {
	if len(written) == 1 {
		return
	}
	l := d.layouts.of[out.Type()]
	if index, ok := l.byName["size"]; ok && len(written) == 0 && out.FieldByIndex(index).Interface().(Text).Given() {
		out.FieldByIndex(l.quantity).Set(reflect.ValueOf(Quantity{Origin: Origin{Path: path, At: at}}))
		return
	}
	if len(written) == 0 {
		if q, ok := d.hiddenUnit(v, path, l); ok {
			out.FieldByIndex(l.quantity).Set(reflect.ValueOf(q))
			return
		}
		units := d.layouts.definitions.units("#" + out.Type().Name())
		d.mistakes.add(at, path, "%s has no unit: write %s", path, orList(quotedLabels(units)))
		return
	}
	d.mistakes.add(at, path, "%s is given in %s at once: keep one of them", path, andList(written))
	neither := Quantity{Origin: Origin{Path: path, At: at}, SI: math.NaN(), Value: math.NaN()} // it is given, and nothing more is said of it
	out.FieldByIndex(l.quantity).Set(reflect.ValueOf(neither))
}

// hiddenUnit finds a quantity in a unit that the text does not show, such as one that comes out of a function.
func (d *decoder) hiddenUnit(v cue.Value, path string, l *layout) (Quantity, bool) {
	for _, u := range UnitsOf(l.dim) {
		if field := v.LookupPath(cue.MakePath(cue.Str(u.Name))); field.Exists() {
			x, err := field.Float64()
			d.failed(field, path, err)
			o := d.originOf(field, path)
			return Quantity{Origin: o, SI: u.SI(x), Value: x, Unit: u}, true
		}
	}
	return Quantity{}, false
}

// assume fills what the builder left out and the schema has a stated assumption for.
func (d *decoder) assume(out reflect.Value, path string, l *layout) {
	for i := range l.assumed {
		f := &l.assumed[i]
		field := out.FieldByIndex(f.index)
		switch v := field.Addr().Interface().(type) {
		case *Size:
			d.settle(v, &f.field)
			continue
		case *Washer:
			d.settleWasher(v, &f.field)
			continue
		}
		if f.assumed == nil {
			continue
		}
		q := field.FieldByName("Quantity")
		if !q.IsValid() || q.Interface().(Quantity).Given() || field.Type() == numberType {
			continue
		}
		unit, ok := UnitOf(dimensionOf[field.Type()], f.assumed.unit)
		if !ok {
			continue
		}
		where := join(path, f.name)
		value := Quantity{Origin: Origin{Path: where, Assumed: f.assumed.source}, SI: unit.SI(f.assumed.value), Value: f.assumed.value, Unit: unit}
		q.Set(reflect.ValueOf(value))
		d.assumptions = append(d.assumptions, Assumption{Path: where, Value: value.String(), Source: f.assumed.source})
	}
}

func (d *decoder) fields(v cue.Value, path string) *cue.Iterator {
	it, err := v.Fields()
	d.failed(v, path, err)
	if err != nil {
		return nil
	}
	return it
}

// failed notes an error that validation did not show: a number too large for a float64 comes here.
func (d *decoder) failed(v cue.Value, path string, err error) {
	if err != nil {
		d.mistakes.add(d.places.of(v.Pos()), path, "%s can't be read: %v", path, err)
	}
}

// unread notes a value that is no struct where one is wanted: a quantity, which has units, or another.
func (d *decoder) unread(v cue.Value, path string, units []string) {
	names := splitPath(path)
	name := names[len(names)-1]
	written, err := v.MarshalJSON()
	switch {
	case err != nil:
		d.mistakes.add(d.places.of(v.Pos()), path, "%s can't be read: %v", path, err)
	case len(units) > 0 && v.IncompleteKind()&cue.NumberKind != 0:
		d.mistakes.add(d.places.of(v.Pos()), path, "%s is %s; %s", path, written, wantsUnit(name, string(written), units))
	case len(units) > 0:
		d.mistakes.add(d.places.of(v.Pos()), path, "%s is %s; it wants a number under its unit: %s", path, written, orList(quotedLabels(units)))
	default:
		d.mistakes.add(d.places.of(v.Pos()), path, "%s is %s; it wants fields in braces: `%s: {…}`", path, written, labelled(name))
	}
}

func join(path, name string) string {
	if !isPlain(name) {
		name = strconv.Quote(name)
	}
	if path == "" {
		return name
	}
	return path + "." + name
}

// isPlain reports whether a field's name is written without quotes.
func isPlain(name string) bool {
	for i, r := range name {
		letter := r == '_' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !letter && (i == 0 || r < '0' || r > '9') {
			return false
		}
	}
	return name != ""
}
