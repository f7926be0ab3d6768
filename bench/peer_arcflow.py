#!/usr/bin/env python3
"""Cutting stock by a general MIP solver: the arc-flow model, solved by HiGHS.

    /usr/bin/python3 bench/peer_arcflow.py [--seconds S] FILE...

Reads the same files as `go run ./bench 1d` where they state one bar length, and
prints the same columns, so that both times come from one machine. It needs
python3-scipy (1.9 or later).

The model is that of Valerio de Carvalho (Annals of Operations Research 86 (1999)
629-659): a bar is a path from 0 to its length over arcs as long as pieces, and
arcs of length 1 for what is lost. Arcs leave only places that pieces in order of
falling length can reach.
"""
import sys
import time

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix


def read(path):
    numbers = [int(x) for x in open(path).read().split()]
    count, capacity, rest = numbers[0], numbers[1], numbers[2:]
    if len(rest) == 2 * count:
        pairs = list(zip(rest[::2], rest[1::2]))
    elif len(rest) == count:
        pairs = [(x, 1) for x in rest]
    else:
        raise ValueError(f"{path}: this states more than one bar length, which the model does not have")
    demand = {}
    for length, wanted in pairs:
        demand[length] = demand.get(length, 0) + wanted
    return capacity, sorted(demand.items(), reverse=True)


def arcs(capacity, demand):
    reachable = np.zeros(capacity + 1, dtype=bool)
    reachable[0] = True
    found = set()
    for kind, (length, wanted) in enumerate(demand):
        # Up to so many copies one behind the other, from where longer ones end.
        starts = np.flatnonzero(reachable)
        for start in starts:
            at = int(start)
            for _ in range(wanted):
                if at + length > capacity or (at, kind) in found:
                    if at + length > capacity:
                        break
                found.add((at, kind))
                at += length
                reachable[at] = True
    places = np.flatnonzero(reachable).tolist()
    if places[-1] != capacity:
        places.append(capacity)
    number = {place: i for i, place in enumerate(places)}
    list_ = [(number[at], number[at + demand[kind][0]], kind) for at, kind in sorted(found)]
    list_ += [(i, i + 1, -1) for i in range(len(places) - 1)]  # what is lost
    return len(places), list_


def solve(path, seconds):
    capacity, demand = read(path)
    begun = time.monotonic()
    places, all_ = arcs(capacity, demand)
    rows, columns, values = [], [], []
    for j, (tail, head, kind) in enumerate(all_):
        rows += [tail, head]
        columns += [j, j]
        values += [1, -1]
        if kind >= 0:
            rows.append(places + kind)
            columns.append(j)
            values.append(1)
    bars = len(all_)
    rows += [0, places - 1]
    columns += [bars, bars]
    values += [-1, 1]
    matrix = coo_matrix((values, (rows, columns)), shape=(places + len(demand), bars + 1)).tocsr()
    low = np.concatenate([np.zeros(places), [wanted for _, wanted in demand]])
    high = np.concatenate([np.zeros(places), np.full(len(demand), np.inf)])
    cost = np.zeros(bars + 1)
    cost[bars] = 1
    result = milp(cost, constraints=LinearConstraint(matrix, low, high), integrality=np.ones(bars + 1),
                  bounds=Bounds(0, np.inf), options={"time_limit": seconds})
    spent = time.monotonic() - begun
    value = "" if result.x is None else str(round(result.fun))
    bound = "" if result.mip_dual_bound is None else str(int(np.ceil(result.mip_dual_bound - 1e-6)))
    proven = int(result.status == 0)
    pieces = sum(wanted for _, wanted in demand)
    name = path.rsplit("/", 1)[-1].rsplit(".", 1)[0]
    print(f"{name},{pieces},{len(demand)},{bound},{value},{proven},{spent:.3f}", flush=True)


def main():
    args, seconds = sys.argv[1:], 60.0
    if args[:1] == ["--seconds"]:
        seconds, args = float(args[1]), args[2:]
    if not args:
        sys.exit(__doc__)
    print("instance,pieces,kinds,bound,value,proven,seconds")
    for path in args:
        try:
            solve(path, seconds)
        except (ValueError, OSError) as fault:
            print(fault, file=sys.stderr)


main()
