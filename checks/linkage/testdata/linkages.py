# Makes linkages.json: random planar linkages with cylinders, their poses and their forces, solved apart from the Go package.
# Recipe: Debian's python3-scipy, then `/usr/bin/python3 linkages.py > linkages.json`.
#
# Poses: natural coordinates. The unknowns are the places of two base points of each body; the others are fixed combinations of
# these. Equations: base lengths, cylinder lengths, points on lines; scipy.optimize.fsolve, in small steps from the drawn pose.
# Forces: a free body for every link and every pin, all forces unknown at once, numpy.linalg.lstsq.
import json
import math
import random

import numpy as np
from scipy.optimize import fsolve

STEPS = 60


class Machine:
    def __init__(self, rng):
        self.rng = rng
        self.points = []
        self.bodies = [dict(points=[], ground=True, mass=0.0, centre=[0, 0])]
        self.slides = []
        self.cylinders = []

    def point(self, x, y):
        self.points.append([x, y])
        return len(self.points) - 1

    def body(self, *points):
        self.bodies.append(dict(points=list(points), ground=False, mass=self.rng.uniform(0.1, 3), centre=[0, 0]))
        return len(self.bodies) - 1

    def near(self, p, least, most):
        a, r = self.rng.uniform(0, 2 * math.pi), self.rng.uniform(least, most)
        return self.point(self.points[p][0] + r * math.cos(a), self.points[p][1] + r * math.sin(a))

    def on(self, body):  # a new point on a body
        p = self.near(self.rng.choice(self.bodies[body]["points"]), 0.1, 0.3)
        self.bodies[body]["points"].append(p)
        return p

    def cylinder(self, rear, front):
        length = math.dist(self.points[rear], self.points[front])
        stroke = self.rng.uniform(0.1, 0.3) * length
        drawn = self.rng.uniform(0.3, 0.7) * stroke
        self.cylinders.append(dict(rear=rear, front=front, closed=length - drawn, stroke=stroke))

    def finish(self):
        for b in self.bodies:
            at = np.array([self.points[p] for p in b["points"]])
            b["centre"] = list(at.mean(axis=0) + np.array([self.rng.uniform(-0.05, 0.05), self.rng.uniform(-0.05, 0.05)]))


def make(rng, dyads, second):
    m = Machine(rng)
    o = m.point(0.0, 0.0)
    m.bodies[0]["points"].append(o)
    crank = m.body(o)
    pin = m.on(crank)
    rear = m.on(0)
    m.cylinder(rear, pin)
    movers = [crank]
    for _ in range(dyads):
        a = rng.choice(movers)
        b = rng.choice([0] + [x for x in movers if x != a])
        p = m.on(a)
        if rng.random() < 0.3:  # one link whose end slides along a line of another body
            r = m.near(p, 0.25, 0.5)
            d = rng.uniform(0, math.pi)
            x, y = m.points[r]
            f, t = (m.point(x + k * math.cos(d), y + k * math.sin(d)) for k in (-0.4, 0.3))
            m.bodies[b]["points"] += [f, t]
            movers.append(m.body(p, r))
            m.slides.append(dict(point=r, body=b, **{"from": f, "to": t}))
        else:
            q = m.on(b)
            r = m.near(p, 0.25, 0.5)
            movers.append(m.body(p, r))
            movers.append(m.body(q, r))
    if second:  # a lever on a moving body, held against another by a cylinder of its own
        a = rng.choice(movers)
        p = m.on(a)
        lever = m.body(p)
        m.cylinder(m.on(a), m.on(lever))
    m.finish()
    return m


class Pose:
    """Natural coordinates: z holds the places of the base points of the moving bodies."""

    def __init__(self, m):
        self.m = m
        self.fixed = set(m.bodies[0]["points"])
        self.base, self.where, used = [], {}, []
        for b in m.bodies[1:]:
            p, q = b["points"][:2]
            self.base.append((p, q))
            for i in (p, q):
                if i not in self.fixed and i not in self.where:
                    self.where[i] = len(self.where)
        self.rest = []  # combinations: point, p, q, along, across
        for b, (p, q) in zip(m.bodies[1:], self.base):
            d = np.subtract(m.points[q], m.points[p])
            for i in b["points"][2:]:
                e = np.subtract(m.points[i], m.points[p])
                self.rest.append((i, p, q, e @ d / (d @ d), (d[0] * e[1] - d[1] * e[0]) / (d @ d)))
        self.start = np.array([m.points[i] for i in self.where]).ravel()

    def places(self, z):
        at = {i: np.array(self.m.points[i]) for i in self.fixed}
        for i, k in self.where.items():
            at[i] = z[2 * k:2 * k + 2]
        first, again = {}, []
        todo = list(self.rest)
        for i, p, q, u, v in todo:
            d = at[q] - at[p]
            x = at[p] + u * d + v * np.array([-d[1], d[0]])
            if i in at:
                again.append(x - at[i])  # a pivot that is base of another body
            else:
                at[i] = x
        return at, again

    def equations(self, z, strokes):
        m = self.m
        at, again = self.places(z)
        out = [w for v in again for w in v]
        for p, q in self.base:
            d, o = at[q] - at[p], np.subtract(m.points[q], m.points[p])
            out.append(d @ d - o @ o)
        for s in m.slides:
            d, e = at[s["to"]] - at[s["from"]], at[s["point"]] - at[s["from"]]
            out.append(d[0] * e[1] - d[1] * e[0])
        for c, s in zip(m.cylinders, strokes):
            d = at[c["front"]] - at[c["rear"]]
            out.append(d @ d - (c["closed"] + s) ** 2)
        return np.array(out)

    def solve(self, strokes):
        drawn = [math.dist(self.m.points[c["rear"]], self.m.points[c["front"]]) - c["closed"] for c in self.m.cylinders]
        z, sign = self.start.copy(), None
        for k in range(1, STEPS + 1):
            goal = [a + (b - a) * k / STEPS for a, b in zip(drawn, strokes)]
            new, info, ok, _ = fsolve(self.equations, z, args=(goal,), xtol=1e-15, full_output=True)
            if np.abs(self.equations(new, goal)).max() > 1e-14:
                return None
            jac = np.array([(self.equations(new + h, goal) - self.equations(new - h, goal)) / 2e-6 for h in 1e-6 * np.eye(len(new))]).T
            now = np.sign(np.linalg.det(jac))
            if np.linalg.cond(jac) > 1e3 or (sign is not None and now != sign) or np.abs(new - z).max() > 0.05:
                return None
            z, sign = new, now
        for _ in range(3):  # polish: fsolve ends with a rough Jacobian
            jac = np.array([(self.equations(z + h, strokes) - self.equations(z - h, strokes)) / 2e-6 for h in 1e-6 * np.eye(len(z))]).T
            z = z - np.linalg.solve(jac, self.equations(z, strokes))
        return self.places(z)[0]


def forces(m, at, gravity, loads):
    """Unknowns: force of the pin on each body at each point where more than one thing meets, thrusts, slide forces."""
    users = {}
    for i, b in enumerate(m.bodies):
        for p in b["points"]:
            users.setdefault(p, []).append(i)
    meeting = set(p for p, u in users.items() if len(u) > 1)
    meeting |= {c[k] for c in m.cylinders for k in ("rear", "front")} | {s["point"] for s in m.slides}
    joints = [(p, i) for p in sorted(meeting) for i in users[p]]
    n = 2 * len(joints) + len(m.cylinders) + len(m.slides)
    rows, right = [], []

    def vec(col):
        r = np.zeros((2, n))
        r[0, col] = r[1, col + 1] = 1
        return r

    def moment(arm, force):
        return arm[0] * force[1] - arm[1] * force[0]

    for p in sorted(meeting):  # the pin
        r, b = np.zeros((2, n)), np.zeros(2)
        for k, (q, i) in enumerate(joints):
            if q == p:
                r -= vec(2 * k)
        for k, c in enumerate(m.cylinders):
            u = (at[c["front"]] - at[c["rear"]])
            u = u / np.linalg.norm(u)
            if c["front"] == p:
                r[:, 2 * len(joints) + k] += u
            if c["rear"] == p:
                r[:, 2 * len(joints) + k] -= u
        for k, s in enumerate(m.slides):
            if s["point"] == p:
                d = at[s["to"]] - at[s["from"]]
                r[:, 2 * len(joints) + len(m.cylinders) + k] += np.array([-d[1], d[0]]) / np.linalg.norm(d)
        for l in loads:
            if l["point"] == p:
                b -= np.array(l["force"])
        rows += list(r)
        right += list(b)
    for i, body in enumerate(m.bodies):
        if body["ground"]:
            continue
        p, q = body["points"][:2]
        d0, d1 = np.subtract(m.points[q], m.points[p]), at[q] - at[p]
        e = np.subtract(body["centre"], m.points[p])
        u, v = e @ d0 / (d0 @ d0), (d0[0] * e[1] - d0[1] * e[0]) / (d0 @ d0)
        centre = at[p] + u * d1 + v * np.array([-d1[1], d1[0]])
        weight = body["mass"] * np.array(gravity)
        r, b = np.zeros((3, n)), -np.array([weight[0], weight[1], moment(centre, weight)])
        for k, (q, j) in enumerate(joints):
            if j == i:
                r[:2] += vec(2 * k)
                r[2, 2 * k], r[2, 2 * k + 1] = -at[q][1], at[q][0]
        for k, s in enumerate(m.slides):
            if s["body"] == i:
                d = at[s["to"]] - at[s["from"]]
                f = -np.array([-d[1], d[0]]) / np.linalg.norm(d)
                r[:, 2 * len(joints) + len(m.cylinders) + k] += [f[0], f[1], moment(at[s["point"]], f)]
        for l in loads:
            if l["point"] not in meeting and l["point"] in body["points"]:
                f = np.array(l["force"])
                b -= [f[0], f[1], moment(at[l["point"]], f)]
        rows += list(r)
        right += list(b)
    a = np.array(rows)
    x, _, rank, _ = np.linalg.lstsq(a, np.array(right), rcond=None)
    assert rank == n == len(rows), (rank, n, len(rows))
    for _ in range(2):
        x = x + np.linalg.lstsq(a, np.array(right) - a @ x, rcond=None)[0]
    k, c = 2 * len(joints), len(m.cylinders)
    return dict(
        thrust=list(x[k:k + c]), slide=[abs(v) for v in x[k + c:]],
        reactions=[dict(point=p, body=i, force=[x[2 * j], x[2 * j + 1]]) for j, (p, i) in enumerate(joints)],
    )


def main():
    rng = random.Random(20240611)
    out = []
    kinds = [(d, s) for d in (1, 2, 3, 4) for s in (False, True)]
    counts = {k: 0 for k in kinds}
    while min(counts.values()) < 5:
        kind = min(kinds, key=lambda k: (counts[k], k))
        m = make(rng, *kind)
        pose = Pose(m)
        if len(pose.equations(pose.start, [0] * len(m.cylinders))) != len(pose.start):
            raise SystemExit("counts differ")
        strokes = [c["stroke"] * rng.choice([0, 1, rng.random()]) for c in m.cylinders]
        at = pose.solve(strokes)
        if at is None:
            continue
        gravity = [rng.uniform(-2, 2), -9.80665]
        loads = [dict(point=rng.randrange(len(m.points)), force=[rng.uniform(-50, 50), rng.uniform(-50, 50)]) for _ in range(3)]
        counts[kind] += 1
        out.append(dict(
            points=m.points, bodies=m.bodies, slides=m.slides, cylinders=m.cylinders, strokes=strokes, gravity=gravity, loads=loads,
            places=[list(at[i]) for i in range(len(m.points))], **forces(m, at, gravity, loads)))
    lines = ",\n".join(json.dumps(x) for x in out)
    print('{"recipe": "made by linkages.py with scipy.optimize.fsolve and numpy.linalg.lstsq; see its header",\n"machines": [\n' + lines + "\n]}")


main()
