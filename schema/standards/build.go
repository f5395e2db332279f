package standards

import "cuelang.org/go/cue/ast"

// tables is everything the CUE files hold, in SI.
type tables struct {
	threads         named[Thread]
	clearanceHoles  named[ClearanceHole]
	heads           named[named[Head]]
	nuts            named[named[Nut]]
	washers         named[named[Washer]]
	lengths         []float64
	propertyClasses named[[]PropertyClass]
	nutClasses      named[NutClass]
	limits          limits
	general         []step
	cylinders       named[[]Cylinder]
	tubes           named[Tube]
	ports           named[PortThread]
	materials       named[Material]
}

func build(file *ast.StructLit) (*tables, error) {
	r := &reader{}
	all := r.row(file)
	t := &tables{
		threads:         sizes(all.child("threads"), readThread),
		clearanceHoles:  sizes(all.child("clearanceHoles"), readClearanceHole),
		heads:           styles(all.child("heads"), readHead),
		nuts:            styles(all.child("nuts"), readNut),
		washers:         styles(all.child("washers"), readWasher),
		propertyClasses: readPropertyClasses(all.child("propertyClasses")),
		nutClasses:      rows(all.child("nutClasses"), "classes", readNutClass),
		limits:          readLimits(all.child("limits")),
		general:         readGeneral(all.child("generalTolerances")),
		cylinders:       readCylinders(all.child("cylinders")),
		tubes:           sizes(all.child("tubes"), readTube),
	}
	for _, x := range all.child("lengths").list("each") {
		t.lengths = append(t.lengths, r.si(x))
	}
	ports, materials := all.child("portThreads"), all.child("materials")
	t.ports = each(ports, Provenance{}, readPortThread)
	t.materials = each(materials, Provenance{}, readMaterial)
	if r.err != nil {
		return nil, r.err
	}
	return t, nil
}

// each reads the rows of a struct; from is where they come from unless they say so themselves.
func each[T any](s row, from Provenance, readRow func(name string, s row, from Provenance) T) named[T] {
	t := named[T]{names: s.labels, rows: make([]T, len(s.labels))}
	for i, name := range s.labels {
		child := s.row(s.values[i])
		t.rows[i] = readRow(name, child, child.provenance(from))
	}
	return t
}

// rows reads a table whose source stands beside its rows.
func rows[T any](s row, label string, readRow func(string, row, Provenance) T) named[T] {
	return each(s.child(label), s.provenance(Provenance{}), readRow)
}

func sizes[T any](s row, readRow func(string, row, Provenance) T) named[T] {
	return rows(s, "sizes", readRow)
}

// styles reads a table of tables: style, then size.
func styles[T any](s row, readRow func(string, row, Provenance) T) named[named[T]] {
	return each(s, Provenance{}, func(_ string, style row, _ Provenance) named[T] { return sizes(style, readRow) })
}

func (s row) provenance(from Provenance) Provenance {
	if s.optional("source") != nil {
		from.Source = s.text("source")
	}
	if s.optional("certainty") != nil {
		from.Certainty = s.text("certainty")
	}
	return from
}
