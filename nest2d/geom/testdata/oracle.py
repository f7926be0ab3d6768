"""Measures shapes with ezdxf and shapely.

A line of JSON in, one out: outlines as lists of [x, y, bulge], holes as
[x, y, diameter], points as [x, y]. ezdxf turns bulges into arcs, which are
drawn as many chords, and shapely measures the polygon.
"""

import json
import math
import sys

from ezdxf.math import bulge_to_arc
from shapely.geometry import Point, Polygon

CHORDS = 300  # for measures
FINE = 1500  # where shallow crossings must show


def line(outline, chords):
    points = []
    for (x, y, bulge), (u, v, _) in zip(outline, outline[1:] + outline[:1]):
        points.append((x, y))
        if bulge == 0:
            continue
        centre, start, end, radius = bulge_to_arc((x, y), (u, v), bulge)
        turn = (end - start) % (2 * math.pi)
        arc = [
            (
                centre.x + radius * math.cos(start + turn * k / chords),
                centre.y + radius * math.sin(start + turn * k / chords),
            )
            for k in range(1, chords)
        ]
        points += arc if bulge > 0 else reversed(arc)
    return points


def circle(x, y, diameter, chords):
    return [
        (
            x + diameter / 2 * math.cos(2 * math.pi * k / chords),
            y + diameter / 2 * math.sin(2 * math.pi * k / chords),
        )
        for k in range(chords)
    ]


def polygon(job, chords):
    inner = [line(o, chords) for o in job["inner"]]
    inner += [circle(*h, chords) for h in job["holes"]]
    return Polygon(line(job["outer"], chords), inner)


for text in sys.stdin:
    job = json.loads(text)
    out = {"valid": polygon(job, FINE).is_valid}
    shape = polygon(job, CHORDS)
    if out["valid"]:
        rings = [shape.exterior] + list(shape.interiors)
        points = [Point(*p) for p in job["points"]]
        out["area"] = shape.area
        out["length"] = shape.length
        out["bounds"] = shape.bounds
        out["centroid"] = [shape.centroid.x, shape.centroid.y]
        out["inside"] = [shape.contains(p) for p in points]
        out["distances"] = [[r.distance(p) for r in rings] for p in points]
        out["gaps"] = [[r.distance(s) for s in rings] for r in rings]
    print(json.dumps(out))
