# Makes outlines.json: distances, depths, cut outlines and swept areas of random outlines, by a general geometry library.
# Recipe: Debian's python3-shapely (1.8.5, GEOS 3.11.1), then `/usr/bin/python3 outlines.py > outlines.json`.
#
# Distances: shapely's distance between the cores (points, lines, polygons) less the radii around them.
# Depths: distance from the origin to the boundary of the convex hull of all differences of corners (the Minkowski difference).
# Cuts: shapely's difference of the core and a circle, for lines a polygon of 40,000 corners, for polygons one of 16.
# Sweeps: area of shapely's union of buffered outlines at many times, and of that union with the tolerance around it.
import json
import math
import random

from shapely.affinity import affine_transform
from shapely.geometry import LineString, MultiPoint, Point, Polygon
from shapely.ops import unary_union

rng = random.Random(7)


def place(geom, pose):
    x, y, t = pose
    c, s = math.cos(t), math.sin(t)
    return affine_transform(geom, [c, -s, s, c, x, y])


def near(a, b):
    return round(rng.uniform(a, b), 6)


def pose(spread):
    return [near(-spread, spread), near(-spread, spread), near(-7, 7)]


def outline(kind):
    size = rng.uniform(0.02, 0.3)
    if kind == "circle":
        p = [near(-size, size), near(-size, size)]
        return dict(kind=kind, points=[p], width=near(0.005, 0.1)), Point(p)
    if kind == "bar":
        pts = [[near(-size, size), near(-size, size)] for _ in range(rng.randint(2, 4))]
        return dict(kind=kind, points=pts, width=near(0.005, 0.05)), LineString(pts)
    n = rng.randint(3, 9)
    angles = sorted(rng.uniform(0, 2 * math.pi) for _ in range(n))
    if kind == "convex":  # corners on a circle
        radii = [size] * n
    else:  # star-shaped, mostly not convex
        angles = [2 * math.pi * (i + rng.uniform(0, 0.6)) / n for i in range(n)]
        radii = [size * rng.uniform(0.2, 1) for _ in range(n)]
    pts = [[round(r * math.cos(a), 6), round(r * math.sin(a), 6)] for r, a in zip(radii, angles)]
    if rng.random() < 0.5:
        pts.reverse()
    poly = Polygon(pts)
    assert poly.is_valid
    return dict(kind="polygon", points=pts, width=0), poly


KINDS = ["circle", "bar", "convex", "simple"]


def depth(a, b):
    corners = lambda g: list(g.exterior.coords if g.geom_type == "Polygon" else g.coords)
    hull = MultiPoint([(q[0] - p[0], q[1] - p[1]) for p in corners(a) for q in corners(b)]).convex_hull
    if hull.geom_type != "Polygon" or not hull.contains(Point(0, 0)):
        return None
    return hull.exterior.distance(Point(0, 0))


def distances():
    out = []
    while len(out) < 300:
        ka, kb = rng.choice(KINDS), rng.choice(KINDS)
        (a, ga), (b, gb) = outline(ka), outline(kb)
        pa, pb = pose(0.3), pose(0.3)
        ga, gb = place(ga, pa), place(gb, pb)
        d = ga.distance(gb)
        if d == 0:
            if "simple" in (ka, kb) or len(a["points"]) > 2 and ka == "bar" or len(b["points"]) > 2 and kb == "bar":
                continue  # not convex: what the depth is depends on the parts
            d = depth(ga, gb)
            if d is None:
                continue
            d = -d
        out.append(dict(a=a, b=b, pa=pa, pb=pb, distance=d - a["width"] / 2 - b["width"] / 2))
    return out


def cut(geom, at, radius):
    if geom.geom_type == "Polygon":
        disc = Polygon([(at[0] + radius * math.cos(math.pi * (2 * i + 1) / 16), at[1] + radius * math.sin(math.pi * (2 * i + 1) / 16)) for i in range(16)])
    else:
        disc = Point(at).buffer(radius, resolution=10000)
    return geom.difference(disc)


def joints():
    out = []
    while len(out) < 80:
        (a, ga), (b, gb) = outline(rng.choice(KINDS)), outline(rng.choice(KINDS))
        at, radius = [near(-0.1, 0.1), near(-0.1, 0.1)], near(0.02, 0.15)
        ca, cb = cut(ga, at, radius), cut(gb, at, radius)
        if ca.is_empty or cb.is_empty or ca.distance(cb) == 0:
            continue
        out.append(dict(a=a, b=b, at=at, radius=radius, distance=ca.distance(cb) - a["width"] / 2 - b["width"] / 2))
    return out


def sweeps():
    out = []
    for kind in KINDS * 3:
        a, g = outline(kind)
        radius = a["width"] / 2
        # a cubic way from pose to pose with these rates, as in the package comment
        p, q = pose(0.15), pose(0.15)
        q[2] = round(p[2] + near(-3, 3), 6)
        v, w = [[round(rng.uniform(0.5, 1.1) * (f - e), 6) for e, f in zip(p, q)] for _ in range(2)]
        parts, n, tolerance = [], 1500, 0.002
        for i in range(n + 1):
            u = i / n
            at = [e + v_ * u + (3 * (f - e) - 2 * v_ - w_) * u**2 + (v_ + w_ - 2 * (f - e)) * u**3 for e, f, v_, w_ in zip(p, q, v, w)]
            parts.append(place(g, at).buffer(radius, resolution=32) if radius else place(g, at))
        union = unary_union(parts)
        out.append(dict(a=a, p=p, q=q, v=v, w=w, tolerance=tolerance, area=union.area, outer=union.buffer(tolerance, resolution=64).area))
    return out


def rows(name, table):
    return '"%s": [\n%s\n]' % (name, ",\n".join(json.dumps(r) for r in table))


print("{" + '"recipe": "made by outlines.py with shapely; see its header",')
print(",\n".join([rows("distances", distances()), rows("joints", joints()), rows("sweeps", sweeps())]) + "}")
