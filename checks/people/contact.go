package people

// Contact with a moving part.
//
// The limits are borrowed comparisons. They were written for guards that power moves: a broad, rounded edge that neither shears nor
// draws in. Nothing says that they hold for another moving part. A part below them can still injure an eye, a face, or a finger
// between two edges; a part above them needs a guard, or less air.
//
// Source: EN 953:1997+A1:2009 clause 5.2.5.2, confirmed by a published quotation of the clause, and by one of EN ISO
// 23125:2010+A1:2012 clause 5.2.2.2 b), which asks the same of the guards of turning machines. ISO 14120:2015, which replaces EN 953,
// keeps the figures (from memory).

const (
	// ContactForce (N) is the most that it may take to keep a powered guard from closing. A greater value passes parts that hold a
	// hand fast.
	ContactForce = 75.0
	// ContactEnergy (J) is the most energy of motion that a powered guard may have. A greater value passes harder blows.
	ContactEnergy = 4.0
	// ReopeningForce (N) stands in for ContactForce only where a protective device reopens the guard by itself. Used without one, it
	// doubles what holds a hand.
	ReopeningForce = 150.0
	// ReopeningEnergy (J) stands in for ContactEnergy only where a protective device reopens the guard by itself.
	ReopeningEnergy = 10.0
)
