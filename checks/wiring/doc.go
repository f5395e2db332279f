// Package wiring solves the circuit that switches the coils, by nodal analysis: Kirchhoff's current law at each node,
//
//	Σ G (v_i − v_j) = Σ I
//
// with the nodes at the supply's two poles known. Coils, wires, contacts and transistors that conduct are resistances; a diode conducts
// with a drop of 0.7 V from there on and not at all below. What coils do when they are let go follows from the same network, with their
// currents as sources (LetGo). Units: V, A, Ω, H, s, m, m², K. Range: direct current, and alternating current of one
// frequency with magnitudes only (a coil's impedance counted as a resistance, so that drops along wires come out somewhat large).
// Source: any textbook of electrical networks; resistances of wires by IEC 60228.
package wiring
