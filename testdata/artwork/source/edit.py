"""Sets what the programs can't: python3 edit.py in.pdf out.pdf KEY=VALUE...

Each KEY=VALUE sets an entry of the first page, in PDF notation. "inherit=1"
moves resources and boxes up into the page tree. "shift=dx,dy" moves the origin:
boxes and content together. Done as an incremental update (ISO 32000-1 7.5.6), so
every byte that the program wrote stays as it was. qpdf tells what is there.
"""
import json
import re
import subprocess
import sys

source, target, *edits = sys.argv[1:]


def qpdf(*args):
    return subprocess.run(["qpdf", *args, source], check=True, capture_output=True).stdout.decode("latin-1")


def show(ref):
    return qpdf("--show-object=" + ref.split()[0]).strip()


def cut(dictionary, key):
    """Takes one entry out: (its value or None, the rest)."""
    at = re.search(r"/%s(?=[ /\[<(])\s*" % key, dictionary)
    if not at:
        return None, dictionary
    token = re.compile(r"\s*(<<|>>|\[|\]|\d+ \d+ R\b|[^\s<>\[\]]+|<[^<>]*>)")
    depth, end = 0, at.end()
    while True:
        t = token.match(dictionary, end)
        end = t.end()
        depth += {"<<": 1, "[": 1, ">>": -1, "]": -1}.get(t.group(1), 0)
        if depth == 0:
            return dictionary[at.end():end].strip(), dictionary[:at.start()] + dictionary[end:]


def put(dictionary, key, value):
    _, rest = cut(dictionary, key)
    return rest.rstrip()[:-2] + "/%s %s >>" % (key, value)


doc = json.loads(qpdf("--json=2", "--json-key=pages", "--json-key=qpdf"))
ref = doc["pages"][0]["object"]
page = show(ref)
tree_ref, _ = cut(page, "Parent")
tree = show(tree_ref)
trailer = doc["qpdf"][1]["trailer"]["value"]
size = doc["qpdf"][0]["maxobjectid"] + 1
changed = {}

for edit in edits:
    key, _, value = edit.partition("=")
    if key == "inherit":
        for name in ("Resources", "MediaBox", "CropBox"):
            moved, page = cut(page, name)
            if moved:
                tree = put(tree, name, moved)
        changed[tree_ref] = tree
    elif key == "shift":
        move = [float(v) for v in value.split(",")] * 2
        for name in ("MediaBox", "CropBox", "BleedBox", "TrimBox", "ArtBox"):
            box, page = cut(page, name)
            if box:
                corners = [float(v) + d for v, d in zip(box.strip("[] ").split(), move)]
                page = put(page, name, "[%s]" % " ".join("%.4f" % v for v in corners))
        before, after = "q 1 0 0 1 %g %g cm" % (move[0], move[1]), "Q"
        for i, data in enumerate((before, after)):
            changed["%d 0 R" % (size + i)] = "<< /Length %d >>\nstream\n%s\nendstream" % (len(data), data)
        old, page = cut(page, "Contents")
        page = put(page, "Contents", "[%d 0 R %s %d 0 R]" % (size, old.strip("[]"), size + 1))
        size += 2
    else:
        page = put(page, key, value)
changed[ref] = page

with open(source, "rb") as f:
    out = f.read()
start = re.findall(rb"startxref\s+(\d+)", out)[-1].decode()
assert out[int(start):].startswith(b"xref"), "the file must end with a plain cross-reference table"
table = ""
for name in sorted(changed, key=lambda r: int(r.split()[0])):
    number = int(name.split()[0])
    table += "%d 1\n%010d 00000 n \n" % (number, len(out))
    out += ("%d 0 obj\n%s\nendobj\n" % (number, changed[name])).encode("latin-1")
end = "".join(" /%s %s" % (k, trailer["/" + k]) for k in ("Root", "Info") if "/" + k in trailer)
out += ("xref\n%strailer\n<< /Size %d%s /Prev %s >>\nstartxref\n%d\n%%%%EOF\n" % (table, size, end, start, len(out))).encode("latin-1")
with open(target, "wb") as f:
    f.write(out)
