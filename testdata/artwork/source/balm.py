"""Beeswax balm: ReportLab with named inks, overprint, an embedded font and a form."""
import sys

from reportlab import rl_config
from reportlab.lib.colors import CMYKColor, CMYKColorSep
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen import canvas

rl_config.invariant = 1
pdfmetrics.registerFont(TTFont("Lato", "/usr/share/fonts/truetype/lato/Lato-Regular.ttf"))
c = canvas.Canvas(sys.argv[1], pagesize=(38 * mm, 38 * mm), pageCompression=1, invariant=1, cropBox=None, trimBox=(2 * mm, 2 * mm, 36 * mm, 36 * mm), bleedBox=(0, 0, 38 * mm, 38 * mm))
c.setTitle("Beeswax balm")
gold = CMYKColorSep(0, .25, .85, .1, spotName="Quince Gold", density=1)
pale = CMYKColorSep(0, .25, .85, .1, spotName="Quince Gold", density=.25)
cut = CMYKColorSep(0, 1, 0, 0, spotName="Cutting", density=1)
c.setFillColor(pale)
c.rect(0, 0, 38 * mm, 38 * mm, stroke=0, fill=1)
c.setFillColor(gold)
c.circle(19 * mm, 19 * mm, 15.4 * mm, stroke=0, fill=1)
c.setFillColor(CMYKColor(0, .02, .1, 0))
c.circle(19 * mm, 19 * mm, 14.6 * mm, stroke=0, fill=1)
# One cell of comb as a form, used seven times; it takes ink and width from the page
c.beginForm("cell", -6, -6, 6, 6)
p = c.beginPath()
for i, (x, y) in enumerate([(0, 5), (4.33, 2.5), (4.33, -2.5), (0, -5), (-4.33, -2.5), (-4.33, 2.5)]):
    (p.moveTo if i == 0 else p.lineTo)(x, y)
p.close()
c.drawPath(p, stroke=1, fill=0)
c.endForm()
c.setLineWidth(.9)
c.setStrokeColor(gold)
for x, y in [(0, 0), (9.2, 0), (-9.2, 0), (4.6, 8), (-4.6, 8), (4.6, -8), (-4.6, -8)]:
    c.saveState()
    c.translate(19 * mm + x, 26.4 * mm + y)
    c.doForm("cell")
    c.restoreState()
c.setFillOverprint(True)
c.setFillColor(CMYKColor(0, 0, 0, 1))
c.setFont("Lato", 11)
c.drawCentredString(19 * mm, 15.2 * mm, "Beeswax balm")
c.setFont("Lato", 6)
c.drawCentredString(19 * mm, 11.8 * mm, "beeswax, apple seed oil")
c.drawCentredString(19 * mm, 8.8 * mm, "30 ml")
c.setStrokeOverprint(True)
c.setStrokeColor(cut)
c.setLineWidth(.25)
c.circle(19 * mm, 19 * mm, 17 * mm, stroke=1, fill=0)
c.showPage()
c.save()
