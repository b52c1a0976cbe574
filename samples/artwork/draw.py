"""The pictures of the labels: fruit, leaves, hills, sun."""
import math

STEM, RIB = (40, 60, 80, 45), (35, 0, 70, 0)
LEAF_LIGHT, LEAF_DARK = (60, 5, 95, 5), (78, 25, 100, 22)

APPLE = [(0, .70), (.2, .98, .98, 1.0, 1.0, .16), (1.02, -.46, .62, -1.0, .27, -1.0), (.13, -1.0, .09, -.92, 0, -.92)]
PEAR = [(0, 1.12), (.22, 1.14, .37, .98, .37, .70), (.37, .34, .86, .12, .86, -.40), (.86, -.84, .5, -1.05, .2, -1.05), (.1, -1.05, .06, -.98, 0, -.98)]


def outline(c, half):
    """A shape from its right half, going down, and the mirror image up again."""
    back, steps = half[::-1], list(half)
    for i, step in enumerate(back[:-1]):
        to = back[i + 1][-2:]
        steps.append((-step[2], step[3], -step[0], step[1], -to[0], to[1]))
    c.path(*steps)
    c.add("h")


def leaf(c, x, y, size, turn):
    c.save()
    c.place(x, y, size, turn)
    c.fill(LEAF_LIGHT)
    c.path((0, 0), (.2, .34, .7, .4, 1, .06))
    c.add("0.62 0.08 0.3 0.04 0 0 c h f")
    c.fill(LEAF_DARK)
    c.path((0, 0), (.3, .04, .62, .08, 1, .06), (.72, -.26, .24, -.3, 0, 0))
    c.add("h f")
    c.stroke(RIB, .018)
    c.path((.02, 0), (.3, .04, .62, .08, .96, .06))
    c.add("S")
    for t in (.22, .4, .58, .75):
        c.stroke(RIB, .011)
        c.path((t, .035), (t + .05, .08, t + .1, .14, t + .16, .17 - .1 * abs(t - .4)))
        c.path((t, .035), (t + .05, 0, t + .1, -.07, t + .15, -.1 + .1 * abs(t - .4)))
        c.add("S")
    c.restore()


def shadow(c, x, y, rx, ry):
    c.save()
    c.state("Shadow")
    c.fill((60, 55, 60, 30))
    c.ellipse(x, y, rx, ry)
    c.add("f")
    c.restore()


def fruit(c, half, x, y, size, turn, colours, blush, stem=True, seed=1):
    """colours: light, middle, dark of the body; blush: streaks on its skin."""
    c.save()
    c.place(x, y, size, turn)
    top = half[0][1]
    c.save()
    outline(c, half)
    c.add("W n")
    c.shade(3, (-.28, .22, .04, .05, -.08, 1.28), *colours)
    # Streaks run from the stem's hollow to the flower's end, as meridians do.
    c.state("Streak")
    for i in range(-9, 10):
        u = math.sin(i / 9.5 * math.pi / 2)
        wobble = math.sin(i * 12.9898 * seed) * .5
        c.stroke(blush, .022 + .016 * abs(wobble))
        c.path((u * .12, top - .05), (u * .8, top + .2 - abs(u) * .12, u * 1.1, .1 + wobble * .3, u * (.98 - .12 * abs(wobble)), -.25 - .45 * abs(wobble)))
        c.add("S")
    c.restore()
    c.save()
    outline(c, half)
    c.add("W n")
    c.state("Gleam")
    c.fill((0, 0, 4, 0))
    c.path((-.62, .42), (-.5, .62, -.3, .66, -.24, .58), (-.34, .4, -.46, .16, -.5, -.12), (-.68, .02, -.7, .26, -.62, .42))
    c.add("h f")
    c.restore()
    c.save()
    c.state("Shadow")
    c.fill((40, 60, 70, 35))
    c.ellipse(0, top - .02, .26 if half is APPLE else .1, .07)
    c.add("f")
    c.restore()
    if stem:
        c.stroke(STEM, .085)
        c.add("1 J")
        c.path((0, top - .04), (.02, top + .18, .1, top + .3, .18, top + .42))
        c.add("S 0 J")
    c.restore()


def half_apple(c, x, y, size, turn, skin):
    c.save()
    c.place(x, y, size, turn)
    c.fill(skin)
    outline(c, APPLE)
    c.add("f")
    c.save()
    c.place(0, -.01, .925)
    outline(c, APPLE)
    c.add("W n")
    c.shade(3, (0, 0, .1, 0, 0, 1.1), (0, 2, 22, 0), (2, 3, 26, 0), (8, 4, 42, 0))
    c.restore()
    c.stroke((14, 12, 45, 4), .025)
    c.path((0, .52), (.5, .46, .46, -.32, 0, -.62), (-.46, -.32, -.5, .46, 0, .52))
    c.add("h S")
    c.path((0, .66), (0, .52))
    c.path((0, -.62), (0, -.84))
    c.add("S")
    c.fill((12, 14, 50, 5))
    for side in (-1, 1):
        c.path((side * .02, .2), (side * .26, .24, side * .26, -.2, side * .02, -.34))
        c.add("h f")
    c.fill((35, 65, 80, 55))
    for side in (-1, 1):
        c.save()
        c.place(side * .115, -.05, 1, side * 8)
        c.path((0, .16), (.09, .02, .07, -.12, 0, -.14), (-.07, -.12, -.09, .02, 0, .16))
        c.add("h f")
        c.restore()
    c.stroke(STEM, .085)
    c.add("1 J")
    c.path((0, .68), (0, .85, -.06, .95, -.12, 1.06))
    c.add("S 0 J")
    c.restore()


def blossom(c, x, y, size, turn):
    c.save()
    c.place(x, y, size, turn)
    for i in range(5):
        c.save()
        c.place(0, 0, 1, 72 * i)
        c.path((0, .1), (-.62, .35, -.5, 1.05, -.08, .98), (0, .9, 0, .9, .08, .98), (.5, 1.05, .62, .35, 0, .1))
        c.add("h W n")
        c.shade(3, (0, .1, 0, 0, .1, 1), (0, 32, 12, 0), (0, 6, 4, 0), (0, 3, 3, 0))
        c.restore()
    for i in range(10):
        a = math.radians(36 * i + 10)
        c.stroke((10, 20, 60, 5), .035)
        c.path((0, 0), (.36 * math.cos(a), .36 * math.sin(a)))
        c.add("S")
        c.fill(("gold", 100))
        c.ellipse(.38 * math.cos(a), .38 * math.sin(a), .06)
        c.add("f")
    c.fill((45, 0, 85, 0))
    c.ellipse(0, 0, .13)
    c.add("f")
    c.restore()


def rays(c, x, y, r, count, colour, start=0):
    c.fill(colour)
    step = 2 * math.pi / count
    for i in range(count):
        a = i * step + start
        c.path((x, y), (x + r * math.cos(a), y + r * math.sin(a)), (x + r * math.cos(a + step / 2), y + r * math.sin(a + step / 2)))
        c.add("h f")


def hill(c, left, right, foot, crest, colours, trees=0, tree=None):
    """A hill from the left to the right edge; trees stand in rows on it."""
    (x0, y0), (x1, y1) = left, right
    c.save()
    c.path((x0, foot), (x0, y0), (x0 + (x1 - x0) * .3, y0 + crest, x0 + (x1 - x0) * .65, y1 + crest, x1, y1), (x1, foot))
    c.add("h W n")
    c.shade(2, (0, max(y0, y1) + abs(crest), 0, foot), *colours)
    c.restore()
    for i in range(trees):
        t = (i + .5) / trees
        y = (1 - t) ** 3 * y0 + 3 * (1 - t) ** 2 * t * (y0 + crest) + 3 * (1 - t) * t * t * (y1 + crest) + t ** 3 * y1
        x = (1 - t) ** 3 * x0 + 3 * (1 - t) ** 2 * t * (x0 + (x1 - x0) * .3) + 3 * (1 - t) * t * t * (x0 + (x1 - x0) * .65) + t ** 3 * x1
        r = .62 + .1 * math.sin(i * 7)
        c.stroke(STEM, .16)
        c.path((x, y - .25), (x, y + .5))
        c.add("S")
        c.fill(tree)
        c.ellipse(x, y + .35 + r, r, r * .95)
        c.add("f")


def sprig(c, light):
    """The cell of the ground's pattern, 6 x 8 units."""
    for x, y, turn in ((1.5, 2, 60), (4.5, 6, 120)):
        c.save()
        c.place(x, y, 1.5, turn)
        c.fill(light)
        for side in (1, -1):
            for t in (.25, .6):
                c.path((t, 0), (t + .12, side * .28, t + .34, side * .32, t + .42, side * .3), (t + .4, side * .1, t + .2, side * .02, t, 0))
                c.add("h f")
        c.path((.98, 0), (1.1, .12, 1.3, .1, 1.4, 0), (1.3, -.1, 1.1, -.12, .98, 0))
        c.add("h f")
        c.stroke(light, .05)
        c.path((-.1, 0), (1.1, 0))
        c.add("S")
        c.restore()
