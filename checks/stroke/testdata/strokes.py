# Makes strokes.json: random cylinders with their lines and mechanisms, and one stroke of each, solved apart from the Go package.
# Recipe: Debian's python3-scipy, then `/usr/bin/python3 strokes.py > strokes.json`. It prints the time that SciPy takes for a stroke at
# rtol 1e-6 to stderr.
#
# Equations as in the package's documentation. What is done otherwise: scipy.integrate.solve_ivp (DOP853, rtol 1e-10) with its own events;
# the conductance of a row of parts by scipy.optimize.brentq on the choked flow marched forward; peaks from a fine grid on the dense
# output; the works as states beside the others.
import json
import math
import random
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

RHO0, T0, P0, GAMMA = 1.185, 293.15, 1e5, 1.4
R = P0 / RHO0 / T0
STRAIGHT = 0.99
LIMIT = 5.0


def psi(b, r):
    if r <= b:
        return 1.0
    a = max(STRAIGHT, b)
    if r > a:
        return psi(b, a) * (1 - r) / (1 - a)
    return math.sqrt(1 - ((r - b) / (1 - b)) ** 2)


def flow(k, p1, t1, p2):
    return k[0] * p1 * RHO0 * math.sqrt(T0 / t1) * psi(k[1], p2 / p1)


def series(parts):  # in the order of the flow
    if any(c == 0 for c, b in parts):
        return (0.0, 0.0)

    def outlet(q):  # the pressure left of 1 Pa, or a negative number if the flow is too large
        p = 1.0
        for c, b in parts:
            x = q / (c * p)
            if x > 1:
                return 1 - x
            p *= b + (1 - b) * math.sqrt(1 - x * x)
        return p

    # The choked flow is the largest that the march survives.
    low, high = 0.0, min(c for c, b in parts)
    if outlet(high) >= 0:
        c12 = high
    else:
        c12 = brentq(lambda q: 1.0 if outlet(q) >= 0 else -1.0, low, high, xtol=1e-26, rtol=1e-15)
    return (c12, max(0.0, 1 - c12 ** 2 * sum((1 - b) / c ** 2 for c, b in parts)))


def pair(e, way):
    return (e[way]["C"], e[way]["B"])


def tube(bore, length):
    c = 0.029 * bore ** 2 / math.sqrt(length / bore ** 1.25 + 510)
    return (c, 474 * c / bore ** 2)


class Side:
    def __init__(self, m, name):
        c = m[name]
        self.rod = name == "Rod"
        self.c, self.to, self.area = c, c["To"], c["Area"]
        bore = math.sqrt(4 / math.pi * max(m["Cap"]["Area"], m["Rod"]["Area"]))
        self.bore = bore
        self.stroke = m["Stroke"]
        self.extra = 0.0
        if self.to == 3:
            return
        t = c["Line"]["Tube"]
        self.vt = math.pi / 4 * t["Bore"] ** 2 * t["Length"]
        cushion = c["Cushion"]["Length"] > 0
        self.node = self.vt > 0 and (cushion or self.vt > 0.02 * self.area * (m["High"] - m["Low"]))
        v, p = c["Line"]["Valve"], c["Line"]["Port"]
        vi, vo = [pair(e, "In") for e in v], [pair(e, "Out") for e in v]
        pi, po = [pair(e, "In") for e in p], [pair(e, "Out") for e in p]
        needle = pair(c["Cushion"], "Needle")
        if self.node:
            half = tube(t["Bore"], t["Length"] / 2)
            self.inn, self.out = series(vi + [half]), series((vo + [half])[::-1])
            self.pin, self.pout = series([half] + pi), series(([half] + po)[::-1])
            self.pcushion = series(([half] + po + [needle])[::-1]) if cushion else None
        else:
            self.extra = self.vt
            whole = [tube(t["Bore"], t["Length"])] if t["Length"] > 0 else []
            self.pin, self.pout = series(vi + whole + pi), series((vo + whole + po)[::-1])
            self.pcushion = series((vo + whole + po + [needle])[::-1]) if cushion else None
        self.line_at = m["Delay"]
        self.port_at = m["Delay"] + t["Length"] / math.sqrt(GAMMA * R * m["Air"]["Temperature"])
        if self.to == 2:
            self.line_at, self.port_at = math.inf, 0.0

    def x(self, s):
        return self.stroke - s if self.rod else s

    def volume(self, s):
        return self.c["Dead"] + self.extra + self.area * self.x(s)

    def wall(self, s):
        return 2 * self.area + math.pi * self.bore * self.x(s)

    def in_cushion(self, s, d):
        if self.to == 3 or self.c["Cushion"]["Length"] == 0:
            return False
        left = self.c["Cushion"]["Length"] - self.x(s)
        if abs(left) < 1e-13:
            return d == (1 if self.rod else -1)
        return left > 0


class Stroke:
    # state: s, v, (p, m, ptube) x 2, (p, m) of the receiver, drive, cushion, load, friction, damper
    def __init__(self, m):
        self.m = m
        self.sides = [Side(m, "Cap"), Side(m, "Rod")]
        self.pa, self.t = m["Air"]["Pressure"], m["Air"]["Temperature"]
        self.end = m["Low"] if m["Inward"] else m["High"]
        self.way = -1 if m["Inward"] else 1
        self.receiver = m["Supply"]["Receiver"]
        self.damper_at = self.end - self.way * m["Damper"]["Length"]

    def mass(self, s):
        a = self.m["Polynomial"]["Mass"]
        return a[0] + a[1] * s + a[2] * s * s, a[1] + 2 * a[2] * s

    def load(self, s):
        a = self.m["Polynomial"]["Load"]
        return a[0] + a[1] * s + a[2] * s * s

    def pressures(self, y):
        return [self.pa if c.to == 3 else y[2 + 3 * i] for i, c in enumerate(self.sides)]

    def forces(self, y):
        m, f = self.m, self.m["Friction"]
        p = self.pressures(y)
        air = (p[0] - self.pa) * m["Cap"]["Area"] - (p[1] - self.pa) * m["Rod"]["Area"]
        seal = f["Constant"] + f["PerPressure"] * (max(0, p[0] - self.pa) + max(0, p[1] - self.pa))
        drag = m["Polynomial"]["Drag"]
        return air, seal + drag, f["Breakaway"] * seal + drag

    def rhs(self, t, y, d, cushions, damping, when):
        m = self.m
        s, v = y[0], y[1]
        out = np.zeros_like(y)
        ps, ts = m["Supply"]["Pressure"], self.t
        if self.receiver:
            ps = y[8]
            ts = ps * self.receiver / y[9] / R
        drawn, cushion = 0.0, 0.0
        for i, c in enumerate(self.sides):
            if c.to == 3:
                continue
            p, mass = y[2 + 3 * i], y[3 + 3 * i]
            vol = c.volume(s)
            dv = (-1 if i else 1) * c.area * v
            temp = self.t if m["Isothermal"] else p * vol / mass / R
            p1, t1 = (ps, ts) if c.to == 0 else (self.pa, self.t)
            outway = c.pcushion if cushions[i] else c.pout

            def go(a, ta, b, tb, k, back):
                return flow(k, a, ta, b) if a >= b else -flow(back, b, tb, a)

            if c.node:
                pt = y[4 + 3 * i]
                q1 = go(p1, t1, pt, self.t, c.inn, c.out) if when >= c.line_at else 0.0
                q2 = go(pt, self.t, p, temp, c.pin, outway) if when >= c.port_at else 0.0
                out[4 + 3 * i] = R * self.t * (q1 - q2) / c.vt
                t1 = self.t
            else:
                open_ = c.to != 2 and when >= c.port_at
                q1 = q2 = go(p1, t1, p, temp, c.pin, outway) if open_ else 0.0
            if c.to == 0:
                drawn += q1
            tin = t1 if q2 >= 0 else temp
            out[3 + 3 * i] = q2
            if m["Isothermal"]:
                out[2 + 3 * i] = (R * self.t * q2 - p * dv) / vol
            else:
                heat = m["Air"]["Wall"] * c.wall(s) * (self.t - temp)
                out[2 + 3 * i] = (GAMMA * R * tin * q2 - GAMMA * p * dv + (GAMMA - 1) * heat) / vol
            if cushions[i] and (i == 1) == (self.way == 1):
                cushion -= (p - self.pa) * dv
        if self.receiver:
            out[8] = -GAMMA * R * (ts if drawn >= 0 else self.t) * drawn / self.receiver
            out[9] = -drawn
        if d == 0:
            return out
        air, slide, hold = self.forces(y)
        mass, slope = self.mass(s)
        damper = self.damper(y, damping)
        friction = d * slide + m["Friction"]["Viscous"] * v
        out[0] = v
        out[1] = (air - self.load(s) - damper - friction - 0.5 * slope * v * v) / mass
        out[10:] = [air * v + cushion, cushion, self.load(s) * v, friction * v, damper * v]
        return out

    def damper(self, y, damping):
        if not damping:
            return 0.0
        k = self.m["Damper"]
        f, w = k["Stiffness"] * (y[0] - self.damper_at), y[1] * self.way
        if w > 0:
            f += self.way * (k["Linear"] * w + k["Quadratic"] * w * w)
        return f

    def run(self, rtol=1e-10, grid=24):
        m = self.m
        y = np.zeros(15)
        y[0] = m["Start"]
        for i, c in enumerate(self.sides):
            if c.to != 3:
                p = c.c["Pressure"]
                y[2 + 3 * i], y[3 + 3 * i], y[4 + 3 * i] = p, p * c.volume(y[0]) / R / self.t, p
        if self.receiver:
            y[8] = m["Supply"]["Pressure"]
            y[9] = y[8] * self.receiver / R / self.t
        t, d = 0.0, 0
        r = dict(Started=None, Arrived=None, PeakSpeed=0.0, PeakAcceleration=0.0, PeakCap=0.0, PeakRod=0.0, EntryEnergy=0.0, Stop=0.0)
        times = sorted({x for c in self.sides if c.to != 3 for x in (c.line_at, c.port_at) if 0 < x < math.inf})
        edges = {m["Low"], m["High"]}
        for i, c in enumerate(self.sides):
            if c.to != 3 and c.c["Cushion"]["Length"] > 0:
                edges.add(m["Stroke"] - c.c["Cushion"]["Length"] if i else c.c["Cushion"]["Length"])
        if m["Damper"]["Length"] > 0:
            edges.add(self.damper_at)
        edges = sorted(e for e in edges if m["Low"] <= e <= m["High"])
        scale = np.array([m["High"] - m["Low"], 0.1] + [1e5, 1e-5, 1e5] * 2 + [1e5, 1e-4] + [1.0] * 5)
        for _ in range(400):
            if d == 0:
                damping = self.damping(y[0], 0)
                air, slide, hold = self.forces(y)
                net = air - self.load(y[0]) - self.damper(y, damping)
                if net > hold and y[0] < m["High"]:
                    d = 1
                elif net < -hold and y[0] > m["Low"]:
                    d = -1
                if d and r["Started"] is None:
                    r["Started"] = t
            cushions = [c.in_cushion(y[0], d) for c in self.sides]
            damping = self.damping(y[0], d)
            stop = min([x for x in times if x > t] + [LIMIT])
            if t >= LIMIT:
                break
            events = []

            def event(f, way):
                f.terminal, f.direction = True, way
                events.append(f)

            if d == 0:
                def up(t, y, *_):
                    air, slide, hold = self.forces(y)
                    return air - self.load(y[0]) - self.damper(y, damping) - hold

                def down(t, y, *_):
                    air, slide, hold = self.forces(y)
                    return -(air - self.load(y[0]) - self.damper(y, damping)) - hold
                if y[0] < m["High"]:
                    event(up, 1)
                if y[0] > m["Low"]:
                    event(down, 1)
            else:
                event(lambda t, y, *_: d * y[1], -1)
                ahead = [e for e in edges if d * (e - y[0]) > 1e-13]
                nearest = min(ahead, key=lambda e: abs(e - y[0]))
                event(lambda t, y, *_: d * (y[0] - nearest), 1)
            first = None if d == 0 else 1e-7
            args = (d, cushions, damping, t)
            sol = solve_ivp(self.rhs, (t, stop), y, method="DOP853", rtol=rtol, atol=rtol * scale, events=events, dense_output=grid > 0,
                            args=args, first_step=first, max_step=2e-3 if grid else np.inf) if grid else \
                solve_ivp(self.rhs, (t, stop), y, method="RK45", rtol=rtol, atol=rtol * scale, events=events, args=args, first_step=first)
            if grid:
                self.peaks(sol, args, r, grid, d)
            t, y = sol.t[-1], sol.y[:, -1].copy()
            if sol.status == 0:
                continue
            if d == 0:
                d = 1 if y[0] < m["High"] and len(sol.t_events[0]) else -1
                if r["Started"] is None:
                    r["Started"] = t
            elif len(sol.t_events[0]):
                y[1], d = 0.0, 0
            else:
                y[0] = nearest
                kinetic = 0.5 * self.mass(nearest)[0] * y[1] ** 2
                c = self.sides[1 if self.way > 0 else 0]
                if r["EntryEnergy"] == 0 and c.to != 3 and c.c["Cushion"]["Length"] > 0 and abs(c.x(nearest) - c.c["Cushion"]["Length"]) < 1e-13 and d == self.way:
                    r["EntryEnergy"] = kinetic
                if nearest == self.end:
                    r["Arrived"], r["Stop"] = t, kinetic
                    break
                if nearest in (m["Low"], m["High"]):
                    y[1], d = 0.0, 0
        r.update(Stroke=y[0], Speed=y[1], Drive=y[10], Cushion=y[11], Load=y[12], Friction=y[13], Damper=y[14], Cap=self.pressures(y)[0], Rod=self.pressures(y)[1])
        return r

    def damping(self, s, d):
        if self.m["Damper"]["Length"] == 0:
            return False
        if abs(s - self.damper_at) < 1e-13:
            return d == self.way
        return self.way * (s - self.damper_at) > 0

    def peaks(self, sol, args, r, grid, d):
        for a, b in zip(sol.t[:-1], sol.t[1:]):
            for x in np.linspace(a, b, grid + 1):
                y = sol.sol(x)
                p = self.pressures(y)
                r["PeakCap"], r["PeakRod"] = max(r["PeakCap"], p[0]), max(r["PeakRod"], p[1])
                if d:
                    r["PeakSpeed"] = max(r["PeakSpeed"], abs(y[1]))
            if d:
                for x in np.linspace(a, b, grid // 2 + 1):
                    r["PeakAcceleration"] = max(r["PeakAcceleration"], abs(self.rhs(x, sol.sol(x), *args)[1]))


def make(rng):
    pa = 101325.0
    bore = rng.choice([0.010, 0.016, 0.020, 0.025, 0.032, 0.040, 0.050])
    cap = math.pi / 4 * bore ** 2
    rod = cap - math.pi / 4 * (bore * rng.uniform(0.3, 0.45)) ** 2
    stroke = rng.uniform(1.5, 6) * bore
    supply = pa + rng.uniform(2e5, 7e5)
    inward = rng.random() < 0.35
    low = rng.choice([0.0, 0.0, rng.uniform(0, 0.1) * stroke])
    high = stroke - rng.choice([0.0, 0.0, rng.uniform(0, 0.1) * stroke])
    start = rng.choice([0, 0, 0, rng.uniform(0.02, 0.3)])
    start = high - start * (high - low) if inward else low + start * (high - low)

    def element(name, c0):
        c, b = c0 * rng.uniform(0.4, 2.5), rng.uniform(0.15, 0.5)
        return dict(Name=name, In=dict(C=c, B=b), Out=dict(C=c, B=b))

    size = 2.2e-8 * (bore / 0.025) ** 2  # m³/(s Pa): choked air moves the piston at about 1 m/s

    def line():
        port = []
        if rng.random() < 0.8:
            e = element("flow control", size)
            key = rng.choice(["Out", "Out", "In"])
            e[key] = dict(C=e[key]["C"] * rng.uniform(0.15, 0.8), B=e[key]["B"])
            port.append(e)
        if rng.random() < 0.5:
            port.append(element("fitting", 2 * size))
        t = dict(Bore=0.0, Length=0.0)
        if rng.random() < 0.85:
            t = dict(Bore=rng.choice([0.0025, 0.004, 0.006] if bore < 0.03 else [0.004, 0.006, 0.008]), Length=rng.uniform(0.05, 2.0))
        return dict(Valve=[element("silencer", 2 * size), element("valve", size)], Tube=t, Port=port)

    def chamber(area, pressure, to, cushioned):
        cushion = dict(Length=0.0, Needle=dict(C=0.0, B=0.0))
        if cushioned and rng.random() < 0.6:
            cushion = dict(Length=rng.uniform(0.06, 0.15) * stroke, Needle=dict(C=size * rng.uniform(0.03, 0.2), B=rng.uniform(0.1, 0.5)))
        return dict(Area=area, Dead=area * stroke * rng.uniform(0.02, 0.12), Pressure=pressure, To=to, Line=line(), Cushion=cushion)

    full = pa if rng.random() < 0.3 else supply  # the side that exhausts, after a dump or not
    back = rng.choice([1, 1, 1, 1, 1, 1, 1, 1, 2, 3])  # of the side that shrinks: exhausted, shut or open
    c = chamber(cap, full if inward else pa, back if inward else 0, inward)
    r = chamber(rod, pa if inward else full, 0 if inward else back, not inward)
    thrust = (supply - pa) * rod
    sign = -1 if inward else 1
    m0 = thrust / 9.81 * rng.uniform(0.1, 0.6)
    load = [sign * thrust * rng.uniform(-0.15, 0.75), thrust / stroke * rng.uniform(-0.2, 0.2), thrust / stroke ** 2 * rng.uniform(-0.1, 0.1)]
    damper = dict(Length=0.0, Linear=0.0, Quadratic=0.0, Stiffness=0.0)
    if rng.random() < 0.3:
        damper = dict(Length=rng.uniform(0.05, 0.2) * (high - low), Linear=thrust * rng.uniform(0, 2), Quadratic=thrust * rng.uniform(0, 3), Stiffness=thrust / stroke * rng.uniform(0, 1))
    return dict(
        Air=dict(Pressure=pa, Temperature=rng.uniform(273, 313), Wall=rng.choice([0.0, rng.uniform(10, 150), rng.uniform(10, 150)])),
        Isothermal=rng.random() < 0.15,
        Supply=dict(Pressure=supply, Receiver=rng.choice([0.0, 0.0, cap * stroke * rng.uniform(5, 50)])),
        Cap=c, Rod=r, Stroke=stroke, Low=low, High=high, Start=start, Inward=inward,
        Friction=dict(Constant=thrust * rng.uniform(0, 0.04), PerPressure=cap * rng.uniform(0, 0.06), Viscous=thrust * rng.uniform(0, 0.1), Breakaway=rng.uniform(1, 1.6)),
        Damper=damper, Delay=rng.choice([0.0, rng.uniform(0.005, 0.03)]),
        Polynomial=dict(Mass=[m0, m0 / stroke * rng.uniform(-0.5, 1), m0 / stroke ** 2 * rng.uniform(0, 1)], Load=load, Drag=thrust * rng.uniform(0, 0.04)))


def main():
    rng = random.Random(20)
    strokes, held = [], 0
    while len(strokes) < 50:
        m = make(rng)
        r = Stroke(m).run()
        if r["Arrived"] is None:
            held += 1
            if held > 5:
                continue
        strokes.append(dict(machine=m, result=r))
        print(len(strokes), r["Arrived"], file=sys.stderr)
    timed = [Stroke(s["machine"]) for s in strokes if s["result"]["Arrived"]]
    begin = time.perf_counter()
    for s in timed:
        s.run(rtol=1e-6, grid=0)
    print("solve_ivp, RK45, rtol 1e-6: %.1f ms a stroke" % ((time.perf_counter() - begin) / len(timed) * 1e3), file=sys.stderr)
    print('{"recipe": "made by strokes.py with scipy.integrate.solve_ivp and scipy.optimize.brentq; see its header",\n"strokes": [')
    print(",\n".join(json.dumps(s) for s in strokes))
    print("]}")


main()
