package compare

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"

	"trammel.example/schema"
)

// set are the fields of parts that are chosen where the part is used, and come from no data sheet.
var set = map[string]bool{"At": true, "Time": true, "Harmless": true, "Set": true, "Throttles": true, "Fastest": true, "Rework": true, "Origin": true, "Source": true}

var (
	textType  = reflect.TypeFor[schema.Text]()
	quantity  = reflect.TypeFor[schema.Quantity]()
	placeType = reflect.TypeFor[schema.Place]()
)

// data finds the values of parts that changed while their source stayed the same.
func data(before, now *schema.Machine) (all []Datum) {
	pairs(reflect.ValueOf(*before), reflect.ValueOf(*now), func(a, b reflect.Value) {
		source := a.FieldByName("Source")
		if !source.IsValid() || source.Type() != textType {
			return
		}
		was, is := source.Interface().(schema.Text), b.FieldByName("Source").Interface().(schema.Text)
		if !was.Given() || was.Value != is.Value {
			return
		}
		differ(a, b, func(x, y string, path string, at schema.Place) {
			all = append(all, Datum{Path: path, Base: x, Head: y, Source: is.Value, At: at})
		})
	})
	slices.SortFunc(all, func(a, b Datum) int {
		if a.Path < b.Path {
			return -1
		}
		return 1
	})
	return all
}

// pairs goes through what both have, and shows each pair of structs.
func pairs(a, b reflect.Value, do func(a, b reflect.Value)) {
	switch a.Kind() {
	case reflect.Struct:
		do(a, b)
		for i := range a.NumField() {
			if a.Type().Field(i).IsExported() {
				pairs(a.Field(i), b.Field(i), do)
			}
		}
	case reflect.Map:
		for _, k := range a.MapKeys() {
			if other := b.MapIndex(k); other.IsValid() {
				pairs(a.MapIndex(k), other, do)
			}
		}
	case reflect.Slice:
		for i := range min(a.Len(), b.Len()) {
			pairs(a.Index(i), b.Index(i), do)
		}
	}
}

// differ tells every written value of a part that is another on the other side. Values within other parts, which have a source of their
// own, are theirs.
func differ(a, b reflect.Value, tell func(x, y, path string, at schema.Place)) {
	for i := range a.NumField() {
		f := a.Type().Field(i)
		if !f.IsExported() || set[f.Name] {
			continue
		}
		differValue(a.Field(i), b.Field(i), tell)
	}
}

func differValue(x, y reflect.Value, tell func(x, y, path string, at schema.Place)) {
	switch x.Kind() {
	case reflect.Struct:
		if x.Type() == placeType {
			return
		}
		if origin := x.FieldByName("Origin"); origin.IsValid() && isValue(x.Type()) {
			o, p := origin.Interface().(schema.Origin), y.FieldByName("Origin").Interface().(schema.Origin)
			if o.Assumed != "" || p.Assumed != "" || o.Path == "" && p.Path == "" {
				return
			}
			was, is := shown(x, o), shown(y, p)
			// One length in metres and in millimetres is the same.
			if si := x.FieldByName("SI"); si.IsValid() && si.Float() == y.FieldByName("SI").Float() && o.Path == p.Path {
				return
			}
			if was != is {
				tell(was, is, cmp.Or(p.Path, o.Path), p.At)
			}
			return
		}
		if source := x.FieldByName("Source"); source.IsValid() {
			return
		}
		differ(x, y, tell)
	case reflect.Map:
		for _, k := range x.MapKeys() {
			if other := y.MapIndex(k); other.IsValid() {
				differValue(x.MapIndex(k), other, tell)
			}
		}
	case reflect.Slice:
		for i := range min(x.Len(), y.Len()) {
			differValue(x.Index(i), y.Index(i), tell)
		}
	}
}

// isValue reports whether a type is a single value: a quantity, a text or a flag.
func isValue(t reflect.Type) bool {
	if t == textType || t == reflect.TypeFor[schema.Flag]() || t == quantity {
		return true
	}
	return t.NumField() == 1 && t.Field(0).Type == quantity
}

func shown(v reflect.Value, o schema.Origin) string {
	if o.Path == "" {
		return "nothing"
	}
	return fmt.Sprint(v.Interface())
}
