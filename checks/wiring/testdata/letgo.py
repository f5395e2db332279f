"""Makes letgo.tsv: 20 random networks of coils that a switch has just left, and what ngspice finds in them.

Run with Debian's ngspice: python3 letgo.py > letgo.tsv
"""
import random, re, subprocess, sys

rng = random.Random(11)
version = subprocess.run(["ngspice", "--version"], capture_output=True, text=True).stdout.split("\n")[1]
print("# Made by letgo.py with Debian's", re.search(r"ngspice-\d+", version).group(0) + ": a supply of `volts` at node 1, node 0 at 0 V. At time 0 the coils carry")
print("# their amps, from a to b, and their drivers have just opened. Resistors a-b=ohms; diodes a>k=drop, ideal with 0.05 ohm in series; coils a-b=ohms,henries,amps.")
print("# Over `span` seconds: the highest voltage of each node from 2 on, and when each coil's current is down to a tenth.")
print("volts\tnodes\tspan\tresistors\tdiodes\tcoils\tpeaks\ttimes")
for case in range(20):
    volts = rng.choice([12, 24])
    count = rng.randint(1, 3)
    nodes, resistors, diodes, coils = 2, [(1, 2, 10 ** rng.uniform(-2, 0.5))], [], []
    nodes += 1  # node 2: behind the fuse and the stop
    for _ in range(count):
        plus, minus, anode = nodes, nodes + 1, nodes + 2
        nodes += 3
        ohms = rng.uniform(20, 200)
        resistors += [(2, plus, 10 ** rng.uniform(-2, 0.5)), (minus, anode, 10 ** rng.uniform(-2, 0.5)), (minus, 0, 10 ** rng.uniform(4, 6))]
        diodes.append((anode, plus, rng.choice([0.7, 0.7, 15, 33])))
        coils.append((plus, minus, ohms, ohms * rng.uniform(4e-3, 25e-3), 0.95 * volts / ohms))
    if count > 1 and rng.random() < 0.5:  # a load from coil to coil
        resistors.append((4, 7, 10 ** rng.uniform(3, 4)))
    span = 6 * max(h / r for _, _, r, h, _ in coils)
    lines = ["letgo", f"V1 1 0 {volts}"]
    for k, (a, b, r) in enumerate(resistors):
        lines.append(f"R{k} {a} {b} {r:.12g}")
    for k, (a, b, drop) in enumerate(diodes):
        lines += [f"D{k} {a} x{k} ideal", f"VD{k} x{k} y{k} {drop}", f"RD{k} y{k} {b} 0.05"]
    for k, (a, b, r, h, i) in enumerate(coils):
        lines += [f"L{k} {a} z{k} {h:.12g} IC={i:.12g}", f"RL{k} z{k} {b} {r:.12g}"]
    lines += [".model ideal D(IS=1e-12 N=0.001)", ".options reltol=1e-5 abstol=1e-10 vntol=1e-7 gmin=1e-15 method=gear", ".control", f"tran {span/20000:.9g} {span:.9g} 0 {span/20000:.9g} uic"]
    lines += [f"meas tran p{i} MAX v({i})" for i in range(2, nodes)]
    lines += [f"meas tran t{k} WHEN i(L{k})={0.1*i:.12g} FALL=1" for k, (_, _, _, _, i) in enumerate(coils)]
    lines += [".endc", ".end"]
    out = subprocess.run(["ngspice", "-b"], input="\n".join(lines) + "\n", capture_output=True, text=True)
    found = dict(re.findall(r"^([pt]\d+)\s*=\s*(\S+)", out.stdout, re.M))
    if len(found) != nodes - 2 + count:
        sys.exit(f"case {case}: {out.stdout}\n{out.stderr}")
    print("\t".join([str(volts), str(nodes), f"{span:.9g}", " ".join(f"{a}-{b}={r:.12g}" for a, b, r in resistors), " ".join(f"{a}>{b}={d}" for a, b, d in diodes),
        " ".join(f"{a}-{b}={r:.12g},{h:.12g},{i:.12g}" for a, b, r, h, i in coils), " ".join(found[f"p{i}"] for i in range(2, nodes)), " ".join(found[f"t{k}"] for k in range(count))]))
