# Makes arms.json: parallelograms of three to five arms of unequal length with brackets out of line, in one pose each: the least play
# with which they close, and the largest force where pivots give like springs behind that much play, solved apart from the Go package.
# Recipe: Debian's python3-scipy, then `/usr/bin/python3 arms.py > arms.json`.
#
# Unknowns: place and turn of every body. The cylinder keeps its length (equality). Play: the least t with the squares of all misfits at
# most t², scipy.optimize.minimize with SLSQP. Force: the least energy of springs with dead bands, the same method. All nonlinear.
import json
import math
import random

import numpy as np
from scipy.optimize import minimize


def rotated(v, a):
    return np.array([v[0] * math.cos(a) - v[1] * math.sin(a), v[0] * math.sin(a) + v[1] * math.cos(a)])


def make(rng):
    n = rng.randint(3, 5)
    v = np.array([rng.uniform(0.15, 0.3), rng.uniform(-0.1, 0.1)])
    grounds = [np.array([rng.uniform(-0.05, 0.05), 0.07 * i + rng.uniform(-0.02, 0.02)]) for i in range(n)]
    rear = grounds[0] + np.array([rng.uniform(0.05, 0.15), -0.25])
    longer = [rng.uniform(-1e-4, 1e-4) for _ in range(n)]
    aside = [[rng.uniform(-1e-4, 1e-4), rng.uniform(-1e-4, 1e-4)] for _ in range(n)]
    drawn = math.dist(grounds[0] + v, rear)
    turn = rng.uniform(-0.25, 0.25)
    arm = rotated(v, turn)
    length = math.dist(grounds[0] + arm, rear)
    u = v / math.hypot(*v)
    lengths = [math.hypot(*v) + x for x in longer]
    scale = 1e-4

    # x: for each arm and then the carrier, the shift in units of scale and the turn in units of scale by 0.2 m
    def misfits(x):
        out = []
        cx, cy, ct = x[3 * n : 3 * n + 3]
        for i in range(n):
            ax, ay, at = x[3 * i : 3 * i + 3]
            foot = grounds[i] + scale * np.array([ax, ay])
            head = foot + rotated(u * lengths[i], turn + at * scale / 0.2)
            # the carrier turns about the nominal place of the first arm's end and does not turn nominally
            first = grounds[0] + arm
            hole = first + scale * np.array([cx, cy]) + rotated(grounds[i] - grounds[0], ct * scale / 0.2)
            out.append((foot - grounds[i] - np.array(aside[i])) / scale)
            out.append((hole - head) / scale)
        return np.array(out)

    def cylinder(x):
        foot = grounds[0] + scale * np.array(x[0:2])
        head = foot + rotated(u * lengths[0], turn + x[2] * scale / 0.2)
        return (math.dist(head, rear) - length) / scale

    size = 3 * (n + 1)
    equal = {"type": "eq", "fun": cylinder}
    best = None
    for start in range(3):
        x0 = np.concatenate([np.array([rng.uniform(-1, 1) for _ in range(size)]), [3.0]])
        got = minimize(lambda x: x[-1], x0, method="SLSQP", options=dict(ftol=1e-12, maxiter=1000),
                       constraints=[equal, {"type": "ineq", "fun": lambda x: x[-1] ** 2 - (misfits(x) ** 2).sum(axis=1)}, {"type": "ineq", "fun": lambda x: x[-1]}])
        if got.success and (best is None or got.fun < best):
            best = got.fun
    if best is None:
        return None
    play, k = 0.4 * best, rng.uniform(1e6, 1e7)

    def energy(x):
        r = np.sqrt((misfits(x) ** 2).sum(axis=1))
        return (np.maximum(r - play, 0) ** 2).sum()

    got = minimize(energy, np.zeros(size), method="SLSQP", options=dict(ftol=1e-15, maxiter=2000), constraints=[equal])
    if not got.success:
        return None
    force = k * scale * (np.sqrt((misfits(got.x) ** 2).sum(axis=1)) - play).max()
    return dict(grounds=[list(g) for g in grounds], arm=list(v), rear=list(rear), drawn=drawn, longer=longer, aside=aside,
                cylinder=length, play=best * scale, given=play * scale, stiffness=k, force=force)


rng = random.Random(5)
machines = []
while len(machines) < 30:
    m = make(rng)
    if m is not None:
        machines.append(m)
print('{"recipe": "made by arms.py with scipy.optimize.minimize; see its header",')
print('"machines": [')
print(",\n".join(json.dumps(m) for m in machines))
print("]}")
