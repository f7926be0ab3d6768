"""Reads drawings with ezdxf and measures them.

Names of files in, one a line; a line of JSON out for each. Contours are
measured from the lines and arcs into which ezdxf takes a polyline apart, by
Green's theorem and the quadrants that an arc passes.
"""

import json
import math
import sys

import ezdxf


def bow(arc):
    start, end = math.radians(arc.dxf.start_angle), math.radians(arc.dxf.end_angle)
    while end <= start:
        end += 2 * math.pi
    return arc.dxf.center, arc.dxf.radius, start, end


def contour(line):
    area, length, xs, ys = 0.0, 0.0, [], []
    pieces = list(line.virtual_entities())
    if line.dxftype() == "LWPOLYLINE":
        points = [(p[0], p[1]) for p in line.get_points("xy")]
    else:
        points = [(v.dxf.location.x, v.dxf.location.y) for v in line.vertices]
    for (x, y), piece in zip(points, pieces):
        if piece.dxftype() == "LINE":
            p, q = piece.dxf.start, piece.dxf.end
            area += (p.x * q.y - q.x * p.y) / 2
            length += math.hypot(q.x - p.x, q.y - p.y)
            xs += [p.x, q.x]
            ys += [p.y, q.y]
            continue
        c, r, a, b = bow(piece)
        forward = math.dist((piece.start_point.x, piece.start_point.y), (x, y)) <= math.dist(
            (piece.end_point.x, piece.end_point.y), (x, y)
        )
        sweep = r * r * (b - a) + c.x * r * (math.sin(b) - math.sin(a)) - c.y * r * (math.cos(b) - math.cos(a))
        area += sweep / 2 if forward else -sweep / 2
        length += r * (b - a)
        angles = [a, b] + [k * math.pi / 2 for k in range(-8, 9) if a < k * math.pi / 2 < b]
        xs += [c.x + r * math.cos(t) for t in angles]
        ys += [c.y + r * math.sin(t) for t in angles]
    return area, length, xs, ys


for name in sys.stdin.read().split():
    doc = ezdxf.readfile(name)
    audit = doc.audit()
    out = {
        "version": doc.dxfversion,
        "unit": doc.header.get("$INSUNITS", 0),
        "faults": [e.message for e in audit.errors + audit.fixes],
        "layers": sorted({e.dxf.layer for e in doc.modelspace()}),
        "defined": sorted(layer.dxf.name for layer in doc.layers),
        "circles": 0,
        "contours": 0,
        "strokes": 0,
        "other": 0,
        "area": 0.0,
        "length": 0.0,
    }
    sums, xs, ys = [], [], []
    for e in doc.modelspace():
        if e.dxf.layer == "ENGRAVE":
            out["strokes"] += 1
        elif e.dxftype() == "CIRCLE":
            out["circles"] += 1
            sums.append(math.pi * e.dxf.radius**2)
            out["length"] += 2 * math.pi * e.dxf.radius
            xs += [e.dxf.center.x - e.dxf.radius, e.dxf.center.x + e.dxf.radius]
            ys += [e.dxf.center.y - e.dxf.radius, e.dxf.center.y + e.dxf.radius]
        elif e.dxftype() in ("LWPOLYLINE", "POLYLINE") and (e.closed if e.dxftype() == "LWPOLYLINE" else e.is_closed):
            out["contours"] += 1
            a, l, x, y = contour(e)
            sums.append(abs(a))
            out["length"] += l
            xs += x
            ys += y
        else:
            out["other"] += 1
    if sums:
        out["area"] = 2 * max(sums) - sum(sums)
        out["box"] = [min(xs), min(ys), max(xs), max(ys)]
    print(json.dumps(out))
