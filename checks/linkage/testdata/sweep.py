# Times the sweep of the lifter of lifter_test.go in 200 poses with scipy.optimize.fsolve, each pose from the last: places only, no rates,
# no forces. Prints the seconds of the fastest of ten sweeps and the tray's rise. Recipe: Debian's python3-scipy.
import math
import time

from scipy.optimize import fsolve

A, B, C, D, K, T = (0, 0), (0, 0.14), (0.24, -0.07), (0.24, 0.07), (0.2192, 0.07607), (0.33, -0.015)


def place(q, origin, p):  # q: place of the body's origin and its turn
    dx, dy = p[0] - origin[0], p[1] - origin[1]
    return q[0] + dx * math.cos(q[2]) - dy * math.sin(q[2]), q[1] + dx * math.sin(q[2]) + dy * math.cos(q[2])


def constraints(q, length):
    lower, upper, carrier = q[0:3], q[3:6], q[6:9]
    c1, c2 = place(lower, A, C), place(carrier, C, C)
    d1, d2 = place(upper, B, D), place(carrier, C, D)
    k = place(upper, B, K)
    return [lower[0] - A[0], lower[1] - A[1], upper[0] - B[0], upper[1] - B[1], c1[0] - c2[0], c1[1] - c2[1], d1[0] - d2[0], d1[1] - d2[1],
            math.hypot(k[0] - A[0], k[1] - A[1]) - length]


def sweep():
    q, heights = [*A, 0, *B, 0, *C, 0], []
    for k in range(200):
        q = fsolve(constraints, q, args=(0.232 + 0.08 * k / 199,), xtol=1e-12)
        heights.append(place(q[6:9], C, T)[1])
    return heights[-1] - heights[0]


best = math.inf
for _ in range(10):
    start = time.perf_counter()
    rise = sweep()
    best = min(best, time.perf_counter() - start)
print(best, rise)
