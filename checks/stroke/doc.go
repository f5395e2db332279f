// Package stroke computes the time course of one stroke of a pneumatic cylinder that moves a mechanism of one freedom: from the shift of
// the valve until the mechanism stands at its stop.
//
// # Equations
//
// Mechanism (Eksergian's equation of motion; R. Eksergian, Dynamical Analysis of Machines, J. Franklin Institute 1930, from memory), with
// the piston's stroke s as its only coordinate:
//
//	m(s) s″ + ½ m'(s) s′² = p_cap A_cap - p_rod A_rod - p_a (A_cap - A_rod) - Load(s) - sign(s′) (F_c + Drag(s)) - f_v s′ - damper
//	F_c = F_0 + f_p ((p_cap - p_a)⁺ + (p_rod - p_a)⁺)
//
// A piston at rest stays there while the rest of the forces is within κ F_c + Drag, κ being the ratio of breakaway.
//
// Chamber, an open system of ideal gas (first law; any textbook of thermodynamics):
//
//	dm/dt = q
//	dp/dt = (γ R q T_in - γ p dV/dt + (γ - 1) h A_w (T_w - T)) / V,   T = p V / (m R)
//
// q is the mass flow into it, T_in the temperature where that air comes from, A_w the area of piston, head and barrel around it. It is adiabatic with heat exchange at the wall, not
// polytropic: one stroke holds filling, expansion, expulsion and compression, each of which would need another exponent, and a polytropic
// chamber keeps no account of energy. h = 0 is adiabatic; h = +Inf is taken as isothermal, dp/dt = (R T_w q - p dV/dt) / V.
//
// Tube, one volume with half of its resistance on either side, isothermal, since its wall is large for its volume:
//
//	dp/dt = R T_w (q_valve - q_port) / V
//
// A tube of less than 2 % of the volume swept is counted to a chamber without a cushion instead. What the valve does is felt at the
// cylinder after the time L/c that sound takes through the tube.
//
// Flow through a part (ISO 6358-1:2013, m = 0.5 and no cracking pressure; absolute pressures, 1 upstream, 2 downstream):
//
//	q = C p_1 ρ_0 √(T_0/T_1) ψ,   ψ = 1 for r = p_2/p_1 ≤ b,   ψ = √(1 - ((r - b)/(1 - b))²) above
//
// with ρ_0 = 1.185 kg/m³ and T_0 = 293.15 K at 100 kPa (ISO 8778). Above r = 0.99 ψ falls in a straight line to 0: the ellipse is
// infinitely steep at r = 1, which no real part is. Parts in series: see Series.
//
// # Method
//
// RODAS, a linearly implicit method of six stages and order 4 with an embedded one of order 3 (E. Hairer and G. Wanner, Solving Ordinary
// Differential Equations II, section IV.10; from memory, the orders tested), and the cubic through both ends of a step. Tubes make the
// equations stiff where the pressures at their ends are nearly alike; the slopes of the right side, in closed form but for those of the
// mechanism, let steps be as long there as the wanted accuracy allows. Start of motion, rest, entry to cushion and damper, and stops are
// found as roots on the cubic and then stepped onto; the valve's and the tubes' delays end steps. Choking needs no event: ψ has a continuous
// slope there. What creeps, slower than the tolerance tells from rest and ever slower, is at rest.
//
// # Units and range
//
// SI throughout: m, s, kg, N, J, K, m² and m³. Every pressure is absolute, Pa. C is in m³/(s Pa); 1 dm³/(s bar) = 1e-8 m³/(s Pa).
//
// Range: ideal gas (below about 20 bar), rigid mechanism, valve that opens at once after its delay, tubes whose delay is short against the
// stroke, no waves in the tubes, no friction that falls with speed (stick-slip shows as stops and starts only). A cushion is one
// conductance for the air that leaves over the last length; air enters freely past its seal. The stop takes what kinetic energy arrives
// and gives none back.
package stroke
