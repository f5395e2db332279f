package standards

// PropertyClass is the strength of a screw, in Pa.
type PropertyClass struct {
	UpTo    float64 // largest thread diameter for which it holds, m
	Tensile float64 // Rm, least
	Yield   float64 // ReL or Rp0,2, least
	Proof   float64 // Sp; Rp0,2 for stainless steel
	Provenance
}

func readPropertyClasses(s row) named[[]PropertyClass] {
	var all named[[]PropertyClass]
	for i := range s.labels {
		metal := s.row(s.values[i])
		from := metal.provenance(Provenance{})
		classes := metal.child("classes")
		for j, name := range classes.labels {
			var class []PropertyClass
			for _, x := range classes.list(name) {
				c := s.row(x)
				class = append(class, PropertyClass{c.quantity("upTo"), c.quantity("tensile"), c.quantity("yield"), c.quantity("proof"), from})
			}
			all.names, all.rows = append(all.names, classes.labels[j]), append(all.rows, class)
		}
	}
	return all
}

// PropertyClassFor finds "8.8" or "A2-70" for a thread of that nominal diameter in m.
func PropertyClassFor(name string, diameter float64) (PropertyClass, error) {
	class, err := lookUp("property class", name, func(t *tables) *named[[]PropertyClass] { return &t.propertyClasses })
	if err != nil {
		return PropertyClass{}, err
	}
	if diameter > 0 {
		for _, c := range class {
			if diameter <= c.UpTo {
				return c, nil
			}
		}
	}
	last := class[len(class)-1]
	return PropertyClass{}, &RangeError{Table: last.Source + ", class " + name, Size: diameter, To: last.UpTo}
}

// PropertyClassNames lists the classes of screws.
func PropertyClassNames() []string {
	return namesIn(func(t *tables) *named[[]PropertyClass] { return &t.propertyClasses })
}

// NutClass is the strength of a nut, in Pa.
type NutClass struct {
	Tensile float64 // what its thread is reckoned with against stripping; cautious, no standard gives it
	Proof   float64 // stress in the screw that the nut must bear
	Provenance
}

func readNutClass(_ string, s row, from Provenance) NutClass {
	return NutClass{s.quantity("tensile"), s.quantity("proof"), from}
}

// NutClassByName finds "8" or "A2-70".
func NutClassByName(name string) (NutClass, error) {
	return lookUp("nut class", name, func(t *tables) *named[NutClass] { return &t.nutClasses })
}

// NutClassNames lists the classes of nuts.
func NutClassNames() []string {
	return namesIn(func(t *tables) *named[NutClass] { return &t.nutClasses })
}

// Material is what a part is made of; stresses in Pa.
type Material struct {
	Tensile, Yield, Elasticity float64
	ShearRatio                 float64 // shear strength over tensile strength
	Expansion                  float64 // by warmth, 1/K
	// Thread engagement in diameters, coarse thread, screw of class 8.8: common practice. 0 where no thread is cut in it.
	EngagedLeast, EngagedUsual float64
	Pressed                    float64 // the most that a head may press on it for long
	Softens                    float64 // where it sags under load, K; 0 where that does not matter
	Called                     string  // in the trade, beside its designation
	Provenance
}

func readMaterial(_ string, s row, from Provenance) Material {
	m := Material{
		Tensile:      s.quantity("tensile"),
		Yield:        s.quantity("yield"),
		Elasticity:   s.quantity("elasticity"),
		ShearRatio:   s.number("shearRatio"),
		Expansion:    s.number("expansion") * 1e-6,
		EngagedLeast: s.numberOrZero("engagedLeast"),
		EngagedUsual: s.numberOrZero("engagedUsual"),
		Pressed:      s.quantityOrZero("pressed"),
		Softens:      s.quantityOrZero("softens"),
		Called:       s.textOrNone("called"),
		Provenance:   from,
	}
	if m.Pressed == 0 {
		m.Pressed = m.Yield
	}
	return m
}

// MaterialByName finds "EN AW-6063-T6".
func MaterialByName(name string) (Material, error) {
	return lookUp("material", name, func(t *tables) *named[Material] { return &t.materials })
}

// MaterialNames lists the materials.
func MaterialNames() []string {
	return namesIn(func(t *tables) *named[Material] { return &t.materials })
}
