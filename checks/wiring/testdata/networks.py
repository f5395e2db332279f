"""Makes networks.tsv: 20 random networks of resistances and diodes on a supply, and the voltages that ngspice finds in them.

Run with Debian's ngspice: python3 networks.py > networks.tsv
"""
import random, re, subprocess, sys

rng = random.Random(7)
version = subprocess.run(["ngspice", "--version"], capture_output=True, text=True).stdout.split("\n")[1]
print("# Made by networks.py with Debian's", re.search(r"ngspice-\d+", version).group(0) + ": a supply of `volts` at node 1, node 0 at 0 V.")
print("# resistors a-b=ohms, diodes a>k; a diode is an ideal one with 0.7 V and 0.05 ohm in series. Voltages of the nodes from 0 on.")
print("volts\tnodes\tresistors\tdiodes\tvoltages")
for case in range(20):
    nodes = rng.randint(4, 14)
    volts = rng.choice([5, 12, 24])
    resistors = []
    for i in range(2, nodes):
        resistors.append((i, rng.randrange(0, i), 10 ** rng.uniform(-2, 3)))
    for _ in range(nodes):
        a, b = rng.sample(range(nodes), 2)
        resistors.append((a, b, 10 ** rng.uniform(-2, 3)))
    resistors = [(a, b, r) for a, b, r in resistors if {a, b} != {0, 1} or r > 1]
    diodes = [tuple(rng.sample(range(2, nodes), 2)) for _ in range(rng.randint(0, 3))]
    lines = ["network", f"V1 1 0 {volts}"]
    for k, (a, b, r) in enumerate(resistors):
        lines.append(f"R{k} {a} {b} {r:.12g}")
    for k, (a, b) in enumerate(diodes):
        lines += [f"D{k} {a} x{k} ideal", f"VD{k} x{k} y{k} 0.7", f"RD{k} y{k} {b} 0.05"]
    lines += [".model ideal D(IS=1e-12 N=0.001)", ".options reltol=1e-6 abstol=1e-12 vntol=1e-9 gmin=1e-15", ".op", ".control", "op", "set numdgt=12"]
    lines += [f"print v({i})" for i in range(1, nodes)] + [".endc", ".end"]
    out = subprocess.run(["ngspice", "-b"], input="\n".join(lines) + "\n", capture_output=True, text=True).stdout
    found = dict(re.findall(r"v\((\d+)\) = (\S+)", out))
    if len(found) != nodes - 1:
        sys.exit(f"case {case}: {out}")
    voltages = [0.0] + [float(found[str(i)]) for i in range(1, nodes)]
    print(f"{volts}\t{nodes}\t{' '.join(f'{a}-{b}={r:.12g}' for a, b, r in resistors)}\t{' '.join(f'{a}>{b}' for a, b in diodes)}\t{' '.join(f'{v:.8g}' for v in voltages)}")
