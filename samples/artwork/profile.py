#!/usr/bin/env python3
"""Makes demo-coated.icc, the printing condition of the demo.

No freely licensed CMYK profile is in Debian, so this is one of our own: an
invented press, worked out with the Neugebauer equations (Yule-Nielsen, n = 2)
from sixteen overprints, and turned into a profile by ArgyllCMS. The solids lie
near those of ISO 12647-2 for coated paper (from memory, not checked). It shows
the demo in believable colours and describes no real press.
"""
import itertools
import os
import struct
import subprocess
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
D50 = (96.42, 100.0, 82.49)
N = 2.0

# CIELAB of each overprint of solids, D50.
SOLIDS = {
    "": (95, 0, -2), "c": (55, -37, -50), "m": (48, 74, -3), "y": (89, -5, 93), "cm": (24, 22, -46),
    "cy": (50, -67, 27), "my": (47, 68, 48), "cmy": (23, 0, 0), "k": (16, 0, 0), "ck": (13, -4, -7),
    "mk": (12, 7, 0), "yk": (15, 0, 7), "cmk": (8, 2, -5), "cyk": (11, -6, 3), "myk": (11, 5, 4), "cmyk": (6, 0, 0),
}


def xyz(lab):
    fy = (lab[0] + 16) / 116
    f = (fy + lab[1] / 500, fy, fy - lab[2] / 200)
    return [w * (v ** 3 if v > 6 / 29 else (v - 4 / 29) * 108 / 841) for v, w in zip(f, D50)]


SOLID_XYZ = {k: xyz(v) for k, v in SOLIDS.items()}


def gained(tone):
    """Tone on the stock for a tone in the file: 14 points more at 50 %."""
    return tone + 4 * 0.14 * tone * (1 - tone)


def printed(c, m, y, k):
    tones = [gained(v) for v in (c, m, y, k)]
    out = [0, 0, 0]
    for bits in itertools.product((0, 1), repeat=4):
        area = 1
        for tone, bit in zip(tones, bits):
            area *= tone if bit else 1 - tone
        solid = SOLID_XYZ["".join(n for n, bit in zip("cmyk", bits) if bit)]
        out = [o + area * v ** (1 / N) for o, v in zip(out, solid)]
    return [o ** N for o in out]


def patches():
    steps = (0, .1, .25, .4, .55, .7, .85, 1)
    for c, m, y in itertools.product(steps, repeat=3):
        yield c, m, y, 0
    for k in (.2, .4, .6, .8, 1):
        for c, m, y in itertools.product((0, .2, .4, .7, 1), repeat=3):
            yield c, m, y, k


def main():
    lines = ["CTI3", "", 'DESCRIPTOR "Invented press of the demo"', 'ORIGINATOR "profile.py"', 'DEVICE_CLASS "OUTPUT"',
             'COLOR_REP "CMYK_XYZ"', "", "NUMBER_OF_FIELDS 8", "BEGIN_DATA_FORMAT",
             "SAMPLE_ID CMYK_C CMYK_M CMYK_Y CMYK_K XYZ_X XYZ_Y XYZ_Z", "END_DATA_FORMAT", ""]
    data = ["%d %s %s" % (i, " ".join("%g" % (100 * v) for v in p), " ".join("%.5f" % v for v in printed(*p)))
            for i, p in enumerate(patches(), 1)]
    lines += ["NUMBER_OF_SETS %d" % len(data), "BEGIN_DATA", *data, "END_DATA", ""]
    with tempfile.TemporaryDirectory() as d:
        with open(os.path.join(d, "demo.ti3"), "w") as f:
            f.write("\n".join(lines))
        subprocess.run(["colprof", "-ql", "-l300", "-kp", "0", ".1", "1", "1", ".6", "-C", "No copyright, use freely",
                        "-D", "Demo coated (invented press)", "-A", "quoin demo", "-M", "invented press", "-O", os.path.join(d, "demo.icc"),
                        os.path.join(d, "demo")], check=True, stdout=subprocess.DEVNULL)
        with open(os.path.join(d, "demo.icc"), "rb") as f:
            profile = bytearray(f.read())
    profile[24:36] = struct.pack(">6H", 2026, 1, 1, 0, 0, 0)  # the header's date
    with open(os.path.join(HERE, "demo-coated.icc"), "wb") as f:
        f.write(profile)


main()
