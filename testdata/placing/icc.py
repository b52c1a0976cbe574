"""The smallest ICC profiles (ICC.1:2001-04, version 2) that say what we need."""
import struct


def fixed(v):
    return struct.pack(">i", round(v * 65536))


def xyz(x, y, z):
    return b"XYZ \0\0\0\0" + fixed(x) + fixed(y) + fixed(z)


def text(s):
    return b"text\0\0\0\0" + s.encode("ascii") + b"\0"


def description(s):
    a = s.encode("ascii") + b"\0"
    return b"desc\0\0\0\0" + struct.pack(">I", len(a)) + a + bytes(4 + 4 + 2 + 1 + 67)


def gamma(g):
    return b"curv\0\0\0\0" + struct.pack(">IH", 1, round(g * 256))


def profile(kind, space, pcs, name, tags):
    tags = [(b"desc", description(name)), (b"cprt", text("No copyright, use freely")),
            (b"wtpt", xyz(0.9642, 1, 0.8249))] + tags
    offset, table, data = 128 + 4 + 12 * len(tags), struct.pack(">I", len(tags)), b""
    for sign, body in tags:
        table += sign + struct.pack(">II", offset + len(data), len(body))
        data += body + bytes(-len(body) % 4)
    size = offset + len(data)
    head = struct.pack(">I4sI4s4s4s", size, b"\0\0\0\0", 0x02400000, kind, space, pcs)
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + bytes(4 + 4 + 4 + 4 + 8 + 4)
    head += fixed(0.9642) + fixed(1) + fixed(0.8249)
    return head + bytes(128 - len(head)) + table + data


def rgb(name, red, green, blue):
    """A display with the given colourants (XYZ, D50) and gamma 2.2."""
    return profile(b"mntr", b"RGB ", b"XYZ ", name, [
        (b"rXYZ", xyz(*red)), (b"gXYZ", xyz(*green)), (b"bXYZ", xyz(*blue)),
        (b"rTRC", gamma(2.2)), (b"gTRC", gamma(2.2)), (b"bTRC", gamma(2.2))])


def gray(name):
    return profile(b"mntr", b"GRAY", b"XYZ ", name, [(b"kTRC", gamma(2.2))])


def table8(inputs, outputs, corners):
    """A lut8 with two grid points an axis: one output for each corner."""
    line = bytes(range(256))
    body = b"mft1\0\0\0\0" + struct.pack(">BBBB", inputs, outputs, 2, 0)
    for i in range(9):
        body += fixed(1 if i % 4 == 0 else 0)
    return body + line * inputs + b"".join(bytes(c) for c in corners) + line * outputs


def cmyk(name):
    """A printer whose inks mix as plain products, in Lab: coarse, but whole."""
    forward = []
    for i in range(16):
        c, m, y, k = i >> 3 & 1, i >> 2 & 1, i >> 1 & 1, i & 1
        light = 100 * (1 - .45 * c) * (1 - .5 * m) * (1 - .1 * y) * (1 - .85 * k)
        a = (-35 * c + 75 * m - 5 * y) * (1 - .9 * k)
        b = (-50 * c - 5 * m + 90 * y) * (1 - .9 * k)
        forward.append([round(light * 2.55), max(0, min(255, round(a + 128))), max(0, min(255, round(b + 128)))])
    back = []
    for i in range(8):
        dark, a, b = 1 - (i >> 2 & 1), i >> 1 & 1, i & 1
        back.append([0, 0, 0, 255] if dark else [255 * (1 - a), 255 * a, 255 * b, 0])
    return profile(b"prtr", b"CMYK", b"Lab ", name, [
        (b"A2B0", table8(4, 3, forward)), (b"B2A0", table8(3, 4, back))])


# sRGB's colourants adapted to D50 (IEC 61966-2-1, as every sRGB profile has them).
RED, GREEN, BLUE = (.4361, .2225, .0139), (.3851, .7169, .0971), (.1431, .0606, .7141)
