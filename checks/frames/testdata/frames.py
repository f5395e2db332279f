#!/usr/bin/python3
# Writes scipy-frames.json: 20 random plane frames, solved by SciPy (Debian python3-scipy 1.10.1) in another way than the package does.
# Each end that turns freely is an unknown of its own in place of an elimination, each member is cut into pieces at its point load and into
# four under an even load (cubic shape functions, consistent loads), and scipy.sparse.linalg.spsolve does the rest.
# /usr/bin/python3 frames.py > scipy-frames.json
import json
import numpy as np
from scipy.sparse import lil_matrix
from scipy.sparse.linalg import spsolve

rng = np.random.default_rng(20)


def stiffness(E, A, I, a, b):
    d = b - a
    L = np.hypot(*d)
    c, s = d / L
    n = np.array([-c, -s, 0, c, s, 0])
    # strains of bending by the ends: chord turn is (v2 - v1) / L
    t = np.array([-s, c])
    chord = np.array([-t[0], -t[1], 0, t[0], t[1], 0]) / L
    r1 = np.eye(6)[2] - chord
    r2 = np.eye(6)[5] - chord
    k = E * A / L * np.outer(n, n)
    k += 2 * E * I / L * (2 * np.outer(r1, r1) + np.outer(r1, r2) + np.outer(r2, r1) + 2 * np.outer(r2, r2))
    return k, L


def solve(f):
    xy = [np.array(n["at"]) for n in f["nodes"]]
    dofs = [[3 * i, 3 * i + 1, 3 * i + 2] for i in range(len(xy))]
    count = 3 * len(xy)
    pieces, ends = [], []
    for m in f["members"]:
        a, b = xy[m["from"]], xy[m["to"]]
        L = np.hypot(*(b - a))
        cuts = {0.0, L}
        if m["spread"] != [0, 0]:
            cuts |= {L / 4, L / 2, 3 * L / 4}
        if m["point"]:
            cuts.add(m["point"][0])
        cuts = sorted(cuts)
        last = list(dofs[m["from"]])
        if m["free"][0]:
            last[2] = count
            count += 1
        mine = []
        for u, v in zip(cuts, cuts[1:]):
            if v == L:
                nxt = list(dofs[m["to"]])
                if m["free"][1]:
                    nxt[2] = count
                    count += 1
            else:
                nxt = [count, count + 1, count + 2]
                count += 3
            mine.append((m, a + (b - a) * u / L, a + (b - a) * v / L, last + nxt, u, v))
            last = nxt
        pieces += mine
        ends.append((mine[0], mine[-1]))
    K = lil_matrix((count, count))
    F = np.zeros(count)
    local = {}
    for m, p, q, d, u, v in pieces:
        k, L = stiffness(m["E"], m["A"], m["I"], p, q)
        w = np.array(m["spread"])
        t = (q - p) / L
        n = np.array([-t[1], t[0]])
        c = w @ n * L * L / 12
        e = np.array([*(w * L / 2), c, *(w * L / 2), -c])
        if m["point"] and m["point"][0] == v and v != u and v < np.hypot(*(xy[m["to"]] - xy[m["from"]])):
            F[d[3]] += m["point"][1]
            F[d[4]] += m["point"][2]
        for i in range(6):
            F[d[i]] += e[i]
            for j in range(6):
                K[d[i], d[j]] += k[i, j]
        local[id(m), u] = (k, e, d, t)
    for l in f["loads"]:
        for i in range(3):
            F[dofs[l[0]][i]] += l[1 + i]
    held = [dofs[i][j] for i, n in enumerate(f["nodes"]) for j in range(3) if n["held"][j]]
    # a node where all ends turn has no stiffness against turning
    K = K.tocsr()
    bare = [i for i in range(count) if abs(K[i, i]) < 1e-9]
    keep = [i for i in range(count) if i not in held and i not in bare]
    U = np.zeros(count)
    U[keep] = spsolve(K[keep][:, keep].tocsc(), F[keep])
    R = K @ U - F
    out = {"moves": [[U[d[0]], U[d[1]]] for d in dofs], "reactions": [[R[d[i]] if n["held"][i] else 0 for i in range(3)] for n, d in zip(f["nodes"], dofs)], "ends": []}
    for first, last in ends:
        both = []
        for piece, at in ((first, 0), (last, 3)):
            k, e, d, t = local[id(piece[0]), piece[4]]
            g = k @ U[d] - e
            both += [float(g[at:at + 2] @ t), float(g[at + 2])]
        out["ends"].append(both)
    rank = np.linalg.cond((K[keep][:, keep]).toarray())
    return out, rank


frames = []
while len(frames) < 20:
    n = int(rng.integers(4, 11))
    at = rng.uniform(0, 2, (n, 2)).round(3)
    if min(np.hypot(*(at[i] - at[j])) for i in range(n) for j in range(i)) < 0.25:
        continue
    pairs = [(i, int(rng.integers(0, i))) for i in range(1, n)]
    for i in range(n):
        for j in range(i):
            if (i, j) not in pairs and rng.random() < 0.3:
                pairs.append((i, j))
    members = []
    for i, j in pairs:
        if rng.random() < 0.5:
            i, j = j, i
        side = rng.uniform(0.01, 0.05)
        L = np.hypot(*(at[i] - at[j]))
        members.append({"from": i, "to": j, "E": float(rng.choice([70e9, 210e9])), "A": float(f"{side * side * rng.uniform(0.2, 1):.4g}"),
                        "I": float(f"{side ** 4 / 12 * rng.uniform(0.5, 1):.4g}"), "free": [bool(rng.random() < 0.15), bool(rng.random() < 0.15)],
                        "spread": [float(x) for x in rng.uniform(-200, 200, 2).round(1)] if rng.random() < 0.4 else [0, 0],
                        "point": [float(f"{L * rng.uniform(0.1, 0.9):.4g}"), *[float(x) for x in rng.uniform(-500, 500, 2).round(1)]] if rng.random() < 0.4 else None})
    nodes = [{"at": [float(x) for x in p], "held": [False] * 3} for p in at]
    nodes[0]["held"] = [True, True, bool(rng.random() < 0.6)]
    nodes[1]["held"] = [bool(rng.random() < 0.5), True, False]
    loads = [[int(rng.integers(0, n)), *[float(x) for x in rng.uniform(-1000, 1000, 2).round(1)], 0.0] for _ in range(3)]
    stiff = [any(m["from"] == i and not m["free"][0] or m["to"] == i and not m["free"][1] for m in members) for i in range(n)]
    if stiff[loads[0][0]]:
        loads[0][3] = float(round(rng.uniform(-50, 50), 2))
    f = {"nodes": nodes, "members": members, "loads": loads}
    try:
        want, condition = solve(f)
    except Exception:
        continue
    if not condition < 1e10 or max(np.hypot(*m) for m in want["moves"]) > 0.5:
        continue
    f["want"] = want
    frames.append(f)
print("[\n" + ",\n".join(json.dumps(f) for f in frames) + "\n]")
