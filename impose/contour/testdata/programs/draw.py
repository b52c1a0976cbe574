"""Draws dies with ezdxf into a folder and prints, for each, what ezdxf says of
what is shown in model space: box and area in mm, and the contours' number.

Run by live_test.go; ezdxf 0.18 or later.
"""

import json, math, os, sys

import ezdxf
from ezdxf import path
from ezdxf.math import rational_bspline_from_arc

folder = sys.argv[1]
UNIT = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}
cases = []


def case(version="R2010", unit=4, gap=0.0, **said):
    def wrap(draw):
        doc = ezdxf.new(version)
        doc.header["$INSUNITS"] = unit
        doc.layers.add("CUT")
        draw(doc, doc.modelspace())
        name = draw.__name__.replace("_", "-") + ".dxf"
        doc.saveas(os.path.join(folder, name))
        hide(os.path.join(folder, name))
        cases.append(measure(name, UNIT[unit], gap, said))
        return draw

    return wrap


# ezdxf neither writes nor reads the code of invisible parts. Circles of this
# radius, in units, are such.
INVISIBLE = 90.0


def hide(file):
    with open(file, "rb") as f:
        text = f.read()
    at = b" 40\n90.0\n"
    if at in text:
        with open(file, "wb") as f:
            f.write(text.replace(at, at + b" 60\n1\n"))


def visible(doc, e):
    if e.dxf.get("paperspace", 0) or e.dxftype() == "CIRCLE" and e.dxf.radius == INVISIBLE:
        return False
    layer = doc.layers.get(e.dxf.layer) if e.dxf.layer in doc.layers else None
    return layer is None or (layer.is_on() and not layer.is_frozen())


def parts(doc, entities, host="0"):
    """All entities that are shown, blocks taken apart; layer 0 is the INSERT's."""
    for e in entities:
        if e.dxf.layer == "0":
            e.dxf.layer = host
        if e.dxftype() == "INSERT":
            layer = doc.layers.get(e.dxf.layer) if e.dxf.layer in doc.layers else None
            if layer is not None and layer.is_frozen():
                continue
            for one in e.multi_insert() if e.mcount > 1 else [e]:
                yield from parts(doc, one.virtual_entities(), e.dxf.layer)
        elif visible(doc, e):
            yield e


def line_of(e):
    """The corners of an entity, as ezdxf's own flattening of arcs and ellipses
    gives them. A spline is asked for over its own stretch of the knots: what
    flattening draws of an unclamped one goes beyond."""
    kind = e.dxftype()
    if kind == "LINE":
        return [(v.x, v.y) for v in (e.dxf.start, e.dxf.end)]
    if kind in ("ARC", "CIRCLE", "ELLIPSE"):
        return [(v.x, v.y) for v in e.flattening(0.0001)]
    if kind in ("LWPOLYLINE", "POLYLINE"):
        line = []
        for part in e.virtual_entities():
            p = line_of(part)
            if line and math.dist(line[-1], p[0]) > math.dist(line[-1], p[-1]):
                p.reverse()  # arcs run against the clock
            line += p[1:] if line else p
        return line
    b = e.construction_tool()
    knots, n = b.knots(), 8000
    first, last = knots[b.degree], knots[-b.degree - 1]
    return [(v.x, v.y) for v in b.points([first + (last - first) * i / n for i in range(n + 1)])]


def measure(name, unit, gap, said):
    """Reads the file anew, and sums the areas of all closed lines."""
    doc = ezdxf.readfile(os.path.join(folder, name))
    faults = [f.message for f in doc.audit().errors]
    loose, closed = [], []
    for e in parts(doc, doc.modelspace()):
        if e.dxftype() in ("TEXT", "POINT", "DIMENSION"):
            continue
        p = line_of(e)
        if math.dist(p[0], p[-1]) < 1e-9 * (1 + abs(p[0][0])):
            closed.append(p[:-1])
        elif getattr(e, "is_closed", False) is True or getattr(e, "closed", False) is True:
            closed.append(p)
        else:
            loose.append(p)
    while loose:  # ends that meet, within the gap
        line = loose.pop()
        while math.dist(line[0], line[-1]) > gap + 1e-6:
            for i, p in enumerate(loose):
                if math.dist(line[-1], p[0]) <= gap + 1e-6:
                    line += p
                elif math.dist(line[-1], p[-1]) <= gap + 1e-6:
                    line += p[::-1]
                else:
                    continue
                del loose[i]
                break
            else:
                sys.exit(f"{name}: an open line")
        closed.append(line)
    xs = [x for p in closed for x, _ in p]
    ys = [y for p in closed for _, y in p]
    area = sum(abs(sum(p[i - 1][0] * p[i][1] - p[i][0] * p[i - 1][1] for i in range(len(p)))) / 2 for p in closed)
    return {
        "File": name, "Faults": faults, "Contours": len(closed), "Area": area * unit * unit,
        "Across": (max(xs) - min(xs)) * unit, "Around": (max(ys) - min(ys)) * unit, **said,
    }


def pill(target, layer="CUT", width=50.0, height=30.0):
    """A label with two half circles, as a light polyline with bulges."""
    r = height / 2
    target.add_lwpolyline([(r, 0, 0), (width - r, 0, 1), (width - r, height, 0), (r, height, 1)],
                          format="xyb", close=True, dxfattribs={"layer": layer})


def leaf(target, layer="CUT"):
    """Two arcs and a line between."""
    target.add_lwpolyline([(0, 0, 0.3), (40, 10, 0.15), (22, 25, 0)], format="xyb", close=True, dxfattribs={"layer": layer})


@case(Layers="CUT", Left="1 part on layer OLD, which is off, 2 parts on layer HOLES, which is frozen, 1 invisible part, 1 TEXT, 1 part in paper space")
def hidden_parts(doc, m):
    doc.layers.add("OLD").off()
    doc.layers.add("HOLES").freeze()
    doc.layers.add("LOCKED").lock()
    pill(m)
    m.add_circle((25, 15), 80, dxfattribs={"layer": "OLD"})
    m.add_circle((15, 15), 3, dxfattribs={"layer": "HOLES"})
    m.add_circle((35, 15), 3, dxfattribs={"layer": "HOLES"})
    m.add_circle((25, 15), INVISIBLE, dxfattribs={"layer": "CUT"})
    m.add_text("60 x 30", dxfattribs={"layer": "CUT"})
    doc.layout().add_circle((0, 0), 200, dxfattribs={"layer": "CUT"})


@case(Layers="LOCKED")
def locked_layer(doc, m):
    doc.layers.add("LOCKED").lock()
    pill(m, "LOCKED")


@case(Layers="CUT", Left="1 part on layer ICE, which is frozen")
def nested_blocks(doc, m):
    doc.layers.add("ICE").freeze()
    inner = doc.blocks.new("LEAF", base_point=(5, 3))
    leaf(inner, "0")
    outer = doc.blocks.new("PAIR")
    outer.add_blockref("LEAF", (0, 0), dxfattribs={"xscale": 0.8, "yscale": 0.8, "rotation": 33, "layer": "0"})
    outer.add_blockref("LEAF", (70, 5), dxfattribs={"xscale": -1.2, "yscale": 1.2, "rotation": -70, "layer": "0"})
    m.add_blockref("PAIR", (12, -7), dxfattribs={"xscale": 1.5, "yscale": 1.5, "rotation": 21, "layer": "CUT"})
    m.add_blockref("PAIR", (300, 300), dxfattribs={"layer": "ICE"})


@case("R2000", Layers="CUT")
def stretched_block(doc, m):
    b = doc.blocks.new("ROUND")
    b.add_circle((0, 0), 10, dxfattribs={"layer": "0"})
    b.add_circle((0, 0), 4, dxfattribs={"layer": "CUT"})
    m.add_blockref("ROUND", (100, 50), dxfattribs={"xscale": 3, "yscale": 1.4, "rotation": 25, "layer": "CUT"})


@case(Layers="CUT")
def rows_and_columns(doc, m):
    b = doc.blocks.new("ONE")
    pill(b, "0", 20, 12)
    m.add_blockref("ONE", (3, 4), dxfattribs={"row_count": 3, "column_count": 2, "row_spacing": 15, "column_spacing": 23, "rotation": 10, "layer": "CUT"})


@case("R2018", Layers="CUT")
def mirrored_by_extrusion(doc, m):
    leaf(m)
    for e in m:
        e.dxf.extrusion = (0, 0, -1)


@case(Layers="CUT")
def rational_spline(doc, m):
    a = rational_bspline_from_arc(center=(30, 20), radius=25, start_angle=200, end_angle=510)
    s = m.add_spline(dxfattribs={"layer": "CUT"})
    s.apply_construction_tool(a)
    ends = a.control_points[-1], a.control_points[0]
    m.add_line(ends[0], ends[1], dxfattribs={"layer": "CUT"})


@case(Layers="CUT")
def splines_of_many_degrees(doc, m):
    at = [(0, 0), (15, -8), (38, -4), (50, 10), (44, 30), (20, 38), (2, 25), (0, 0)]
    for degree in (2, 3, 4, 5):
        shift = [(x + 70 * degree, y) for x, y in at]
        m.add_open_spline(shift, degree, dxfattribs={"layer": "CUT"})


@case(Layers="CUT")
def closed_spline(doc, m):
    m.add_spline(dxfattribs={"layer": "CUT"}).set_closed([(0, 0, 0), (30, -9, 0), (55, 8, 0), (42, 40, 0), (10, 33, 0)], 3)


@case("R2000", unit=1, Layers="CUT")
def inches(doc, m):
    m.add_polyline2d([(0, 0, 0), (2.75, 0, 0.41421356237309503), (3, 0.25, 0), (3, 1.5, 0), (0, 1.5, 0)], format="xyb", close=True, dxfattribs={"layer": "CUT"})


@case(unit=5, Layers="CUT")
def centimetres(doc, m):
    m.add_ellipse((4, 3), (3, 1, 0), 0.6, dxfattribs={"layer": "CUT"})


@case(gap=0.06, Layers="CUT", Gaps=1)
def small_gap(doc, m):
    layer = {"layer": "CUT"}
    m.add_line((0, 0), (40, 0), dxfattribs=layer)
    m.add_arc((40, 15), 15, -90, 90, dxfattribs=layer)
    m.add_line((0, 30), (40, 30), dxfattribs=layer)
    m.add_line((0, 29.95), (0, 0), dxfattribs=layer)


@case("R2000", Layers="Außenkontur")
def western_letters(doc, m):
    doc.layers.add("Außenkontur")
    pill(m, "Außenkontur")


json.dump(cases, sys.stdout)
