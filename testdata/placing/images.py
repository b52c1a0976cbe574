"""Encoded pictures for the image files, made by general-purpose encoders.

All show 32 x 32 pixels in quarters: the colour ones red, green, blue, white
(or one process ink each); the two-tone ones a black quarter at the upper left
and a black spot right below the middle.
"""
import os
import struct
import subprocess
import tempfile


def run(args, out):
    with tempfile.TemporaryDirectory() as d:
        path = os.path.join(d, out)
        subprocess.run([a.replace("OUT", path) for a in args], check=True, stdout=subprocess.DEVNULL, cwd=d)
        with open(path, "rb") as f:
            return f.read()


def ghostscript(device, out, program, *args):
    return run(["gs", "-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=" + device, "-r72", "-g32x32", *args,
                "-sOutputFile=OUT", "-c", program + " showpage"], out)


def quarters(operator, *colours):
    places = ["0 16", "16 16", "0 0", "16 0"]
    return " ".join("%s %s %s 16 16 rectfill" % (c, operator, p) for c, p in zip(colours, places))


def jpeg_rgb():
    return ghostscript("jpeg", "x.jpg", quarters("setrgbcolor", "1 0 0", "0 1 0", "0 0 1", "1 1 1"), "-dJPEGQ=95")


def jpeg_cmyk():
    return ghostscript("jpegcmyk", "x.jpg", quarters("setcmykcolor", "1 0 0 0", "0 1 0 0", "0 0 1 0", "0 0 0 1"), "-dJPEGQ=95")


def jpx_rgb():
    pixels = b""
    for y in range(32):
        for x in range(32):
            pixels += bytes([(255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 255)][(y // 16) * 2 + x // 16])
    with tempfile.NamedTemporaryFile(suffix=".ppm") as f:
        f.write(b"P6\n32 32\n255\n" + pixels)
        f.flush()
        return run(["opj_compress", "-i", f.name, "-o", "OUT"], "x.jp2")


def group4():
    """One strip of CCITT group 4 data, cut out of Ghostscript's TIFF; 1 is white."""
    tiff = ghostscript("tiffg4", "x.tif", "0 setgray 0 16 16 16 rectfill 18 10 4 4 rectfill", "-dMinFeatureSize=0", "-dAdjustWidth=0")
    order = "<" if tiff[:2] == b"II" else ">"
    at = struct.unpack_from(order + "I", tiff, 4)[0]
    tags = {}
    for i in range(struct.unpack_from(order + "H", tiff, at)[0]):
        tag, kind, count = struct.unpack_from(order + "HHI", tiff, at + 2 + 12 * i)
        tags[tag] = struct.unpack_from(order + ("H" if kind == 3 else "I"), tiff, at + 2 + 12 * i + 8)[0]
    assert tags.get(266, 1) == 1, "bits of a byte run from the left"
    return tiff[tags[273]:tags[273] + tags[279]]


def jbig2():
    """A JBIG2 page of one generic region, MMR coded, which is group 4 again
    (ISO/IEC 14492, 7.4.6 and 6.2.6); embedded form, without a file header."""
    page = struct.pack(">IIIIBH", 32, 32, 0, 0, 0, 0)
    region = struct.pack(">IIIIB", 32, 32, 0, 0, 0) + b"\x01" + group4()

    def segment(number, kind, data):
        return struct.pack(">IBBBI", number, kind, 0, 1, len(data)) + data

    return segment(0, 48, page) + segment(1, 38, region)
