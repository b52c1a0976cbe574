"""Puts hand-written PDF objects together, readable in an editor.

Bodies are str or bytes. "@name" in a body stands for a reference to the object
of that name, so that nobody has to count object numbers.
"""
import re


def stream(entries, data):
    """The body of a stream: entries are the dictionary's, without brackets."""
    data = data.encode("latin-1") if isinstance(data, str) else data
    return b"<< %s /Length %d >>\nstream\n%s\nendstream" % (entries.encode("latin-1"), len(data), data)


def assemble(objects, comment="", trailer=""):
    """objects: name -> body, in file order; "catalog" is the root."""
    number = {name: i for i, name in enumerate(objects, 1)}

    def refer(match):
        return b"%d 0 R" % number[match.group(1).decode()]

    out = bytearray(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
    for line in comment.splitlines():
        out += b"% " + line.encode("utf-8") + b"\n"
    offsets = []
    for i, body in enumerate(objects.values(), 1):
        body = body.encode("latin-1") if isinstance(body, str) else body
        # Only the dictionary may hold references, never a stream's data.
        head, mark, data = body.partition(b"stream\n")
        head = re.sub(rb"@([A-Za-z]\w*)", refer, head)
        offsets.append(len(out))
        out += b"%d 0 obj\n%s\nendobj\n" % (i, head + mark + data)
    table = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    for offset in offsets:
        out += b"%010d 00000 n \n" % offset
    out += b"trailer\n<< /Size %d /Root %d 0 R %s >>\nstartxref\n%d\n%%%%EOF\n" % (
        len(objects) + 1, number["catalog"], trailer.encode("latin-1"), table)
    return bytes(out)
