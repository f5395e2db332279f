#!/usr/bin/python3
# Writes shapes.json: 24 random sections with holes in mm. Areas, middles and what a drill leaves are those of shapely's polygons and their
# intersections (Debian python3-shapely 1.8.5), second moments those of sympy's Polygon.second_moment_of_area (python3-sympy 1.11.1), exact in
# fractions. /usr/bin/python3 shapes.py > shapes.json
import json, math, random
from fractions import Fraction
from shapely.geometry import Polygon, box
import sympy

random.seed(11)

def second(ring):
    if sympy.Polygon(*ring).area < 0:
        ring = ring[::-1]
    p = sympy.Polygon(*[sympy.Point(sympy.Rational(str(round(x, 6))), sympy.Rational(str(round(y, 6)))) for x, y in ring])
    return [float(v) for v in p.second_moment_of_area(point=(0, 0))]

def rings(shape):
    for one in getattr(shape, "geoms", [shape]):
        yield list(one.exterior.coords)[:-1], 1
        for h in one.interiors:
            yield list(h.coords)[:-1], -1

def moments(shape):
    """about the middle: Ix, Iy, Ixy"""
    x = y = xy = 0.0
    for ring, sign in rings(shape):
        a, b, c = second(ring)
        x, y, xy = x + sign * a, y + sign * b, xy + sign * c
    m, area = shape.centroid, shape.area
    return [x - area * m.y**2, y - area * m.x**2, xy - area * m.x * m.y]

out = []
for number in range(24):
    n = random.randint(4, 9)
    far = [random.uniform(8, 30) for _ in range(n)]
    outline = [(round(r * math.cos(2 * math.pi * i / n), 3), round(r * math.sin(2 * math.pi * i / n), 3)) for i, r in enumerate(far)]
    if number % 4 == 3:  # a channel
        outline = [(0, 0), (20, 0), (20, 30.5), (14, 30.5), (14, 4), (5, 4), (5, 25), (0, 25)]
    solid, holes, tries = Polygon(outline), [], 0
    while len(holes) < number % 3 and tries < 400:
        tries += 1
        cx, cy, r = random.uniform(-15, 20), random.uniform(-15, 25), random.uniform(0.6, 3)
        k = random.randint(3, 6)
        hole = [(round(cx + r * math.cos(1 + 2 * math.pi * i / k), 3), round(cy + r * math.sin(1 + 2 * math.pi * i / k), 3)) for i in range(k)]
        p = Polygon(hole)
        if solid.contains(p.buffer(0.1)) and all(Polygon(h).distance(p) > 0.1 for h in holes):
            holes.append(hole)
    shape = Polygon(outline, holes)
    low, high = min(y for _, y in outline), max(y for _, y in outline)
    drilled = round((high - low) * random.uniform(0.1, 0.4), 2) if number % 2 else 0
    net = shape
    if drilled:
        middle = (low + high) / 2
        net = shape.intersection(box(-99, middle + drilled / 2, 99, 99)).union(shape.intersection(box(-99, -99, 99, middle - drilled / 2)))
    x, y, xy = moments(shape)
    nx, ny, nxy = moments(net)
    c = net.centroid
    # The largest stress of a moment of 1 about x, by the general formula for bending (no corner but one of the outline is farther out).
    worst = max(abs(ny * (q[1] - c.y) - nxy * (q[0] - c.x)) for ring, sign in rings(net) if sign > 0 for q in ring) / (nx * ny - nxy**2)
    out.append({"outline": outline, "holes": holes, "drilled": drilled, "area": shape.area, "net": net.area, "centre": [shape.centroid.x, shape.centroid.y],
                "x": x, "y": y, "xy": xy, "worst": worst})
print("[\n" + ",\n".join(json.dumps(o) for o in out) + "\n]")
