"""EAN-13 (ISO/IEC 15420, GS1 General Specifications) as bars."""
LEFT = ["0001101", "0011001", "0010011", "0111101", "0100011", "0110001", "0101111", "0111011", "0110111", "0001011"]
PARITY = ["LLLLLL", "LLGLGG", "LLGGLG", "LLGGGL", "LGLLGG", "LGGLLG", "LGGGLL", "LGLGLG", "LGLGGL", "LGGLGL"]


def check_digit(twelve):
    return str(-sum(int(d) * (3 if i % 2 else 1) for i, d in enumerate(twelve)) % 10)


def modules(thirteen):
    def right(d):
        return LEFT[int(d)].translate(str.maketrans("01", "10"))

    left = "".join(LEFT[int(d)] if p == "L" else right(d)[::-1] for d, p in zip(thirteen[1:7], PARITY[int(thirteen[0])]))
    return "101" + left + "01010" + "".join(right(d) for d in thirteen[7:]) + "101"


def draw(c, font, x, y, thirteen, module=.264, height=18.28):
    """Bars of 18.28 mm (80 %), guards longer by 5 modules, digits below; the
    quiet zones of 11 and 7 modules are left to the caller's ground."""
    c.fill((0, 0, 0, 100))
    bits = modules(thirteen)
    i = 0
    while i < 95:
        n = 1
        while bits[i] == "1" and i + n < 95 and bits[i + n] == "1":
            n += 1
        if bits[i] == "1":
            guard = i < 3 or i >= 92 or 45 <= i < 50
            drop = 5 * module if guard else 0
            c.add(x + i * module, y - drop, n * module, height + drop, "re")
        i += n
    c.add("f")
    size = 2.75
    base = y - 2.25
    c.text(font, size, x - 9 * module, base, thirteen[0])
    for digits, first in ((thirteen[1:7], 3), (thirteen[7:], 50)):
        for j, d in enumerate(digits):
            c.text(font, size, x + (first + 7 * j + 3.5) * module, base, d, align="centre")
