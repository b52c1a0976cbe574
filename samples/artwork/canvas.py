"""Draws a label in millimetres from the lower left corner of its trim, y up."""
import math

MM = 72 / 25.4
THINNEST = 0.09  # mm, a little over a quarter of a point: what every press holds


class Canvas:
    def __init__(self, scale=1):
        self.ops, self.shadings = [], {}
        self.scale, self.scales = scale, []  # of the space drawn in, and those saved

    def add(self, *words):
        self.ops.append(" ".join(w if isinstance(w, str) else ("%.4f" % w).rstrip("0").rstrip(".") for w in words))

    # Colours: (c, m, y, k) in per cent, or ("gold", per cent).
    def fill(self, colour):
        if colour[0] == "gold":
            self.add("/Gold cs", colour[1] / 100, "scn")
        else:
            self.add(*[v / 100 for v in colour], "k")

    def stroke(self, colour, width):
        width = round(max(width, THINNEST / self.scale), 4)
        if colour[0] == "gold":
            self.add("/Gold CS", colour[1] / 100, "SCN")
        else:
            self.add(*[v / 100 for v in colour], "K")
        self.add(width, "w")

    def save(self):
        self.scales.append(self.scale)
        self.add("q")

    def restore(self):
        self.scale = self.scales.pop()
        self.add("Q")

    def place(self, x, y, size=1, turn=0):
        self.scale *= size
        c, s = size * math.cos(math.radians(turn)), size * math.sin(math.radians(turn))
        self.add(c, s, -s, c, x, y, "cm")

    def state(self, name):
        self.add("/" + name, "gs")

    # Paths
    def path(self, *steps):
        """Steps are (x, y) to start, (x, y) for lines, six numbers for curves."""
        for i, step in enumerate(steps):
            self.add(*step, "m" if i == 0 else "l" if len(step) == 2 else "c")

    def rect(self, x, y, w, h, r=0):
        if not r:
            self.add(x, y, w, h, "re")
            return
        k = r * 0.4477
        self.path((x + r, y), (x + w - r, y), (x + w - k, y, x + w, y + k, x + w, y + r), (x + w, y + h - r),
                  (x + w, y + h - k, x + w - k, y + h, x + w - r, y + h), (x + r, y + h),
                  (x + k, y + h, x, y + h - k, x, y + h - r), (x, y + r), (x, y + k, x + k, y, x + r, y))
        self.add("h")

    def ellipse(self, x, y, rx, ry=None):
        ry = ry or rx
        a, b = rx * 0.5523, ry * 0.5523
        self.path((x + rx, y), (x + rx, y + b, x + a, y + ry, x, y + ry), (x - a, y + ry, x - rx, y + b, x - rx, y),
                  (x - rx, y - b, x - a, y - ry, x, y - ry), (x + a, y - ry, x + rx, y - b, x + rx, y))
        self.add("h")

    def arch(self, x, foot, top, r):
        """A window: straight sides from foot to top, a half circle of radius r above."""
        k = r * 0.5523
        self.path((x - r, foot), (x + r, foot), (x + r, top), (x + r, top + k, x + k, top + r, x, top + r),
                  (x - k, top + r, x - r, top + k, x - r, top), (x - r, foot))
        self.add("h")

    def shade(self, kind, coords, *colours):
        """Paints a shading over the clip, through evenly spaced CMYK colours."""
        pairs = ["<< /FunctionType 2 /Domain [0 1] /C0 [%s] /C1 [%s] /N 1 >>" % tuple(" ".join("%g" % (v / 100) for v in c) for c in p)
                 for p in zip(colours, colours[1:])]
        n = len(pairs)
        function = pairs[0] if n == 1 else "<< /FunctionType 3 /Domain [0 1] /Functions [%s] /Bounds [%s] /Encode [%s] >>" % (
            " ".join(pairs), " ".join("%.4g" % (i / n) for i in range(1, n)), "0 1 " * n)
        name = "S%d" % len(self.shadings)
        self.shadings[name] = "<< /ShadingType %d /ColorSpace /DeviceCMYK /Coords [%s] /Extend [true true] /Function %s >>" % (
            kind, " ".join("%g" % v for v in coords), function)
        self.add("/" + name, "sh")

    # Text
    def text(self, font, size, x, y, words, spacing=0, align="left"):
        width = font.width(words, size, spacing)
        x -= {"left": 0, "centre": width / 2, "right": width}[align]
        glyphs = font.shape(words, spacing)
        advance = {g: font.font["hmtx"][font.font.getGlyphName(g)][0] / font.em for g, _, _ in glyphs}
        run = "".join("<%04X>%.0f " % (g, (advance[g] - a) * 1000) for g, a, _ in glyphs)
        self.add("BT /%s" % font.name, size, "Tf", x, y, "Td [%s] TJ ET" % run)
        return width

    def arc_text(self, font, size, x, y, r, words, spacing=0):
        """Words along a circle of radius r about (x, y), centred at its top."""
        at = -font.width(words, size, spacing) / 2
        self.add("BT /%s" % font.name, size, "Tf")
        for g, advance, _ in font.shape(words, spacing):
            mid = (at + (advance - spacing) * size / 2) / r
            half = (advance - spacing) * size / 2
            c, s = math.cos(-mid), math.sin(-mid)
            px, py = x + r * math.sin(mid), y + r * math.cos(mid)
            self.add(c, s, -s, c, px - half * c, py - half * s, "Tm <%04X> Tj" % g)
            at += advance * size
        self.add("ET")
