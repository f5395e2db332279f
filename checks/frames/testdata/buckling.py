#!/usr/bin/python3
# Writes scipy-buckling.json: 20 random plane frames whose members partly turn on springs, with how far they move and how many times their loads
# they bear before they give way, by SciPy (Debian python3-scipy 1.10.1) in another way than the package does: every member is cut into 16 pieces,
# each joint on a spring has an unknown of its own, stiffness and geometric stiffness are integrals of cubic shape functions by Gauss' rule, and
# scipy.linalg.eigh solves the eigenvalue problem. /usr/bin/python3 buckling.py > scipy-buckling.json
import json
import numpy as np
from scipy.linalg import eigh

rng = np.random.default_rng(7)
PIECES = 16
points, weights = np.polynomial.legendre.leggauss(5)


def piece(E, A, I, L, N):
    """stiffness and geometric stiffness by its own axes: u1 v1 t1 u2 v2 t2"""
    k, g = np.zeros((6, 6)), np.zeros((6, 6))
    for p, w in zip((points + 1) / 2, weights / 2):
        u = np.array([-1, 0, 0, 1, 0, 0]) / L
        d1 = np.array([0, (-6 * p + 6 * p**2) / L, 1 - 4 * p + 3 * p**2, 0, (6 * p - 6 * p**2) / L, -2 * p + 3 * p**2])
        d2 = np.array([0, (-6 + 12 * p) / L**2, (-4 + 6 * p) / L, 0, (6 - 12 * p) / L**2, (-2 + 6 * p) / L])
        k += w * L * (E * A * np.outer(u, u) + E * I * np.outer(d2, d2))
        g += w * L * N * np.outer(d1, d1)
    return k, g


def solve(f):
    xy = [np.array(n["at"]) for n in f["nodes"]]
    count = 3 * len(xy)
    parts, springs = [], []
    for m in f["members"]:
        a, b = xy[m["from"]], xy[m["to"]]
        ends = []
        for e, n in enumerate((m["from"], m["to"])):
            d = [3 * n, 3 * n + 1, 3 * n + 2]
            if m["free"][e] or m["spring"][e]:
                if m["spring"][e]:
                    springs.append((d[2], count, m["spring"][e]))
                d[2] = count
                count += 1
            ends.append(d)
        last = ends[0]
        for i in range(PIECES):
            if i == PIECES - 1:
                nxt = ends[1]
            else:
                nxt = [count, count + 1, count + 2]
                count += 3
            parts.append((m, last + nxt, np.hypot(*(b - a)) / PIECES, (b - a) / np.hypot(*(b - a))))
            last = nxt

    def assembled(forces):
        K, G = np.zeros((count, count)), np.zeros((count, count))
        for i, (m, d, L, t) in enumerate(parts):
            k, g = piece(m["E"], m["A"], m["I"], L, forces[i])
            T = np.zeros((6, 6))
            for o in (0, 3):
                T[o:o + 2, o:o + 2] = [[t[0], t[1]], [-t[1], t[0]]]
                T[o + 2, o + 2] = 1
            K[np.ix_(d, d)] += T.T @ k @ T
            G[np.ix_(d, d)] += T.T @ g @ T
        for a, b, s in springs:
            K[a, a] += s
            K[b, b] += s
            K[a, b] -= s
            K[b, a] -= s
        return K, G

    F = np.zeros(count)
    for n, x, y, turn in f["loads"]:
        F[3 * n:3 * n + 3] += [x, y, turn]
    K, _ = assembled(np.zeros(len(parts)))
    free = [i for i in range(count) if not (i < 3 * len(xy) and f["nodes"][i // 3]["held"][i % 3]) and K[i, i] > 0]
    u = np.zeros(count)
    u[free] = np.linalg.solve(K[np.ix_(free, free)], F[free])
    forces = [m["E"] * m["A"] * ((u[d[3:5]] - u[d[:2]]) @ t) / L for m, d, L, t in parts]
    K, G = assembled(forces)
    mu = eigh(-G[np.ix_(free, free)], K[np.ix_(free, free)], eigvals_only=True)[-1]
    return {"moves": [[u[3 * i], u[3 * i + 1]] for i in range(len(xy))], "reserve": 1 / mu}


out = []
while len(out) < 20:
    n = int(rng.integers(4, 8))
    nodes = [{"at": [round(float(v), 3) for v in rng.uniform(0, 2, 2)], "held": [False] * 3} for _ in range(n)]
    nodes[0]["held"] = [True, True, True]
    nodes[1]["held"] = [True, True, bool(rng.integers(2))]
    members = []
    for i in range(1, n + int(rng.integers(0, 4))):
        a, b = (i, int(rng.integers(0, i))) if i < n else [int(v) for v in rng.choice(n, 2, replace=False)]
        if any({a, b} == {m["from"], m["to"]} for m in members) or np.hypot(*(np.array(nodes[a]["at"]) - nodes[b]["at"])) < 0.3:
            continue
        members.append({"from": a, "to": b, "E": float(rng.choice([70e9, 210e9])), "A": float(np.round(10 ** rng.uniform(-4, -3), 7)), "I": float(np.round(10 ** rng.uniform(-9, -7), 12)),
                        "free": [False, False], "spring": [0, 0]})
        for e in range(2):
            what = rng.integers(0, 6)
            if what == 0 and i >= n:
                members[-1]["free"][e] = True
            elif what < 3:
                members[-1]["spring"][e] = float(np.round(10 ** rng.uniform(2, 5), 1))
    if len({v for m in members for v in (m["from"], m["to"])}) < n:
        continue
    loads = [[int(v), *[round(float(x), 1) for x in rng.uniform(-900, 900, 2)], round(float(rng.uniform(-50, 50)), 2)] for v in rng.choice(range(2, n), 2, replace=False)]
    f = {"nodes": nodes, "members": members, "loads": loads}
    try:
        f["want"] = solve(f)
    except np.linalg.LinAlgError:
        continue
    if f["want"]["reserve"] > 0:
        out.append(f)
print("[\n" + ",\n".join(json.dumps(f) for f in out) + "\n]")
