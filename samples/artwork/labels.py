#!/usr/bin/env python3
"""Makes the demo's artwork: three labels of one size for a small juice bottle.

Hollow Lane and its drinks are invented; so is the article number, under the
prefix that GS1 keeps for examples. Trim 50 x 75 mm, bleed 2 mm, four process
inks, the spot Quince Gold, and a die line on a processing-step layer.
"""
import hashlib
import os
import sys
import zlib

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, "../../testdata/placing"))

import barcode  # noqa: E402
import draw  # noqa: E402
from canvas import MM, Canvas  # noqa: E402
from fonts import Font  # noqa: E402
from pdf import assemble, stream  # noqa: E402

W, H, BLEED, EDGE = 50, 75, 2, 5  # mm; EDGE is paper outside the trim
SPRIG = .62  # mm in a unit of the pattern cell
GOLD, CREAM, INK = ("gold", 100), (2, 4, 15, 0), (0, 0, 0, 100)
DATE = "2026-03-01T09:00:00+00:00"

SORTS = {
    "juice": dict(
        title="Apple Juice", line="CLOUDY · PRESSED FROM WHOLE FRUIT", number="950110153000",
        ground=(80, 34, 90, 38), sprig=(72, 22, 88, 24), sky=((8, 30, 62, 0), (2, 12, 40, 0), (0, 3, 16, 0)),
        facts=["Apple juice from", "whole apples,", "antioxidant:", "ascorbic acid.", "", "Shake well. Once", "open keep cold,", "use in 3 days."]),
    "cider": dict(
        title="Dry Cider", line="STILL · FROM BITTERSWEET APPLES", number="950110153001",
        ground=(26, 94, 76, 40), sprig=(20, 88, 72, 24), sky=((38, 4, 10, 0), (16, 2, 10, 0), (2, 4, 18, 0)),
        facts=["Cider: apple juice,", "yeast. Contains", "sulphites.", "alc. 5.4 % vol", "", "Keep cool.", "Best before end:", "see cap."]),
    "perry": dict(
        title="Pear Perry", line="SPARKLING · SLOWLY FERMENTED", number="950110153002",
        ground=(94, 58, 42, 34), sprig=(84, 42, 36, 18), sky=((2, 36, 30, 0), (0, 18, 26, 0), (0, 4, 16, 0)),
        facts=["Perry: pear juice,", "yeast. Contains", "sulphites.", "alc. 4.8 % vol", "", "Keep cool.", "Best before end:", "see cap."]),
}


def still_life(c, sort):
    if sort == "juice":
        draw.shadow(c, 22, 38.3, 10.5, 1.5)
        draw.shadow(c, 35, 37.7, 8, 1.3)
        red = ((0, 38, 72, 0), (2, 94, 90, 2), (12, 100, 90, 38))
        draw.fruit(c, draw.APPLE, 20.5, 48.2, 10.3, 4, red, (0, 45, 78, 0))
        draw.leaf(c, 21.4, 58.2, 8.6, 14)
        draw.half_apple(c, 34.3, 44.2, 6.9, -14, (5, 96, 90, 10))
    elif sort == "cider":
        green = ((8, 0, 55, 0), (24, 6, 90, 2), (48, 30, 100, 20))
        blush = ((0, 22, 70, 0), (3, 62, 88, 2), (18, 88, 95, 26))
        draw.shadow(c, 17, 38.3, 8.6, 1.4)
        draw.shadow(c, 33, 38.1, 8.6, 1.4)
        draw.fruit(c, draw.APPLE, 33, 46.2, 8.2, -8, green, (10, 35, 80, 0), seed=3)
        draw.leaf(c, 34.4, 54.0, 5.8, 42)
        draw.fruit(c, draw.APPLE, 18, 46.6, 8.8, 7, blush, (0, 80, 85, 5), seed=2)
        draw.leaf(c, 17.9, 55.0, 6.6, 142)
        draw.blossom(c, 25.8, 41.2, 3.0, 10)
        draw.blossom(c, 30.6, 39.6, 2.1, 40)
    else:
        pear = ((4, 2, 60, 0), (16, 14, 92, 0), (34, 42, 100, 16))
        ripe = ((0, 10, 62, 0), (6, 38, 92, 0), (22, 66, 100, 18))
        draw.shadow(c, 18.5, 38.2, 8.6, 1.4)
        draw.shadow(c, 33, 38.0, 8.2, 1.4)
        draw.fruit(c, draw.PEAR, 32.4, 46.4, 8.4, -13, ripe, (0, 60, 90, 4), seed=5)
        draw.leaf(c, 34.8, 56.3, 5.2, 148)
        draw.fruit(c, draw.PEAR, 19, 47.6, 9.2, 5, pear, (24, 30, 95, 4), seed=4)
        draw.leaf(c, 18.4, 58.9, 7.2, 10)
        draw.blossom(c, 26.2, 40.4, 2.6, 0)


def label(sort, s, font):
    c = Canvas()
    c.fill(s["ground"])
    c.rect(-BLEED, -BLEED, W + 2 * BLEED, H + 2 * BLEED)
    c.add("f /Pattern cs /Sprigs scn")
    c.rect(-BLEED, -BLEED, W + 2 * BLEED, H + 2 * BLEED)
    c.add("f")

    # Plain ground behind the words.
    c.fill(s["ground"])
    c.arch(25, 23.7, 48.9, 22.4)
    c.add("f")

    # The window and what is seen through it.
    x, foot, top, r = 25, 37.3, 48.9, 17.6
    c.save()
    c.arch(x, foot, top, r)
    c.add("W n")
    c.shade(2, (0, top + r, 0, foot + 5), *s["sky"])
    c.save()
    c.state("Rays")
    draw.rays(c, x, 47.3, 30, 30, ("gold", 46))
    c.restore()
    c.fill(("gold", 24))
    c.ellipse(x, 47.3, 8.6)
    c.add("f")
    c.place(0, 1.3)
    draw.hill(c, (7, 44.5), (43, 46.4), 36, 3.4, ((42, 8, 62, 2), (56, 14, 84, 6)), 13, (64, 22, 84, 14))
    draw.hill(c, (7, 42.6), (43, 40.6), 36, 1.2, ((36, 2, 76, 0), (62, 14, 96, 10)), 0)
    c.restore()
    for inset, width in ((0, .55), (-1.05, .18)):
        c.stroke(GOLD, width)
        c.arch(x, foot + inset, top, r - inset)
        c.add("S")
    c.save()
    c.place(0, 1.3)
    still_life(c, sort)
    c.restore()

    # The name on its arc, between two rules.
    c.stroke(GOLD, .3)
    c.path((x - 22.4, 36), (x - 22.4, top), (x - 22.4, top + 22.4 * .5523, x - 22.4 * .5523, top + 22.4, x, top + 22.4),
           (x + 22.4 * .5523, top + 22.4, x + 22.4, top + 22.4 * .5523, x + 22.4, top), (x + 22.4, 36))
    c.add("S")
    c.fill(GOLD)
    c.arc_text(font["display"], 3.1, x, top, 19.72, "HOLLOW LANE ORCHARD", .16)
    for side in (-1, 1):
        c.ellipse(x + side * 20.5, 47.4, .45)
        c.add("f")
        c.ellipse(x + side * 20.5, 45.3, .28)
        c.add("f")

    # The title.
    c.fill(CREAM)
    size = 8.3
    size *= min(1, 43 / font["display"].width(s["title"], size))
    c.text(font["display"], size, x, 29.2, s["title"], align="centre")
    c.fill(GOLD)
    width = c.text(font["bold"], 2.1, x, 25.1, s["line"], .12, "centre")
    rule = (44.8 - width) / 2 - 1.4
    c.stroke(GOLD, .18)
    if rule > 1:
        c.path((x - 22.4, 25.85), (x - 22.4 + rule, 25.85))
        c.path((x + 22.4 - rule, 25.85), (x + 22.4, 25.85))
        c.add("S")

    # The facts: white ground for the bars, cream for the words.
    c.fill(CREAM)
    c.rect(2.2, 1.9, 45.6, 21.8, 1)
    c.add("f")
    c.fill((0, 0, 0, 0))
    c.rect(2.2, 1.9, 30.2, 21.8, 1)
    c.add("f")
    c.state("Over")
    barcode.draw(c, font["sans"], 2.4 + 11 * .264, 4.85, s["number"] + barcode.check_digit(s["number"]))
    c.fill(INK)
    y = 21.1
    for words in s["facts"]:
        if words:
            # 2.45 mm has an x-height of 1.22 mm; Regulation (EU) 1169/2011, art. 13, asks for 1.2.
            width = c.text(font["text"], 2.45, 33.2, y, words)
            assert width < 14.2, words
        y -= 2.55 if words else 1.0
    c.state("Plain")

    # Net content: figures of 4 mm.
    mx, my, mr = 41.8, 40.1, 5.4
    c.fill(CREAM)
    c.ellipse(mx, my, mr)
    c.add("f")
    c.fill(GOLD)
    c.ellipse(mx, my, mr - .35)
    c.add("f")
    c.stroke(CREAM, .16)
    c.ellipse(mx, my, mr - .85)
    c.add("S")
    c.fill(INK)
    c.state("Over")
    c.text(font["bold"], 5.75, mx, my - .65, "250", align="centre")
    c.text(font["bold"], 2.8, mx, my - 3.35, "ml", align="centre")
    c.state("Plain")

    # The die line, on a layer of its own.
    c.add("/OC /Die BDC q /Over gs /Cutting CS 1 SCN", .1, "w")
    c.rect(0, 0, W, H, 3)  # as the dies of the demo have it
    c.add("S Q EMC")
    return c


def main():
    with open(os.path.join(HERE, "demo-coated.icc"), "rb") as f:
        profile = f.read()
    for sort, s in SORTS.items():
        letters = "HOLLOW LANE ORCHARD 0123456789" + s["title"] + s["line"] + "".join(s["facts"]) + "ml"
        font = {name: Font(name, letters) for name in ("display", "text", "bold", "sans")}
        c = label(sort, s, font)
        cell = Canvas(SPRIG)
        draw.sprig(cell, s["sprig"])
        write("orchard-%s.pdf" % sort, "Hollow Lane " + s["title"], c, cell, font, profile)


def write(name, title, c, cell, font, profile):
    pt = [round(v * MM, 4) for v in (W + 2 * EDGE, H + 2 * EDGE)]

    def box(out):
        a = EDGE - out
        return " ".join("%.4f" % (v * MM) for v in (a, a, EDGE + W + out, EDGE + H + out))

    content = "q %.8f 0 0 %.8f %.6f %.6f cm\n%s\nQ" % (MM, MM, EDGE * MM, EDGE * MM, "\n".join(c.ops))
    tint = "<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [%s] /N 1 >>"
    spaces = "/Gold [/Separation /Quince#20Gold /DeviceCMYK %s] /Cutting [/Separation /Cutting /DeviceCMYK %s]" % (tint % ".08 .24 .72 .06", tint % "0 1 0 0")
    states = ("/Plain << /OP false /op false /OPM 0 >> /Over << /OP true /op true /OPM 1 >> /Shadow << /ca .42 /BM /Multiply >>"
              " /Streak << /CA .34 >> /Gleam << /ca .5 >> /Rays << /ca .8 >>")
    document = hashlib.sha256(content.encode() + title.encode()).hexdigest()[:32]
    xmp = XMP % dict(title=title, date=DATE, id=document)
    objects = {
        "catalog": "<< /Type /Catalog /Pages @pages /Metadata @xmp /OutputIntents [@intent]\n   /OCProperties << /OCGs [@die] /D << /Name (Default) /Order [@die] >> >> >>",
        "pages": "<< /Type /Pages /Kids [@page] /Count 1 >>",
        "page": "<< /Type /Page /Parent @pages /MediaBox [0 0 %.4f %.4f] /BleedBox [%s] /TrimBox [%s]\n   /Group << /S /Transparency /CS /DeviceCMYK /I true >> /Contents @content /Resources @resources >>" % (*pt, box(BLEED), box(0)),
        "resources": "<< /ColorSpace << %s >> /ExtGState << %s >> /Shading << %s >> /Font << %s >> /Pattern << /Sprigs @sprigs >> /Properties << /Die @die >> >>" % (
            spaces, states, " ".join("/%s %s" % i for i in c.shadings.items()), " ".join("/%s @%s" % (n, n) for n in font)),
        "content": stream("/Filter /FlateDecode", zlib.compress(content.encode("latin-1"), 9)),
        "sprigs": stream("/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 6 8] /XStep 6 /YStep 8 /Resources << >> /Matrix [%.6f 0 0 %.6f %.6f %.6f]" % (
            MM * SPRIG, MM * SPRIG, EDGE * MM, EDGE * MM), "\n".join(cell.ops)),
        "die": "<< /Type /OCG /Name (Die line) /GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /Cutting >> >>",
        "intent": "<< /Type /OutputIntent /S /GTS_PDFX /OutputConditionIdentifier (Demo coated) /Info (Invented press of the demo) /DestOutputProfile @profile >>",
        "profile": stream("/N 4 /Filter /FlateDecode", zlib.compress(profile, 9)),
        "xmp": stream("/Type /Metadata /Subtype /XML", xmp.encode()),
        "info": "<< /Title (%s) /Creator (labels.py) /CreationDate (D:20260301090000Z) /ModDate (D:20260301090000Z) /Trapped /False >>" % title,
    }
    for f in font.values():
        objects.update(f.objects())
    number = list(objects).index("info") + 1
    data = assemble(objects, trailer="/Info %d 0 R /ID [<%s> <%s>]" % (number, document, document))
    with open(os.path.join(HERE, name), "wb") as f:
        f.write(data)


XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/"
 pdfxid:GTS_PDFXVersion="PDF/X-4" pdf:Trapped="False" xmp:CreatorTool="labels.py"
 xmp:CreateDate="%(date)s" xmp:ModifyDate="%(date)s" xmp:MetadataDate="%(date)s"
 xmpMM:DocumentID="uuid:%(id)s" xmpMM:VersionID="1" xmpMM:RenditionClass="default">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%(title)s</rdf:li></rdf:Alt></dc:title>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>"""

main()
