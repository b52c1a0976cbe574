#!/usr/bin/env python3
"""Writes the PDFs of this folder, probes.json and the table in README.md.

Each file holds one thing that goes wrong when a page is placed on another.
A probe is a point in points from the top left of the page as shown, with the
colour that renderers must show there ("rgb") or the inks that Ghostscript's
tiffsep must put there, in per cent ("inks"; an ink not named is 0).
"""
import json
import os
import subprocess
import zlib

import icc
import images
from pdf import assemble, stream

HERE = os.path.dirname(os.path.abspath(__file__))
RED, GREEN, BLUE, WHITE, BLACK, GREY = (255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 255), (0, 0, 0), (128, 128, 128)
TINT = "<< /FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [%s] /N 1 >>"
GOLD = "[/Separation /Quince#20Gold /DeviceCMYK " + TINT % "0 .25 .85 .1" + "]"
HEDGE = "[/Separation /Hedge#20Green /DeviceCMYK " + TINT % ".8 .1 1 .2" + "]"
WHITEINK = "[/Separation /White /DeviceCMYK " + TINT % ".05 0 0 0" + "]"
CUTTING = "[/Separation /Cutting /DeviceCMYK " + TINT % "0 1 0 0" + "]"

rows, files = [], {}


def write(name, teaches, clause, content="", box="0 0 100 100", resources="", page="", pages="", catalog="",
          objects={}, contents=None, rgb=[], inks=[], skip="", own_resources=True, trailer=""):
    """One single-page PDF. skip names renderers whose picture is known to be wrong."""
    own = "/Resources << %s >>" % resources if own_resources else ""
    media = "/MediaBox [%s]" % box if box else ""
    all_objects = {
        "catalog": "<< /Type /Catalog /Pages @pages %s >>" % catalog,
        "pages": "<< /Type /Pages /Kids [@page] /Count 1 %s >>" % pages,
        "page": "<< /Type /Page /Parent @pages %s %s\n   /Contents %s %s >>" % (media, own, contents or "@content", page),
    }
    if not contents:
        all_objects["content"] = stream("", content)
    all_objects.update(objects)
    data = assemble(all_objects, "%s: %s\n%s" % (name, teaches, clause), trailer)
    keep(name, teaches, clause, data, rgb, inks, skip)


def keep(name, teaches, clause, data, rgb=[], inks=[], skip=""):
    assert name not in files, name
    files[name] = data
    rows.append({
        "file": name, "teaches": teaches, "clause": clause, "skip": skip.split(),
        "probes": [{"x": x, "y": y, "rgb": c} for x, y, c in rgb] + [{"x": x, "y": y, "inks": i} for x, y, i in inks],
    })


def form(entries, content, resources=""):
    return stream("/Type /XObject /Subtype /Form %s /Resources << %s >>" % (entries, resources), content)


def square(colour, x, y, w=20, h=20):
    return "%s %g %g %g %g re f\n" % (colour, x, y, w, h)


# --- Patterns -------------------------------------------------------------

CELL = "/Type /Pattern /PatternType 1 /PaintType %d /TilingType 1 /BBox [0 0 20 20] /XStep 20 /YStep 20 /Resources << >> %s"
write("pattern-tiling.pdf", "a pattern's matrix starts from the form it is used in, not from the page below",
      "ISO 32000-1 8.7.2", "/Pattern cs /P scn 0 0 100 100 re f", resources="/Pattern << /P @cell >>",
      objects={"cell": stream(CELL % (1, ""), "1 0 0 rg 0 0 10 10 re f")},
      rgb=[(5, 95, RED), (15, 95, WHITE), (5, 85, WHITE), (25, 75, RED)])
write("pattern-uncoloured.pdf", "an uncoloured pattern takes its spot ink from the place of use",
      "ISO 32000-1 8.7.3.3", "/U cs 1 /P scn 0 0 100 100 re f",
      resources="/Pattern << /P @cell >> /ColorSpace << /U [/Pattern %s] >>" % GOLD,
      objects={"cell": stream(CELL % (2, "/Matrix [1 0 0 1 10 0]"), "0 0 10 10 re f")},
      inks=[(15, 95, {"Quince Gold": 100}), (5, 95, {}), (15, 75, {"Quince Gold": 100})])
write("pattern-in-form.pdf", "a pattern of an inner form starts from the inner form's matrix",
      "ISO 32000-1 8.7.3.1", "/F Do", resources="/XObject << /F @inner >>",
      objects={"inner": form("/BBox [0 0 80 80] /Matrix [1 0 0 1 10 10]", "/Pattern cs /P scn 0 0 80 80 re f", "/Pattern << /P @cell >>"),
               "cell": stream(CELL % (1, "/Matrix [.5 0 0 .5 0 0]"), "0 0 1 rg 0 0 10 10 re f")},
      rgb=[(12, 88, BLUE), (17, 88, WHITE), (22, 88, BLUE), (12, 83, WHITE)])
write("pattern-rotated.pdf", "a pattern with a matrix on a turned page off the origin: the form's matrix turns the pattern too (TV-P4)",
      "ISO 32000-1 8.7.2, 7.7.3.3", "/Pattern cs /P scn 5 7 100 200 re f", box="5 7 105 207", page="/Rotate 90", resources="/Pattern << /P @cell >>",
      objects={"cell": stream(CELL % (1, "/Matrix [2 0 0 2 5 7]"), "1 0 0 rg 0 0 10 5 re f 0 0 1 rg 0 10 5 10 re f")},
      rgb=[(5, 5, RED), (5, 15, RED), (15, 5, WHITE), (25, 5, BLUE), (35, 5, BLUE), (25, 15, WHITE), (45, 45, RED)])
write("pattern-userunit.pdf", "a shading as pattern on a page with UserUnit 2", "ISO 32000-1 8.7.2, 7.7.3.3",
      "/Pattern cs /P scn 0 0 50 50 re f", box="0 0 50 50", page="/UserUnit 2", skip="poppler",
      resources="/Pattern << /P << /PatternType 2 /Shading << /ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 50 0] /Function"
                " << /FunctionType 2 /Domain [0 1] /C0 [1 0 0] /C1 [0 0 1] /N 1 >> >> >> >>",
      rgb=[(2, 50, (249, 0, 6)), (50, 50, (128, 0, 128)), (97, 50, (6, 0, 249))])

# --- Transparency ---------------------------------------------------------

write("softmask-luminosity.pdf", "a soft mask stays where the gs operator set it, under the matrix of that moment",
      "ISO 32000-1 11.6.5.2", "q 1 0 0 1 50 0 cm /M gs 1 0 0 1 -50 0 cm 0 0 1 rg 0 0 100 100 re f Q",
      resources="/ExtGState << /M << /SMask << /Type /Mask /S /Luminosity /G @mask >> >> >>",
      objects={"mask": form("/BBox [0 0 50 100] /Group << /S /Transparency /CS /DeviceGray >>", "1 g 0 0 25 100 re f .5 g 25 0 25 50 re f")},
      rgb=[(25, 50, WHITE), (60, 50, BLUE), (85, 25, WHITE)])
write("softmask-rotated.pdf", "a soft mask on a turned page off the origin", "ISO 32000-1 11.6.5.2, 7.7.3.3",
      "/M gs 0 0 1 rg 5 7 100 200 re f", box="5 7 105 207", page="/Rotate 270",
      resources="/ExtGState << /M << /SMask << /Type /Mask /S /Luminosity /G @mask >> >> >>",
      objects={"mask": form("/BBox [5 7 105 207] /Group << /S /Transparency /CS /DeviceGray >>", "1 g 5 7 30 50 re f")},
      rgb=[(190, 90, BLUE), (155, 75, BLUE), (145, 90, WHITE), (190, 65, WHITE), (10, 10, WHITE)])
write("softmask-alpha.pdf", "a soft mask of alpha, within a group", "ISO 32000-1 11.6.5.2", "/F Do",
      resources="/XObject << /F @inner >>",
      objects={"inner": form("/BBox [0 0 100 100] /Group << /S /Transparency >>", "/M gs 1 0 0 rg 0 0 100 100 re f",
                             "/ExtGState << /M << /SMask << /Type /Mask /S /Alpha /G @mask >> >> >>"),
               "mask": form("/BBox [0 0 100 100] /Group << /S /Transparency >>", "0 g 10 10 30 30 re f")},
      rgb=[(25, 75, RED), (60, 50, WHITE)])
write("softmask-image.pdf", "an image with a soft mask of its own", "ISO 32000-1 11.6.5.3",
      "0 1 0 rg 0 0 100 50 re f q 80 0 0 80 10 10 cm /I Do Q", resources="/XObject << /I @image >>",
      objects={"image": stream("/Type /XObject /Subtype /Image /Width 1 /Height 1 /ColorSpace /DeviceRGB /BitsPerComponent 8 /SMask @mask /Filter /ASCIIHexDecode", "FF0000>"),
               "mask": stream("/Type /XObject /Subtype /Image /Width 2 /Height 1 /ColorSpace /DeviceGray /BitsPerComponent 8 /Filter /ASCIIHexDecode", "00FF>")},
      rgb=[(20, 75, GREEN), (80, 75, RED), (80, 20, RED), (20, 20, WHITE)])

GROUP = "/Group << /S /Transparency %s >>"
MULTIPLY = "/ExtGState << /X << /BM /Multiply >> >>"
for name, entries, teaches in [
        ("group-isolated", "/CS /DeviceCMYK /I true", "an isolated page group: its blending doesn't see what lies below the artwork"),
        ("group-nonisolated", "/CS /DeviceCMYK /I false", "a page group that says it isn't isolated: as a page it is all the same, as a form it isn't"),
        ("group-knockout", "/CS /DeviceCMYK /I true /K true", "a knockout page group: later objects replace earlier ones")]:
    both = {"Yellow": 100} if "knockout" in name else {"Magenta": 100, "Yellow": 100}
    write(name + ".pdf", teaches, "ISO 32000-1 11.4.7, 11.6.6", "/X gs 0 1 0 0 k 10 10 50 50 re f 0 0 1 0 k 40 40 50 50 re f",
          page=GROUP % entries, resources=MULTIPLY,
          inks=[(20, 80, {"Magenta": 100}), (80, 20, {"Yellow": 100}), (50, 50, both), (95, 95, {})])
write("group-blend-space.pdf", "the page group's colour space decides what blending gives: screen of red and cyan in RGB",
      "ISO 32000-1 11.6.6 (Table 147), 11.3.4", "0 1 1 rg 10 10 50 50 re f /X gs 1 0 0 rg 40 40 50 50 re f",
      page=GROUP % "/CS /DeviceRGB", resources="/ExtGState << /X << /BM /Screen >> >>",
      rgb=[(20, 80, (0, 255, 255)), (50, 50, WHITE)])
write("group-none-alpha.pdf", "no page group at all, constant alpha and a blend mode in plain content",
      "ISO 32000-1 11.6.6", "0 0 1 rg 10 10 50 50 re f /X gs 1 0 0 rg 40 40 50 50 re f",
      resources="/ExtGState << /X << /ca .5 /BM /Normal >> >>",
      rgb=[(20, 80, BLUE), (80, 20, (255, 128, 128)), (50, 50, (128, 0, 128))])
K = "BT /F 40 Tf 10 30 Td (HL) Tj ET 0 0 0 1 k 10 70 20 20 re f"
for name, entries, teaches, inks in [
        ("black-in-rgb-group", "/CS /DeviceRGB /I true", "black text in an RGB page group is converted and comes out in four inks: warn or refuse (TV-P13)", None),
        ("black-in-nonisolated-rgb-group", "/CS /DeviceRGB", "the same group not isolated: as a form its space is ignored and black stays black (TV-P14)", None),
        ("black-in-cmyk-group", "/CS /DeviceCMYK /I true", "the same in a CMYK page group: black stays one ink (TV-P14)", {"Black": 100})]:
    write(name + ".pdf", teaches, "ISO 32000-1 11.6.6 (Table 147)", "0 0 0 1 k 10 70 20 20 re f 1 0 0 rg 60 60 30 30 re f",
          page=GROUP % entries, inks=[(20, 20, inks)] if inks else [], rgb=[(95, 5, WHITE)])

# --- Default colour spaces ------------------------------------------------

write("default-gray.pdf", "DefaultGray turns plain grey into a spot ink", "ISO 32000-1 8.6.5.6", "0 g 10 10 30 30 re f .5 g 60 60 30 30 re f",
      resources="/ColorSpace << /DefaultGray [/CalGray << /WhitePoint [.9505 1 1.089] /Gamma 4 >>] >>",
      rgb=[(25, 75, BLACK), (5, 5, WHITE)])
write("default-rgb.pdf", "DefaultRGB is a profile with red and green exchanged: without it the artwork shows the wrong colours",
      "ISO 32000-1 8.6.5.6", "1 0 0 rg 10 10 30 30 re f 0 0 1 rg 60 60 30 30 re f",
      resources="/ColorSpace << /DefaultRGB [/ICCBased @swapped] >>", skip="mupdf",
      objects={"swapped": stream("/N 3 /Alternate /DeviceRGB", icc.rgb("Red and green exchanged", icc.GREEN, icc.RED, icc.BLUE))},
      rgb=[(25, 75, GREEN), (75, 25, BLUE)])
write("default-rgb-inherited.pdf", "the same with resources that the page inherits", "ISO 32000-1 8.6.5.6, 7.7.3.4",
      "1 0 0 rg 10 10 30 30 re f", own_resources=False, pages="/Resources << /ColorSpace << /DefaultRGB [/ICCBased @swapped] >> >>",
      objects={"swapped": stream("/N 3 /Alternate /DeviceRGB", icc.rgb("Red and green exchanged", icc.GREEN, icc.RED, icc.BLUE))},
      rgb=[(25, 75, GREEN)], skip="mupdf")
write("default-cmyk.pdf", "DefaultCMYK as a profile: process colours are no longer the press's own", "ISO 32000-1 8.6.5.6",
      "1 0 0 0 k 10 10 30 30 re f 0 0 0 1 k 60 60 30 30 re f",
      resources="/ColorSpace << /DefaultCMYK [/ICCBased @press] >>",
      objects={"press": stream("/N 4 /Alternate /DeviceCMYK", icc.cmyk("Two-point CMYK"))}, rgb=[(5, 5, WHITE)])

# --- Boxes, rotation, size ------------------------------------------------

# Red at the lower left, green along the lower right, blue up the left side.
CORNERS = square("1 0 0 rg", 5, 7) + square("0 1 0 rg", 75, 7, 30, 10) + square("0 0 1 rg", 5, 177, 10, 30)
for name, turn, probes in [
        ("0", 0, [(10, 190, RED), (85, 195, GREEN), (5, 15, BLUE)]),
        ("90", 90, [(10, 10, RED), (5, 85, GREEN), (185, 5, BLUE)]),
        ("180", 180, [(90, 10, RED), (15, 5, GREEN), (95, 185, BLUE)]),
        ("270", 270, [(190, 90, RED), (195, 15, GREEN), (15, 95, BLUE)])]:
    for alias, value in {"0": [("0", 0)], "90": [("90", 90), ("450", 450)], "180": [("180", 180)], "270": [("270", 270), ("minus-90", -90)]}[name]:
        write("rotate-%s.pdf" % alias, "/Rotate %d with a box that doesn't start at 0,0 (TV-P3)" % value, "ISO 32000-1 7.7.3.3 (Table 30)",
              CORNERS, box="5 7 105 207", page="/Rotate %d" % value, rgb=probes)
write("rotate-inherited.pdf", "/Rotate and /MediaBox come from the page tree", "ISO 32000-1 7.7.3.4", CORNERS, box="",
      pages="/Rotate 90 /MediaBox [5 7 105 207]", rgb=[(10, 10, RED), (5, 85, GREEN), (185, 5, BLUE)])
write("userunit-2.pdf", "/UserUnit 2: a page of 50 x 50 units is 100 x 100 pt (TV-P7)", "ISO 32000-1 7.7.3.3 (Table 30), 14.11.2",
      square("1 0 0 rg", 0, 0, 10, 10) + square("0 0 1 rg", 40, 30, 10, 20), box="0 0 50 50", page="/UserUnit 2 /TrimBox [5 5 45 45]",
      rgb=[(10, 90, RED), (90, 20, BLUE), (50, 50, WHITE)], skip="poppler")
write("userunit-rotate.pdf", "/UserUnit and /Rotate together, box off the origin", "ISO 32000-1 7.7.3.3 (Table 30)",
      square("1 0 0 rg", 10, 20, 10, 10) + square("0 0 1 rg", 10, 60, 10, 10), box="10 20 60 70", page="/UserUnit 2 /Rotate 90",
      rgb=[(10, 10, RED), (90, 10, BLUE)], skip="poppler")
write("boxes-five.pdf", "five boxes, all different, with a negative origin", "ISO 32000-1 14.11.2",
      square("1 0 0 rg", 0, 0) + square("0 0 1 rg", 60, 120, 10, 20), box="-20 -30 120 190",
      page="/CropBox [-15 -25 110 180] /BleedBox [-10 -10 90 160] /TrimBox [0 0 80 150] /ArtBox [10 10 70 140]",
      rgb=[(25, 170, RED), (80, 45, BLUE)])
write("boxes-beyond-media.pdf", "crop, bleed and trim reach beyond the media box and count only where they meet it", "ISO 32000-1 14.11.2.1",
      square("1 0 0 rg", 0, 0) + square("0 0 1 rg", 80, 90, 20, 10),
      page="/CropBox [-50 -50 500 500] /BleedBox [-9 -9 109 109] /TrimBox [0 0 100 300]", rgb=[(10, 90, RED), (90, 5, BLUE)])
write("boxes-crop-inside.pdf", "a crop box smaller than the media box hides nothing from a press that asks for the bleed", "ISO 32000-1 14.11.2",
      square("1 0 0 rg", 0, 0) + square("0 0 1 rg", 40, 40), page="/CropBox [30 30 70 70] /TrimBox [30 30 70 70] /BleedBox [20 20 80 80]",
      rgb=[(20, 20, BLUE), (5, 35, WHITE)])
write("boxes-reversed.pdf", "a box given by its other two corners, with broken numbers", "ISO 32000-1 7.9.5",
      square("1 0 0 rg", 0, 0) + square("0 0 1 rg", 80, 90, 20, 10), box="100.0 0 0.0 100", page="/TrimBox [95.5 4.25 4.25 95.5]",
      rgb=[(10, 90, RED), (90, 5, BLUE)])

# --- Annotations ----------------------------------------------------------

NOTE = "<< /Type /Annot /Subtype /Stamp /F %d /Rect [200 300 250 400] /AP << /N %s >> %s >>"
LOOK = form("/BBox [0 0 100 50] /Matrix [0 1 -1 0 0 0]", square("1 0 0 rg", 0, 0, 100, 50) + square("0 0 1 rg", 0, 0, 10, 10))
for name, flags, teaches, seen in [
        ("annotation-prints", 4, "an annotation that prints, placed by its matrix and rectangle (TV-P5)", RED),
        ("annotation-hidden", 6, "an annotation that is hidden although its print flag is set", WHITE)]:
    write(name + ".pdf", teaches, "ISO 32000-1 12.5.3, 12.5.5", square("0 1 0 rg", 0, 0), box="0 0 300 450", page="/Annots [@note]",
          objects={"note": NOTE % (flags, "@look", ""), "look": LOOK},
          rgb=[(10, 440, GREEN), (225, 60, seen)] + ([(245, 145, BLUE)] if seen == RED else []))
write("annotation-screen-only.pdf", "an annotation without the print flag: seen on screen, not on the press", "ISO 32000-1 12.5.3",
      square("0 1 0 rg", 0, 0), box="0 0 300 450", page="/Annots [@note]",
      objects={"note": NOTE % (0, "@look", ""), "look": LOOK}, rgb=[(10, 440, GREEN), (225, 60, WHITE)], skip="mupdf poppler")
write("annotation-state.pdf", "an appearance with states: /AS chooses the one that prints", "ISO 32000-1 12.5.5",
      square("0 1 0 rg", 0, 0), box="0 0 300 450", page="/Annots [@note]",
      objects={"note": NOTE % (4, "<< /On @look /Off @off >>", "/AS /On"), "look": LOOK, "off": form("/BBox [0 0 9 9]", "0 g 0 0 9 9 re f")},
      rgb=[(10, 440, GREEN), (225, 60, RED)])

# --- Layers ---------------------------------------------------------------

LAYERED = square("0 1 0 rg", 0, 0) + "/OC /L BDC " + square("1 0 0 rg", 40, 40) + "EMC\n"
OCG = "<< /Type /OCG /Name (Notes) %s >>"
for name, off, colour in [("layer-on", "", RED), ("layer-off", "/OFF [@layer]", WHITE)]:
    write(name + ".pdf", "a layer named Notes, %s: layers of equal name in two artworks stay apart (TV-P6)" % name[6:].upper(),
          "ISO 32000-1 8.11.4.3", LAYERED, resources="/Properties << /L @layer >>",
          catalog="/OCProperties << /OCGs [@layer] /D << /Name (Default) /Order [@layer] %s >> >>" % off,
          objects={"layer": OCG % ""}, rgb=[(10, 90, GREEN), (50, 50, colour)])
write("layer-form-off.pdf", "a layer that is off, named by a form's /OC and not in the content (TV-P6c)", "ISO 32000-1 8.11.3.3",
      square("0 1 0 rg", 0, 0) + "/F Do", resources="/XObject << /F @inner >>",
      catalog="/OCProperties << /OCGs [@layer] /D << /Name (Default) /Order [@layer] /OFF [@layer] >> >>",
      objects={"layer": OCG % "", "inner": form("/BBox [0 0 100 100] /OC @layer", square("1 0 0 rg", 40, 40))},
      rgb=[(10, 90, GREEN), (50, 50, WHITE)], skip="gs")
write("layer-base-off.pdf", "/BaseState /OFF with one layer switched on", "ISO 32000-1 8.11.4.3",
      LAYERED + "/OC /M BDC " + square("0 0 1 rg", 70, 70) + "EMC", resources="/Properties << /L @layer /M @second >>",
      catalog="/OCProperties << /OCGs [@layer @second] /D << /Name (Default) /BaseState /OFF /ON [@second] /Order [@layer @second] >> >>",
      objects={"layer": OCG % "", "second": "<< /Type /OCG /Name (Art) >>"}, rgb=[(10, 90, GREEN), (50, 50, WHITE), (80, 20, BLUE)])
write("layer-membership.pdf", "a membership dictionary: shown when all its layers are off", "ISO 32000-1 8.11.2.2", LAYERED,
      resources="/Properties << /L @members >>",
      catalog="/OCProperties << /OCGs [@layer @second] /D << /Name (Default) /Order [@layer @second] /OFF [@layer] >> >>",
      objects={"members": "<< /Type /OCMD /OCGs [@layer @second] /P /AllOff >>", "layer": OCG % "", "second": "<< /Type /OCG /Name (Art) >>"},
      rgb=[(10, 90, GREEN), (50, 50, WHITE)])
write("layer-step.pdf", "a processing step: the die line lies on a layer that says so", "ISO 19593-1 (metadata key from memory, not checked)",
      square("0 1 0 rg", 0, 0) + "/OC /L BDC /C CS 1 SCN 2 w /O gs 20 20 60 60 re S EMC",
      resources="/Properties << /L @layer >> /ColorSpace << /C %s >> /ExtGState << /O << /OP true /op true >> >>" % CUTTING,
      catalog="/OCProperties << /OCGs [@layer] /D << /Name (Default) /Order [@layer] >> >>",
      objects={"layer": "<< /Type /OCG /Name (Die line) /GTS_Metadata << /GTS_ProcStepsGroup /Structural /GTS_ProcStepsType /Cutting >> >>"},
      inks=[(20, 50, {"Cutting": 100}), (50, 50, {})], rgb=[(10, 90, GREEN)])

# --- Inks and overprint ---------------------------------------------------

OVER = "/ExtGState << /O << /OP true /op true /OPM %d >> >>"
for mode, magenta in [(1, 100), (0, 0)]:
    write("overprint-mode-%d.pdf" % mode, "overprint mode %d: a zero of CMYK %s what lies below" % (mode, "keeps" if mode else "erases"),
          "ISO 32000-1 8.6.7, 11.7.4.3", "0 1 0 0 k 10 10 60 60 re f /O gs 1 0 0 0 k 40 40 50 50 re f", resources=OVER % mode,
          inks=[(20, 80, {"Magenta": 100}), (50, 50, {"Cyan": 100, "Magenta": magenta}), (80, 20, {"Cyan": 100})])
write("overprint-spot.pdf", "a spot that overprints keeps the process inks below; one that doesn't, erases them", "ISO 32000-1 8.6.7",
      "1 0 0 0 k 10 10 80 40 re f /S cs 1 scn 20 20 20 50 re f /O gs 60 20 20 50 re f",
      resources="/ColorSpace << /S %s >> " % GOLD + OVER % 0,
      inks=[(30, 70, {"Quince Gold": 100}), (70, 70, {"Cyan": 100, "Quince Gold": 100}), (15, 85, {"Cyan": 100})])
for name, state, group, teaches in [
        ("underprint-plain", "/O gs", "", "over a white flood, no group, overprinting: white survives (TV-P8)"),
        ("underprint-nonisolated", "/O gs", GROUP % "/CS /DeviceCMYK", "over a white flood, group not isolated, overprinting: white survives (TV-P8)"),
        ("underprint-isolated", "/O gs", GROUP % "/CS /DeviceCMYK /I true", "over a white flood, isolated group: white is lost although all overprints (TV-P8)"),
        ("underprint-knockout", "", "", "sets no overprint: over a white flood it knocks out, and it mustn't inherit overprint from the frame (TV-P9, TV-P12)")]:
    write(name + ".pdf", teaches, "ISO 32000-1 11.6.6, 8.6.7", state + " 0 1 0 0 k 25 25 50 50 re f", page=group, resources=OVER % 1,
          inks=[(50, 50, {"Magenta": 100}), (5, 5, {})])
write("spots.pdf", "two spots, a white ink and a die line, each by its own name", "ISO 32000-1 8.6.6.4",
      "/A cs 1 scn 0 0 40 40 re f /B cs .5 scn 60 0 40 40 re f /W cs 1 scn 0 60 40 40 re f /C cs 1 scn 60 60 40 40 re f",
      resources="/ColorSpace << /A %s /B %s /W %s /C %s >>" % (GOLD, HEDGE, WHITEINK, CUTTING),
      inks=[(20, 80, {"Quince Gold": 100}), (80, 80, {"Hedge Green": 50}), (20, 20, {"White": 100}), (80, 20, {"Cutting": 100})])
write("spot-names.pdf", "names with spaces, a slash, brackets and letters beyond ASCII", "ISO 32000-1 7.3.5, 8.6.6.4",
      "/A cs 1 scn 0 0 40 40 re f /B cs 1 scn 60 0 40 40 re f",
      resources="/ColorSpace << /A %s /B %s >>" % (GOLD.replace("Quince#20Gold", "Gr#C3#BCn#20#281#29"), GOLD.replace("Quince#20Gold", "Up#2FDown#20#23#32")),
      inks=[(20, 80, {"Grün (1)": 100}), (80, 80, {"Up/Down #2": 100})])
write("spot-doubles.pdf", "one ink under two names that differ in case: likely a double", "ISO 32000-1 8.6.6.4",
      "/A cs 1 scn 0 0 40 40 re f /B cs 1 scn 60 0 40 40 re f",
      resources="/ColorSpace << /A %s /B %s >>" % (GOLD, GOLD.replace("Quince#20Gold", "QUINCE#20GOLD")),
      inks=[(20, 80, {"Quince Gold": 100}), (80, 80, {"QUINCE GOLD": 100})])
write("separation-all.pdf", "/All marks every plate", "ISO 32000-1 8.6.6.4", "/S cs 1 scn 0 0 10 10 re f /A cs 1 scn 40 40 20 20 re f",
      resources="/ColorSpace << /S %s /A [/Separation /All /DeviceCMYK %s] >>" % (GOLD, TINT % "1 1 1 1"),
      inks=[(50, 50, {i: 100 for i in ["Cyan", "Magenta", "Yellow", "Black", "Quince Gold"]}), (5, 95, {"Quince Gold": 100})])
write("separation-none.pdf", "/None prints nothing at all", "ISO 32000-1 8.6.6.4", "0 1 0 rg 0 0 20 20 re f /N cs 1 scn 40 40 20 20 re f",
      resources="/ColorSpace << /N [/Separation /None /DeviceCMYK %s] >>" % (TINT % "0 0 0 1"), rgb=[(50, 50, WHITE), (10, 90, GREEN)], skip="mupdf")
write("devicen.pdf", "DeviceN of one process ink and two spots", "ISO 32000-1 8.6.6.5",
      "/N cs 1 0 0 scn 0 0 30 100 re f 0 1 0 scn 30 0 30 100 re f .5 0 1 scn 60 0 30 100 re f",
      resources="/ColorSpace << /N [/DeviceN [/Cyan /Quince#20Gold /Hedge#20Green] /DeviceCMYK @mix] >>",
      objects={"mix": stream("/FunctionType 4 /Domain [0 1 0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ pop .85 mul 0 exch 0 }")},
      inks=[(15, 50, {"Cyan": 100}), (45, 50, {"Quince Gold": 100}), (75, 50, {"Cyan": 50, "Hedge Green": 100})])
write("nchannel.pdf", "NChannel with its spots and process inks described", "ISO 32000-1 8.6.6.5 (Table 71)",
      "/N cs 1 0 scn 0 0 50 100 re f 0 .5 scn 50 0 50 100 re f",
      resources="/ColorSpace << /N [/DeviceN [/Magenta /Hedge#20Green] /DeviceCMYK @mix << /Subtype /NChannel /Colorants << /Hedge#20Green %s >>"
                " /Process << /ColorSpace /DeviceCMYK /Components [/Cyan /Magenta /Yellow /Black] >> >>] >>" % HEDGE,
      objects={"mix": stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ dup .8 mul 3 1 roll 0 }")},
      inks=[(25, 50, {"Magenta": 100}), (75, 50, {"Hedge Green": 50})])
write("spot-image.pdf", "an image in a spot ink, and one indexed into it", "ISO 32000-1 8.6.6.3, 8.6.6.4",
      "q 40 0 0 40 0 0 cm /A Do Q q 40 0 0 40 60 60 cm /B Do Q", resources="/XObject << /A @a /B @b >>",
      objects={"a": stream("/Type /XObject /Subtype /Image /Width 2 /Height 1 /BitsPerComponent 8 /ColorSpace %s /Filter /ASCIIHexDecode" % GOLD, "FF00>"),
               "b": stream("/Type /XObject /Subtype /Image /Width 2 /Height 1 /BitsPerComponent 1 /ColorSpace [/Indexed %s 1 <00FF>] /Filter /ASCIIHexDecode" % HEDGE, "40>")},
      inks=[(10, 80, {"Quince Gold": 100}), (30, 80, {}), (70, 20, {}), (90, 20, {"Hedge Green": 100})])
write("icc-rgb.pdf", "a colour space by its own profile, red and green exchanged", "ISO 32000-1 8.6.5.5",
      "/I cs 1 0 0 scn 10 10 30 30 re f 0 0 1 scn 60 60 30 30 re f", resources="/ColorSpace << /I [/ICCBased @profile] >>", skip="mupdf",
      objects={"profile": stream("/N 3 /Alternate /DeviceRGB", icc.rgb("Red and green exchanged", icc.GREEN, icc.RED, icc.BLUE))},
      rgb=[(25, 75, GREEN), (75, 25, BLUE)])
write("icc-gray-lab.pdf", "a grey profile and a Lab space", "ISO 32000-1 8.6.5.5, 8.6.5.4",
      "/G cs 0 scn 10 10 30 30 re f /L cs 100 0 0 scn 50 50 10 10 re f 0 0 0 scn 60 60 30 30 re f",
      resources="/ColorSpace << /G [/ICCBased @profile] /L [/Lab << /WhitePoint [.9642 1 .8249] /Range [-128 127 -128 127] >>] >>",
      objects={"profile": stream("/N 1 /Alternate /DeviceGray", icc.gray("Gamma 2.2"))},
      rgb=[(25, 75, BLACK), (75, 25, BLACK), (5, 5, WHITE)])

# --- Shadings -------------------------------------------------------------

RAMP = "<< /FunctionType 2 /Domain [0 1] /C0 [1 0 0] /C1 [0 0 1] /N 1 >>"
write("shading-axial.pdf", "an axial shading painted by sh, in a form's own clip", "ISO 32000-1 8.7.4.5.3",
      "q 10 10 80 80 re W n /S sh Q", resources="/Shading << /S << /ShadingType 2 /ColorSpace /DeviceRGB /Coords [10 0 90 0] /Function %s >> >>" % RAMP,
      rgb=[(5, 50, WHITE), (50, 50, (128, 0, 128)), (11, 50, (252, 0, 3)), (88, 50, (5, 0, 250))])
write("shading-spot.pdf", "a shading between two amounts of a spot ink, as a pattern", "ISO 32000-1 8.7.4.3, 8.7.4.5.3",
      "/Pattern cs /P scn 10 10 80 80 re f",
      resources="/Pattern << /P << /PatternType 2 /Matrix [80 0 0 80 10 10] /Shading << /ShadingType 2 /ColorSpace %s /Coords [0 0 1 0] /Extend [true true]"
                " /Function << /FunctionType 2 /Domain [0 1] /C0 [0] /C1 [1] /N 1 >> >> >> >>" % GOLD,
      inks=[(50, 50, {"Quince Gold": 50}), (89, 50, {"Quince Gold": 99})])
write("shading-radial.pdf", "a radial shading that extends beyond its outer circle", "ISO 32000-1 8.7.4.5.4",
      "/S sh", resources="/Shading << /S << /ShadingType 3 /ColorSpace /DeviceRGB /Coords [50 50 0 50 50 40] /Extend [false true] /Function %s >> >>" % RAMP,
      rgb=[(50, 50, (252, 0, 3)), (2, 2, BLUE), (70, 50, (128, 0, 128))])
write("shading-function.pdf", "a function-based shading with a matrix", "ISO 32000-1 8.7.4.5.2",
      "/S sh", resources="/Shading << /S << /ShadingType 1 /ColorSpace /DeviceRGB /Matrix [80 0 0 80 10 10] /Function @f >> >>",
      objects={"f": stream("/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1]", "{ 0 }")},
      rgb=[(5, 50, WHITE), (88, 12, (249, 249, 0)), (12, 88, (6, 6, 0))])


def mesh(kind, points, colours, flag=0):
    out = bytes([flag])
    for x, y in points:
        out += bytes([x, y])
    return out + b"".join(bytes(c) for c in colours)


DECODE = "/ShadingType %d /ColorSpace /DeviceRGB /BitsPerCoordinate 8 /BitsPerComponent 8 /BitsPerFlag 8 /Decode [0 255 0 255 0 1 0 1 0 1]"
triangle = b"".join(mesh(4, [p], [c]) for p, c in [((10, 10), RED), ((90, 10), RED), ((10, 90), RED)])
write("shading-mesh-triangles.pdf", "a mesh of triangles", "ISO 32000-1 8.7.4.5.5", "/S sh", resources="/Shading << /S @s >>",
      objects={"s": stream(DECODE % 4, triangle)}, rgb=[(20, 80, RED), (80, 20, WHITE)])
edge = [(10, 10), (10, 40), (10, 60), (10, 90), (40, 90), (60, 90), (90, 90), (90, 60), (90, 40), (90, 10), (60, 10), (40, 10)]
write("shading-mesh-coons.pdf", "a Coons patch", "ISO 32000-1 8.7.4.5.7", "/S sh", resources="/Shading << /S @s >>",
      objects={"s": stream(DECODE % 6, mesh(6, edge, [RED, RED, BLUE, BLUE]))}, rgb=[(50, 50, (128, 0, 128)), (5, 5, WHITE)])
write("shading-mesh-tensor.pdf", "a tensor-product patch", "ISO 32000-1 8.7.4.5.8", "/S sh", resources="/Shading << /S @s >>",
      objects={"s": stream(DECODE % 7, mesh(7, edge + [(40, 40), (40, 60), (60, 60), (60, 40)], [RED, RED, BLUE, BLUE]))},
      rgb=[(50, 50, (128, 0, 128)), (5, 5, WHITE)])

# --- Fonts ----------------------------------------------------------------

TYPE3 = "<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1000 1000] /FontMatrix [.001 0 0 .001 0 0] /FirstChar 65 /LastChar 66 /Widths [1000 1000]" \
        " /Encoding << /Differences [65 /box /coloured] >> /CharProcs << /box @box /coloured @coloured >> %s >>"
write("font-type3.pdf", "a Type 3 font without resources: its glyphs use those of the page", "ISO 32000-1 9.6.5",
      "1 0 0 rg BT /F 40 Tf 10 10 Td (AB) Tj ET", resources="/Font << /F @font >> /ColorSpace << /S %s >>" % GOLD,
      objects={"font": TYPE3 % "", "box": stream("", "1000 0 0 0 1000 1000 d1 0 0 500 500 re f"), "coloured": stream("", "1000 0 d0 /S cs 1 scn 0 0 500 500 re f")},
      rgb=[(20, 80, RED), (20, 60, WHITE)], inks=[(60, 80, {"Quince Gold": 100}), (80, 80, {})])

# --- Images: data is copied, never decoded and encoded again ---------------

IMAGE = "/Type /XObject /Subtype /Image /Width %d /Height %d /BitsPerComponent %d %s"
QUARTERS = [(10, 10, RED), (90, 10, GREEN), (10, 90, BLUE), (90, 90, WHITE)]


def image(name, teaches, clause, width, height, bits, entries, data, rgb=[], inks=[], extra={}, skip=""):
    write(name, teaches, clause, "q 100 0 0 100 0 0 cm /I Do Q", resources="/XObject << /I @image >>",
          objects={"image": stream(IMAGE % (width, height, bits, entries), data), **extra}, rgb=rgb, inks=inks, skip=skip)


image("image-dct.pdf", "a JPEG in RGB", "ISO 32000-1 7.4.8", 32, 32, 8, "/ColorSpace /DeviceRGB /Filter /DCTDecode", images.jpeg_rgb(), rgb=QUARTERS)
image("image-dct-cmyk.pdf", "a JPEG in CMYK, stored inverted as its Adobe marker says", "ISO 32000-1 7.4.8", 32, 32, 8,
      "/ColorSpace /DeviceCMYK /Filter /DCTDecode /Decode [1 0 1 0 1 0 1 0]", images.jpeg_cmyk(),
      inks=[(10, 10, {"Cyan": 100}), (90, 10, {"Magenta": 100}), (10, 90, {"Yellow": 100}), (90, 90, {"Black": 100})])
image("image-jpx.pdf", "a JPEG 2000 that brings its own colour space", "ISO 32000-1 7.4.9", 32, 32, 8, "/Filter /JPXDecode", images.jpx_rgb(), rgb=QUARTERS)
image("image-jbig2.pdf", "JBIG2, black and white", "ISO 32000-1 7.4.7", 32, 32, 1, "/ColorSpace /DeviceGray /Filter /JBIG2Decode", images.jbig2(),
      rgb=[(10, 10, BLACK), (90, 10, WHITE), (10, 90, WHITE), (90, 90, WHITE), (60, 60, BLACK)])
image("image-ccitt.pdf", "fax group 4 with parameters", "ISO 32000-1 7.4.6", 32, 32, 1,
      "/ColorSpace /DeviceGray /Filter /CCITTFaxDecode /DecodeParms << /K -1 /Columns 32 /Rows 32 >>", images.group4(),
      rgb=[(10, 10, BLACK), (90, 10, WHITE), (10, 90, WHITE), (90, 90, WHITE), (60, 60, BLACK)])
rows4 = b"".join(b"\x02" + bytes([0] * 3 * 4) if y % 2 else b"\x01" + bytes([255, 0, 0] + [0] * 3 + [1, 0, 255] + [0] * 3) for y in range(4))
image("image-predictor.pdf", "Flate with PNG predictors", "ISO 32000-1 7.4.4.4", 4, 4, 8,
      "/ColorSpace /DeviceRGB /Filter /FlateDecode /DecodeParms << /Predictor 15 /Colors 3 /Columns 4 >>", zlib.compress(rows4, 9),
      rgb=[(20, 50, RED), (80, 50, (0, 0, 255))])
image("image-16bit.pdf", "sixteen bits a channel", "ISO 32000-1 8.9.5.1", 2, 1, 16, "/ColorSpace /DeviceRGB /Filter /ASCIIHexDecode",
      "FFFF00000000 00000000FFFF>", rgb=[(20, 50, RED), (80, 50, BLUE)])
image("image-colour-key.pdf", "a range of colours masked out", "ISO 32000-1 8.9.6.4", 2, 1, 8,
      "/ColorSpace /DeviceRGB /Mask [250 255 0 5 0 5] /Filter /ASCIIHexDecode", "FF0000 0000FF>", rgb=[(20, 50, WHITE), (80, 50, BLUE)])
write("image-mask-spot.pdf", "a stencil mask paints in the current spot", "ISO 32000-1 8.9.6.2", "/S cs 1 scn q 100 0 0 100 0 0 cm /I Do Q",
      resources="/XObject << /I @image >> /ColorSpace << /S %s >>" % HEDGE,
      objects={"image": stream(IMAGE % (2, 1, 1, "/ImageMask true /Filter /ASCIIHexDecode"), "40>")},
      inks=[(20, 50, {"Hedge Green": 100}), (80, 50, {})])
write("image-inline.pdf", "an inline image whose data holds the letters EI, in a space named in the resources", "ISO 32000-1 8.9.7",
      "q 100 0 0 100 0 0 cm BI /W 3 /H 2 /BPC 8 /CS /S ID \xff EI \xff\nEI Q 0 1 0 rg 0 0 10 10 re f",
      resources="/ColorSpace << /S %s >>" % GOLD,
      inks=[(10, 10, {"Quince Gold": 100}), (90, 90, {"Quince Gold": 100}), (50, 90, {"Quince Gold": 13})], rgb=[(5, 95, GREEN)])

# --- Content and structure --------------------------------------------------

write("contents-array.pdf", "content in three streams, cut between an operator's operands", "ISO 32000-1 7.8.2",
      contents="[@one @two @three]", objects={"one": stream("", "q 1 0 0 rg 0 0 50"), "two": stream("", "50 re f Q 0 0 1"), "three": stream("", "rg 50 50 50 50 re f")},
      rgb=[(25, 75, RED), (75, 25, BLUE), (75, 75, WHITE)])
write("form-without-resources.pdf", "an inner form without resources uses the page's: on the frame it must still find them", "ISO 32000-1 7.8.3 (Table 30)",
      "/F Do", resources="/XObject << /F @inner >> /ColorSpace << /S %s >>" % GOLD,
      objects={"inner": stream("/Type /XObject /Subtype /Form /BBox [0 0 100 100]", "/S cs 1 scn 0 0 50 50 re f")},
      inks=[(25, 75, {"Quince Gold": 100}), (75, 25, {})])
write("unbalanced.pdf", "content that leaves its graphics state open: what follows on the frame mustn't inherit it", "ISO 32000-1 8.4.2",
      "q 0 0 1 rg 2 0 0 2 0 0 cm 0 0 25 25 re f q 0 0 20 20 re W n", rgb=[(25, 75, BLUE), (75, 25, WHITE)])
write("contents-none.pdf", "a page without content prints nothing and is no fault", "ISO 32000-1 7.7.3.3 (Table 30)", contents="[]", rgb=[(50, 50, WHITE)])
write("marked.pdf", "tagged content: structure numbers don't belong on the frame", "ISO 32000-1 14.7.4.4",
      "/P << /MCID 0 >> BDC " + square("1 0 0 rg", 0, 0) + "EMC", page="/StructParents 0",
      catalog="/MarkInfo << /Marked true >> /StructTreeRoot @tree",
      objects={"tree": "<< /Type /StructTreeRoot /K @item /ParentTree << /Nums [0 [@item]] >> >>",
               "item": "<< /Type /StructElem /S /P /P @tree /Pg @page /K 0 >>"}, rgb=[(10, 90, RED)])
write("actions.pdf", "a script, an open action and a link: none may reach the press", "ISO 32000-1 12.6",
      square("1 0 0 rg", 0, 0), page="/AA << /O @script >> /Annots [<< /Type /Annot /Subtype /Link /F 4 /Border [0 0 0] /Rect [0 0 50 50] /A @script >>]",
      catalog="/OpenAction @script /Names << /JavaScript << /Names [(a) @script] >> >>",
      objects={"script": "<< /S /JavaScript /JS (1;) >>"}, rgb=[(10, 90, RED), (40, 60, WHITE)])

# Two levels of page tree, written by hand because write() knows one.
keep("resources-inherited.pdf", "resources and box come from two levels up", "ISO 32000-1 7.7.3.4", assemble({
    "catalog": "<< /Type /Catalog /Pages @top >>",
    "top": "<< /Type /Pages /Kids [@middle] /Count 1 /MediaBox [0 0 100 100] /Resources << /ColorSpace << /S %s >> >> >>" % GOLD,
    "middle": "<< /Type /Pages /Parent @top /Kids [@page] /Count 1 >>",
    "page": "<< /Type /Page /Parent @middle /Contents @content >>",
    "content": stream("", "/S cs 1 scn 0 0 50 50 re f"),
}, "resources-inherited.pdf: resources and box come from two levels up\nISO 32000-1 7.7.3.4"),
     inks=[(25, 75, {"Quince Gold": 100}), (75, 25, {})])
keep("pages-three.pdf", "three pages of different sizes in an uneven tree", "ISO 32000-1 7.7.3.2", assemble({
    "catalog": "<< /Type /Catalog /Pages @top >>",
    "top": "<< /Type /Pages /Kids [@one @middle] /Count 3 >>",
    "middle": "<< /Type /Pages /Parent @top /Kids [@two @three] /Count 2 /MediaBox [0 0 60 40] >>",
    "one": "<< /Type /Page /Parent @top /MediaBox [0 0 100 100] /Resources << >> /Contents @red >>",
    "two": "<< /Type /Page /Parent @middle /Resources << >> /Contents @green >>",
    "three": "<< /Type /Page /Parent @middle /Rotate 90 /Resources << >> /Contents @blue >>",
    "red": stream("", square("1 0 0 rg", 0, 0)), "green": stream("", square("0 1 0 rg", 0, 0)), "blue": stream("", square("0 0 1 rg", 0, 0)),
}, "pages-three.pdf: three pages of different sizes in an uneven tree\nISO 32000-1 7.7.3.2"), rgb=[(10, 90, RED)])


def main():
    for name, data in files.items():
        with open(os.path.join(HERE, name), "wb") as f:
            f.write(data)

    # The same artwork in the file forms that qpdf writes.
    def qpdf(name, teaches, clause, *args):
        subprocess.run(["qpdf", "--deterministic-id", *args, os.path.join(HERE, "spots.pdf"), os.path.join(HERE, name)], check=True)
        rows.append({**next(r for r in rows if r["file"] == "spots.pdf"), "file": name, "teaches": teaches, "clause": clause})

    qpdf("form-object-streams.pdf", "objects in object streams, cross-reference in a stream", "ISO 32000-1 7.5.7, 7.5.8", "--object-streams=generate")
    qpdf("form-linearized.pdf", "a linearized file", "ISO 32000-1 Annex F", "--linearize")

    def encrypt(name, teaches, user, bits="128", extra=["--use-aes=y"], probed=True):
        out = os.path.join(HERE, name)
        # The key of 256 bits is random: once written, the file is kept.
        if bits == "128" or not os.path.exists(out):
            subprocess.run(["qpdf", "--static-id", "--static-aes-iv", "--encrypt", user, "orchard", bits, *extra, "--",
                            os.path.join(HERE, "spots.pdf"), out], check=True)
        row = {**next(r for r in rows if r["file"] == "spots.pdf"), "file": name, "teaches": teaches,
               "clause": "ISO 32000-1 7.6" if bits == "128" else "ISO 32000-2 7.6"}
        rows.append(row if probed else {**row, "probes": []})

    encrypt("encrypted-open.pdf", "encrypted (AES, 128 bits), opens without a password and may be assembled", "")
    encrypt("encrypted-open-256.pdf", "encrypted (AES, 256 bits), opens without a password and may be assembled", "", "256", [])
    encrypt("encrypted-no-assembly.pdf", "encrypted, opens without a password but forbids assembly: refuse", "",
            extra=["--use-aes=y", "--assemble=n", "--modify-other=n"])
    encrypt("encrypted-password.pdf", "encrypted, needs a password (it is hedge): refuse", "hedge", probed=False)

    rows.sort(key=lambda r: r["file"])
    with open(os.path.join(HERE, "probes.json"), "w", encoding="utf-8") as f:
        f.write("[\n" + ",\n".join(json.dumps(r, ensure_ascii=False) for r in rows) + "\n]\n")
    table = "| file | what it teaches | clause |\n|---|---|---|\n"
    table += "".join("| %s | %s | %s |\n" % (r["file"], r["teaches"], r["clause"]) for r in rows)
    readme = os.path.join(HERE, "README.md")
    with open(readme, encoding="utf-8") as f:
        text = f.read().split("<!-- table -->")[0]
    with open(readme, "w", encoding="utf-8") as f:
        f.write(text + "<!-- table -->\n" + table)


main()
