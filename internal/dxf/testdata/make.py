"""Makes drawings with ezdxf and measures them with shapely.

Arguments: a folder and a number. Writes that many drawings, 0.dxf and so on,
each of one contour in a block that is inserted turned, mirrored and scaled,
in one out of three within another block; prints a line of JSON for each: the
area, the perimeter, and the bounds of what ezdxf makes of it when it takes the
blocks apart and draws the curves as fine chords.
"""

import json
import math
import random
import sys

import ezdxf
from ezdxf.math import Vec3
from shapely.geometry import LineString
from shapely.ops import polygonize

CHORD = 1e-5  # sagitta, in drawing units
r = random.Random(20)


def bulged(block):
    n = r.randint(3, 8)
    points = []
    for i in range(n):
        t = 2 * math.pi * (i + 0.5 * r.random()) / n
        d = r.uniform(60, 100)
        points.append((d * math.cos(t), d * math.sin(t), r.choice([0, 0, r.uniform(-0.2, 0.5)])))
    if r.random() < 0.5:
        block.add_lwpolyline(points, format="xyb", close=True)
    else:
        block.add_polyline2d(points, format="xyb", close=True)


def loose(block):
    """A D of lines and arcs, with its pieces in any order and direction."""
    w, h = r.uniform(40, 100), r.uniform(20, 60)
    pieces = [
        lambda: block.add_line((0, 0), (w, 0)),
        lambda: block.add_arc((w, h / 2), h / 2, -90, 90),
        lambda: block.add_line((0, h), (w, h)),
        lambda: block.add_ellipse((0, h / 2), (0, h / 2), 0.5, 0, math.pi),
    ]
    r.shuffle(pieces)
    for piece in pieces:
        piece()


def ellipse(block):
    t = r.uniform(0, 6)
    block.add_ellipse((5, 7), (80 * math.cos(t), 80 * math.sin(t)), r.uniform(0.2, 1))


def circle(block):
    block.add_circle((9, -3), r.uniform(10, 80))


def spline(block):
    n = r.randint(5, 9)
    points = []
    for i in range(n):
        t = 2 * math.pi * i / n
        d = r.uniform(60, 100)
        points.append((d * math.cos(t), d * math.sin(t), 0))
    e = block.add_spline()
    if r.random() < 0.5:
        e.set_closed(points, degree=3)
    else:
        weights = [r.uniform(0.5, 2) for _ in range(n + 1)]
        e.set_open_rational(points + points[:1], weights, degree=3)


def fitted(block):
    """By fit points and end tangents: a drop, its tip where it begins and ends."""
    n = r.randint(4, 8)
    points = []
    for i in range(n + 1):
        t = 2 * math.pi * i / n
        d = r.uniform(70, 100) if 0 < i < n else 120
        points.append((d * math.cos(t), d * math.sin(t), 0))
    e = block.add_spline(fit_points=points)
    e.dxf.start_tangent = (-1, r.uniform(0.2, 1), 0)
    e.dxf.end_tangent = (r.uniform(0.5, 2), 1, 0)


def chords(e):
    kind = e.dxftype()
    if kind == "INSERT":
        for part in e.virtual_entities():
            yield from chords(part)
    elif kind in ("LWPOLYLINE", "POLYLINE"):
        for part in e.virtual_entities():
            yield from chords(part)
    elif kind == "LINE":
        yield [e.dxf.start, e.dxf.end]
    elif kind == "SPLINE":
        # ezdxf's flattening looks at the middle of each chord only.
        tool = e.construction_tool()
        knots = sorted(set(k for k in tool.knots()))
        low, high = tool.knots()[tool.order - 1], tool.knots()[tool.count]
        line = []
        for a, b in zip(knots, knots[1:]):
            if a >= low and b <= high:
                line += [tool.point(a + (b - a) * k / 500) for k in range(500)]
        yield line + [tool.point(high - 1e-12)]
    else:
        yield list(e.flattening(CHORD))


folder, count = sys.argv[1], int(sys.argv[2])
for i in range(count):
    doc = ezdxf.new("R2000" if i % 2 else "R2010")
    doc.header["$INSUNITS"] = 4
    block = doc.blocks.new("PART", base_point=(3, -2))
    kind = r.choice([bulged, loose, ellipse, circle, spline, fitted])
    kind(block)
    even = kind is fitted  # ezdxf scales the points, and only then draws the curve

    def put(to, name, even=False):
        x = r.uniform(0.5, 3) * r.choice([1, -1])
        y = r.choice([abs(x), -x, abs(x) if even else r.uniform(0.5, 3)])
        at = {"xscale": x, "yscale": y, "rotation": r.uniform(0, 360)}
        to.add_blockref(name, (r.uniform(-500, 500), r.uniform(-500, 500)), dxfattribs=at)

    if i % 3 == 0:
        outer = doc.blocks.new("OUTER", base_point=(10, 20))
        put(outer, "PART", even)
        put(doc.modelspace(), "OUTER", even=True)  # ezdxf cannot slant a block
    else:
        put(doc.modelspace(), "PART", even)
    doc.saveas(f"{folder}/{i}.dxf")

    lines = []
    for e in doc.modelspace():
        for line in chords(e):
            points = [(round(p.x, 5), round(p.y, 5)) for p in map(Vec3, line)]
            lines.append(LineString(points))
    shapes = list(polygonize(lines))
    if len(shapes) != 1:  # chords of 1e-5 may miss each other
        print(json.dumps({"area": 0, "length": 0, "box": [0, 0, 0, 0]}))
        continue
    print(json.dumps({"area": shapes[0].area, "length": shapes[0].length, "box": shapes[0].bounds}))
