"""Walnut oil: cairo with a soft mask, mesh gradient, image and knocked-out text."""
import math
import sys

import cairo

MM = 72 / 25.4
surface = cairo.PDFSurface(sys.argv[1], 84 * MM, 44 * MM)
surface.set_metadata(cairo.PDF_METADATA_TITLE, "Walnut oil")
surface.set_metadata(cairo.PDF_METADATA_CREATE_DATE, "2026-03-01T09:00:00Z")
c = cairo.Context(surface)
c.scale(MM, MM)

c.set_source_rgb(.24, .16, .10)
c.paint()

# Wood: a computed image, small, spread over the left half.
wood = cairo.ImageSurface(cairo.FORMAT_RGB24, 96, 96)
data, stride = wood.get_data(), wood.get_stride()
for y in range(96):
    for x in range(96):
        ring = math.sin((math.hypot(x - 130, (y - 40) * .35) + 3 * math.sin(y / 9)) * .9)
        v = .52 + .16 * ring
        data[y * stride + x * 4:y * stride + x * 4 + 3] = bytes([int(255 * v * .35), int(255 * v * .62), int(255 * v)])
wood.mark_dirty()
fade = cairo.LinearGradient(20, 0, 58, 0)
fade.add_color_stop_rgba(0, 0, 0, 0, 1)
fade.add_color_stop_rgba(1, 0, 0, 0, 0)
c.save()
c.scale(60 / 96, 44 / 96)
c.set_source_surface(wood)
c.get_source().set_filter(cairo.FILTER_BEST)
c.identity_matrix()
c.scale(MM, MM)
c.mask(fade)
c.restore()

# A walnut half, lit by a mesh.
mesh = cairo.MeshPattern()
mesh.begin_patch()
mesh.move_to(8, 22)
mesh.curve_to(8, 12, 16, 7, 22, 7)
mesh.curve_to(30, 7, 37, 14, 37, 22)
mesh.curve_to(37, 31, 29, 37, 22, 37)
mesh.curve_to(15, 37, 8, 31, 8, 22)
for i, rgb in enumerate([(.93, .78, .52), (.98, .88, .66), (.70, .48, .26), (.52, .33, .16)]):
    mesh.set_corner_color_rgb(i, *rgb)
mesh.end_patch()
c.set_source(mesh)
c.paint()
c.set_source_rgba(.35, .2, .08, .8)
c.set_line_width(.5)
for k in range(7):
    c.move_to(22, 9 + 4 * k)
    for t in range(1, 12):
        c.line_to(22 + t * 1.15, 9 + 4 * k + 1.6 * math.sin(t * 1.1 + k))
    c.move_to(22, 9 + 4 * k)
    for t in range(1, 12):
        c.line_to(22 - t * 1.1, 9 + 4 * k + 1.6 * math.sin(t * 1.2 + k * 1.3))
c.stroke()

c.select_font_face("Goudy Bookletter 1911")
c.set_source_rgb(.98, .93, .80)
c.set_font_size(11)
c.move_to(41, 20)
c.show_text("Walnut")
c.set_font_size(6)
c.move_to(41.5, 28)
c.show_text("oil, first pressing")
c.select_font_face("Yanone Kaffeesatz")
c.set_font_size(2.6)
c.move_to(41.5, 34)
c.show_text("Hollow Lane Orchard. Keep dark and cool.")
c.set_font_size(4.4)
c.move_to(41.5, 39.2)
c.show_text("100 ml")

# Multiply and a group with alpha
c.set_operator(cairo.OPERATOR_MULTIPLY)
c.set_source_rgba(.9, .6, .2, .5)
c.arc(76, 36, 9, 0, 7)
c.fill()
c.set_operator(cairo.OPERATOR_OVER)
c.push_group()
c.set_source_rgb(.98, .93, .8)
c.rectangle(39, 4, 40, .4)
c.rectangle(39, 40.6, 40, .4)
c.fill()
c.pop_group_to_source()
c.paint_with_alpha(.6)
surface.finish()
