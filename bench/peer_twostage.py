#!/usr/bin/env python3
"""Two-stage cutting stock by a general MIP solver, beside our own search.

    /usr/bin/python3 bench/peer_twostage.py [--seconds S] [--bench PROGRAM] FILE.jsonl [NAME...]

Reads the same files as `go run ./bench 2d` where they state one kind of sheet, and
solves them without turning, the first cuts along the length, in two stages and a last
trimming cut (non-exact). With --bench, a built `go build ./bench`, the same
instances are put to it with `2d --stages 2 --first length` in the same run. It
prints instance,pieces,kinds,bound,value,proven,seconds and, behind them, the same
four of ours. It needs python3-scipy (1.9 or later).

The model is the two-stage arc-flow model of Macedo, Alves & Valerio de Carvalho
(Computers & Operations Research 37 (2010) 991-1001): one graph over the sheet's
width, whose arcs are strips as high as some panel, and for each height a graph over
the sheet's length, whose arcs are panels no higher; as many flows leave the latter as
strips of the height are cut. Panels are set in order of falling height and, of those,
falling length; arcs of what is lost join consecutive places only.
"""
import json
import subprocess
import sys
import tempfile
import time

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix


def places(sizes, counts, whole):
    """The places that sums of sizes, each so many times, can reach, and whole."""
    reach = np.zeros(whole + 1, dtype=bool)
    reach[0] = True
    for size, count in zip(sizes, counts):
        for _ in range(min(count, whole // size)):
            more = reach.copy()
            more[size:] |= reach[:-size]
            if (more == reach).all():
                break
            reach = more
    reach[whole] = True
    return np.flatnonzero(reach)


class Model:
    def __init__(self):
        self.columns, self.rows, self.cost, self.upper, self.low, self.high = [], 0, [], [], [], []

    def row(self, low, high):
        self.low.append(low)
        self.high.append(high)
        self.rows += 1
        return self.rows - 1

    def column(self, entries, cost, upper):
        self.columns.append(entries)
        self.cost.append(cost)
        self.upper.append(upper)
        return len(self.cost) - 1

    def solve(self, seconds):
        row, col, value = [], [], []
        for j, entries in enumerate(self.columns):
            for i, v in entries:
                row.append(i)
                col.append(j)
                value.append(v)
        matrix = coo_matrix((value, (row, col)), shape=(self.rows, len(self.cost)))
        return milp(np.array(self.cost, dtype=float), integrality=np.ones(len(self.cost)),
                    bounds=Bounds(0, np.array(self.upper, dtype=float)),
                    constraints=LinearConstraint(matrix, self.low, self.high),
                    options={"time_limit": seconds, "mip_rel_gap": 0})


def build(length, width, items):
    """The model, and the number of the column that counts sheets."""
    m = Model()
    demand = [m.row(d, np.inf) for _, _, d in items]
    heights = sorted({h for _, h, _ in items}, reverse=True)
    most = sum(d for _, _, d in items)
    # Strips on sheets.
    strips = {h: m.row(0, 0) for h in heights}  # strips cut less strips filled
    count = [min(most, sum(d for _, k, d in items if k <= h)) for h in heights]
    at = places(heights, count, width)
    node = {p: m.row(0, 0) for p in at}
    sheets = m.column([(node[0], 1), (node[width], -1)], 1, most)
    for h in heights:
        for p in at:
            if p + h <= width and p + h in node:
                m.column([(node[p], -1), (node[p + h], 1), (strips[h], 1)], 0, most)
    for p, q in zip(at, at[1:]):
        m.column([(node[p], -1), (node[q], 1)], 0, most)
    # Panels in strips of a height: one at least is as high as the strip, or another
    # strip would do as well.
    for h in heights:
        fit = sorted(((w, i) for i, (w, k, _) in enumerate(items) if k <= h and w <= length), reverse=True)
        at = places([w for w, _ in fit], [items[i][2] for _, i in fit], length)
        node = {p: m.row(0, 0) for p in at}
        m.column([(node[0], 1), (node[length], -1), (strips[h], -1)], 0, most)
        for w, i in fit:
            for p in at:
                if p + w <= length and p + w in node:
                    m.column([(node[p], -1), (node[p + w], 1), (demand[i], 1)], 0, items[i][2])
        for p, q in zip(at, at[1:]):
            m.column([(node[p], -1), (node[q], 1)], 0, most)
    return m, sheets


def ours(program, line, seconds):
    with tempfile.NamedTemporaryFile("w", suffix=".jsonl") as file:
        file.write(line)
        file.flush()
        out = subprocess.run([program, "2d", "--stages", "2", "--first", "length", "--seconds", str(seconds), file.name],
                             check=True, capture_output=True, text=True).stdout
    return out.splitlines()[1].split(",")[3:]


def main(words):
    seconds, program, names = 60.0, None, []
    while words and words[0].startswith("--"):
        if words[0] == "--seconds":
            seconds = float(words[1])
        elif words[0] == "--bench":
            program = words[1]
        else:
            sys.exit(f"{words[0]} is unknown: give --seconds S or --bench PROGRAM")
        words = words[2:]
    if not words:
        sys.exit("there is no file to run: name one")
    path, names = words[0], set(words[1:])
    print("instance,pieces,kinds,bound,value,proven,seconds" + (",our bound,our value,our proven,our seconds" if program else ""))
    for line in open(path):
        d = json.loads(line)
        if names and d["Name"] not in names:
            continue
        if len(d["Objects"]) != 1:
            sys.exit(f"{d['Name']} has {len(d['Objects'])} kinds of sheets; the model has one")
        sheet = d["Objects"][0]
        items = [(i["Length"], i["Height"], i["Demand"]) for i in d["Items"]]
        start = time.perf_counter()
        m, sheets = build(sheet["Length"], sheet["Height"], items)
        built = time.perf_counter() - start
        r = m.solve(max(1, seconds - built))
        spent = time.perf_counter() - start
        bound = "" if r.mip_dual_bound is None else int(np.ceil(r.mip_dual_bound - 1e-6))
        value = "" if r.x is None else round(r.x[sheets])
        proven = int(value != "" and bound != "" and bound >= value)
        row = [d["Name"], sum(d for _, _, d in items), len(items), bound, value, proven, f"{spent:.3f}"]
        if program:
            row += ours(program, line, seconds)
        print(",".join(str(x) for x in row), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
