"""Makes photographs of invented cable lists with their truth, for `cargo dev photos FOLDER`.

    python3 make.py FOLDER --fonts FOLDER_OF_FONTS [--count 60] [--first 1]

Needs numpy and Pillow. Any TrueType or OpenType text fonts do; the lists, layouts and pictures are
the same for the same fonts and number. Each photograph has NAME.truth.csv, and its site's
vocabulary lies in vocab/. Nothing shows a real place or product.
"""

import argparse
import io
import json
import pathlib
import random

import numpy as np
from PIL import Image, ImageDraw, ImageFont

COLUMNS = ["label", "from_unit", "from_port", "to_unit", "to_port", "kind", "length_m"]
SITES = [
    dict(unit="K{}", units=9, others=["PM1", "PM2"], ports={"BUS 1": ["B1"], "BUS 2": ["B2"], "LOAD": [], "SENSE": ["SNS"]},
         kinds=["bus cable", "sense lead", "load sense"], prefix="N"),
    dict(unit="WR{}", units=12, others=["BATT"], ports={"A": [], "B": [], "RS": ["RS1"], "BAT": []},
         kinds=["link", "battery lead", "patch"], prefix="L-"),
    dict(unit="UNIT {}", units=5, others=["METER", "GATE"], ports={"PORT 1": ["P1"], "PORT 2": ["P2"], "PORT 3": ["P3"]},
         kinds=["sync", "meter lead", "gateway cable"], prefix="X"),
    dict(unit="S{}", units=8, others=["HUB"], ports={"IN-L": ["INL"], "IN-R": ["INR"], "OUT-L": ["OUTL"], "OUT-R": ["OUTR"]},
         kinds=["ring left", "ring right", "hub cable"], prefix="Q"),
]
HEADS = {
    "label": ["Cable", "No.", "ID", "Label", "Lead"], "from_unit": ["From", "From unit", "Unit A", "Start"],
    "from_port": ["Port", "Socket", "From port"], "to_unit": ["To", "To unit", "Unit B", "Target"],
    "to_port": ["Port", "Socket", "To port"], "kind": ["Kind", "Type", "Purpose"],
    "length_m": ["Length", "Length (m)", "Len. [m]", "L", "m"], "from": ["From", "End 1"], "to": ["To", "End 2"],
}
ORDERS = [
    ["label", "from_unit", "from_port", "to_unit", "to_port", "kind", "length_m"],
    ["label", "from_unit", "to_unit", "from_port", "to_port", "length_m", "kind"],
    ["kind", "label", "length_m", "from_unit", "from_port", "to_unit", "to_port"],
    ["from_unit", "from_port", "to_unit", "to_port", "label", "kind", "length_m"],
    ["label", "length_m", "from_unit", "from_port", "to_unit", "to_port"],
    ["label", "from", "to", "kind", "length_m"],
    ["from", "to", "kind", "label", "length_m"],
    ["label", "kind", "length_m", "from", "to"],
    ["label", "from", "to", "length_m"],
]


def site_of(draw):
    site = draw.choice(SITES)
    count = draw.randint(3, site["units"])
    units = [site["unit"].format(n) for n in range(1, count + 1)] + site["others"]
    return site, units


def rows_of(draw, site, units):
    ports, rows = list(site["ports"]), []
    first = draw.choice([1, 1, 1, 8, 31, 96])
    for at in range(draw.randint(5, 18)):
        one, other = draw.sample(units, 2)
        length = draw.choice([0.3, 0.5, 0.75, 0.8, 1, 1.1, 1.5, 2, 2.5, 3, 4.25, 5, 7, 7.7, 10, 11, 12, 12.5, 15, 18, 20, 25])
        width = 2 if site["prefix"] in "NQ" else 1
        rows.append({"label": f"{site['prefix']}{first + at:0{width}}", "from_unit": one, "from_port": draw.choice(ports),
                     "to_unit": other, "to_port": draw.choice(ports), "kind": draw.choice(site["kinds"]), "length_m": length})
    return rows


def number(value, style):
    text = f"{value:.{style['places']}f}" if style["places"] is not None else f"{value:g}"
    return text.replace(".", ",") if style["comma"] else text


def page_of(draw, fonts):
    site, units = site_of(draw)
    rows = rows_of(draw, site, units)
    order = draw.choice(ORDERS)
    style = {"comma": draw.random() < 0.5, "places": draw.choice([None, None, 2])}
    unit = draw.choice(["", " m", "m"])
    short = draw.random() < 0.4
    join = draw.choice([" ", " / ", ":", " "])
    printed = {name: (draw.choice([name, *others]) if short else name) for name, others in site["ports"].items()}
    dpi = 200
    size = draw.uniform(9.5, 13)
    font = ImageFont.truetype(draw.choice(fonts), round(size * dpi / 72))
    landscape = draw.random() < 0.3
    paper = draw.choice([(1654, 2339), (1700, 2200)])
    width, height = paper[::-1] if landscape else paper
    ink = draw.randint(10, 70)
    page = Image.new("L", (width, height), 250)
    pen = ImageDraw.Draw(page)

    def cell(row, column):
        if column in ("from", "to"):
            return row[f"{column}_unit"] + join + printed[row[f"{column}_port"]]
        if column in ("from_port", "to_port"):
            return printed[row[column]]
        if column == "length_m":
            return number(row[column], style) + unit
        return row[column]

    heads = {column: draw.choice(HEADS[column]) for column in order}
    has_head = draw.random() < 0.75
    table = [[heads[column] for column in order]] if has_head else []
    table += [[cell(row, column) for column in order] for row in rows]
    widths = [max(pen.textlength(line[at], font=font) for line in table) for at in range(len(order))]
    room = width - 2 * draw.randint(90, 160)
    gap = min(draw.uniform(26, 90), (room - sum(widths)) / max(len(order), 1))
    if gap < 14:
        return None
    left, y = draw.randint(90, 150), draw.randint(90, 260)
    if draw.random() < 0.7:
        title = draw.choice(["Cables of the plant", "List of data cables", "Cable plan, sheet 2"])
        pen.text((left, y), title, fill=ink, font=font.font_variant(size=round(font.size * 1.4)))
        y += round(font.size * 2.6)
    leading = font.size * draw.uniform(1.35, 1.9)
    rules = draw.choice(["none", "head", "lines", "full"])
    edges = [left + sum(widths[:at]) + gap * at - gap / 2 for at in range(len(order) + 1)]
    align = [draw.choice("lllcr") for _ in order]
    top = y - leading * 0.2
    for at, line in enumerate(table):
        for column, text in enumerate(line):
            free = widths[column] - pen.textlength(text, font=font)
            shift = {"l": 0, "c": free / 2, "r": free}[align[column]]
            pen.text((edges[column] + gap / 2 + shift, y), text, fill=ink, font=font)
        y += leading
        if rules in ("lines", "full") or (rules == "head" and at == 0 and has_head):
            pen.line((edges[0], y - leading * 0.2, edges[-1], y - leading * 0.2), fill=ink + 40, width=2)
    if rules == "full":
        pen.line((edges[0], top, edges[-1], top), fill=ink + 40, width=2)
        for edge in edges:
            pen.line((edge, top, edge, y - leading * 0.2), fill=ink + 40, width=2)
    if draw.random() < 0.6:
        pen.text((left, y + leading), draw.choice(["All lengths in metres.", "Counted from the door.", "Two spare leads in box 3."]), fill=ink, font=font)
        y += 2 * leading
    if y > height - 40:
        return None
    has = set()
    for column in order:
        has |= {f"{column}_unit", f"{column}_port"} if column in ("from", "to") else {column}
    vocabulary = {"units": units, "ports": {name: [name, *others] for name, others in site["ports"].items()},
                  "kinds": site["kinds"], "label_prefix": site["prefix"]}
    truth = [[f"{row[column]:g}" if column == "length_m" else row[column] if column in has else "" for column in COLUMNS] for row in rows]
    truth = [[cell if column in has else "" for cell, column in zip(line, COLUMNS)] for line in truth]
    return np.asarray(page, dtype=np.float32), vocabulary, truth, size


def sample(page, x, y):
    """The page at places between its pixels; what lies outside of it is no number."""
    height, width = page.shape
    inside = (x >= 0) & (y >= 0) & (x < width - 1) & (y < height - 1)
    x0, y0 = np.clip(x, 0, width - 2).astype(int), np.clip(y, 0, height - 2).astype(int)
    right, down = np.clip(x, 0, width - 2) - x0, np.clip(y, 0, height - 2) - y0
    upper = page[y0, x0] * (1 - right) + page[y0, x0 + 1] * right
    lower = page[y0 + 1, x0] * (1 - right) + page[y0 + 1, x0 + 1] * right
    return np.where(inside, upper * (1 - down) + lower * down, np.nan)


def blurred(picture, radius):
    """Three passes of a box are near enough to a lens out of focus."""
    reach = max(int(round(radius)), 0)
    for _ in range(3 if reach else 0):
        for axis in (0, 1):
            picture = sum(np.roll(picture, shift, axis) for shift in range(-reach, reach + 1)) / (2 * reach + 1)
    return picture


def photo_of(draw, page, grade):
    noise = np.random.default_rng(draw.randrange(2**31))
    height, width = page.shape
    wide = {"easy": 2400, "medium": 1900, "hard": 1500}[grade]
    long = round(wide * draw.uniform(0.9, 1.2))
    out_w, out_h = (long, round(long * 0.75)) if width > height else (round(long * 0.75), long)
    fill = draw.uniform(0.84, 0.95) if draw.random() < 0.9 else 1.08
    scale = fill * min(out_w / width, out_h / height)
    slant = {"easy": 0.02, "medium": 0.05, "hard": 0.09}[grade]
    corners = np.array([[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]]) * [width * scale, height * scale]
    angle = draw.uniform(-slant, slant) * 1.5
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    corners = corners @ turn.T + [out_w / 2, out_h / 2]
    corners += [[draw.uniform(-1, 1) * slant * out_w * 0.5, draw.uniform(-1, 1) * slant * out_h * 0.5] for _ in range(4)]
    flat = np.array([[0, 0], [width, 0], [width, height], [0, height]], dtype=float)
    rows, right = [], []
    for (u, v), (x, y) in zip(corners, flat):
        rows += [[u, v, 1, 0, 0, 0, -x * u, -x * v], [0, 0, 0, u, v, 1, -y * u, -y * v]]
        right += [x, y]
    h = np.append(np.linalg.solve(np.array(rows), np.array(right)), 1).reshape(3, 3)
    v, u = np.mgrid[0:out_h, 0:out_w].astype(np.float64) + 0.5
    depth = h[2, 0] * u + h[2, 1] * v + 1
    x, y = (h[0, 0] * u + h[0, 1] * v + h[0, 2]) / depth, (h[1, 0] * u + h[1, 1] * v + h[1, 2]) / depth
    bend = {"easy": 0, "medium": 8, "hard": 22}[grade] * draw.uniform(-1, 1)
    y = y + bend * np.sin(np.pi * x / width * draw.choice([1, 1.5])) + bend * 0.3 * (x / width)
    shrunk = blurred(page, 0.35 / scale) if scale < 0.8 else page
    picture = sample(shrunk, x, y)
    table = draw.uniform(25, 110) + 8 * np.sin(u / draw.uniform(3, 30)) + noise.normal(0, 3, u.shape)
    picture = np.where(np.isnan(picture), table, picture * draw.uniform(0.75, 1.0))
    light = 1 + draw.uniform(-0.25, 0.25) * (u / out_w - 0.5) + draw.uniform(-0.25, 0.25) * (v / out_h - 0.5)
    for _ in range({"easy": 0, "medium": 1, "hard": 2}[grade]):
        side = draw.uniform(-0.7, 0.7) * (u - out_w * draw.uniform(0.2, 0.8)) + (v - out_h * draw.uniform(0.2, 0.8))
        edge = 1 / (1 + np.exp(np.clip(-side / draw.uniform(8, 60), -30, 30)))
        light = light * (1 - draw.uniform(0.2, 0.5) * edge)
    picture = blurred(picture * light, {"easy": 0, "medium": draw.choice([0, 1]), "hard": 1}[grade])
    picture = picture + noise.normal(0, {"easy": 1.5, "medium": 3, "hard": 5}[grade], picture.shape)
    grey = np.clip(picture, 0, 255)
    tint = np.array([1.0, draw.uniform(0.94, 1.0), draw.uniform(0.85, 1.0)])
    colour = Image.fromarray((grey[..., None] * tint).astype(np.uint8))
    quality = {"easy": 88, "medium": 75, "hard": 55}[grade]
    held = io.BytesIO()
    colour.save(held, "JPEG", quality=quality)
    return held.getvalue()


def main():
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("folder", type=pathlib.Path)
    words.add_argument("--fonts", type=pathlib.Path, required=True)
    words.add_argument("--count", type=int, default=60)
    words.add_argument("--first", type=int, default=1)
    given = words.parse_args()
    bare = ("bold", "italic", "oblique", "black", "thin", "light", "medium", "hairline", "heavy", "extra", "_rz", "_rb", "_m", "_i", "init", "display", "_rbi", "_dr")
    fonts = sorted(str(path) for path in given.fonts.rglob("*") if path.suffix in (".ttf", ".otf")
                   and not any(word in path.stem.lower() for word in bare))
    if not fonts:
        raise SystemExit(f"no fonts in {given.fonts}")
    for at in range(given.first, given.first + given.count):
        draw = random.Random(at)
        grade = ["easy", "medium", "hard"][at % 3]
        page = None
        while page is None:
            page = page_of(draw, fonts)
        picture, vocabulary, truth, _ = page
        name = f"{grade[0]}{at:03}"
        for folder in (given.folder / grade, given.folder / "vocab"):
            folder.mkdir(parents=True, exist_ok=True)
        (given.folder / grade / f"{name}.jpg").write_bytes(photo_of(draw, picture, grade))
        lines = [",".join(["row", *COLUMNS])] + [",".join([str(n), *line]) for n, line in enumerate(truth, 1)]
        (given.folder / grade / f"{name}.truth.csv").write_text("\n".join(lines) + "\n")
        (given.folder / "vocab" / f"{name}.json").write_text(json.dumps(vocabulary, indent=1))
        (given.folder / grade / f"{name}.meta.json").write_text(json.dumps({"site": name}))


main()
