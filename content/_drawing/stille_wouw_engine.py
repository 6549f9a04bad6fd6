"""Stille Wouw's engine and gas: bubbles in the header tank, silted tubes, the hob's leaking hose."""

from __future__ import annotations

from _drawing.picture import TALL, Picture
from _drawing.pieces import bolt, clamp, foam, pipe
from _drawing.shapes import arc, box, curve, oval, polar
from _drawing.sheet import (
    BILGE,
    BRONZE,
    DIRT,
    INK,
    OCHRE,
    PALE,
    RUBBER,
    SLATE,
    STEEL,
    WHITE,
    WOOD,
    Sheet,
)

ROWS = (4, 6, 8, 8, 8, 8, 6, 4)  # 52 tubes
CLOSED = 17


def header_tank(sheet: Sheet) -> None:
    """The header tank cut open: coolant with a string of bubbles under the open neck."""
    sheet.wash(box(40, 40, 1120, 1490), (234, 231, 219))
    tank = [
        (170, 560),
        (1030, 560),
        (1080, 620),
        (1080, 1210),
        (1030, 1270),
        (170, 1270),
        (120, 1210),
        (120, 620),
    ]
    sheet.shade([(x + 22, y + 26) for x, y in tank], 0.3)
    sheet.shape(tank, SLATE, 4.2)
    hole = box(176, 620, 848, 590, 40)
    sheet.shape(hole, (228, 232, 226), 3.6)
    surface = curve([(1024, 760), (840, 754), (600, 742), (360, 752), (176, 760)])
    low = [p for p in hole if p[1] > 760]  # clockwise from the lower right
    sheet.shape([*surface, *reversed(low)], (120, 168, 130), 3.2)
    sheet.hatch(box(190, 1130, 820, 60, 20), 14, -50, 1.6, (70, 112, 84))
    sheet.shape([(470, 560), (470, 420), (730, 420), (730, 560)], BRONZE, 4)
    sheet.hatch([(670, 424), (726, 424), (726, 556), (670, 556)], 11, -50)
    sheet.shape(oval(600, 420, 148, 40), BRONZE, 4)
    sheet.shape(oval(600, 420, 108, 26), INK, 3)
    sheet.wash([(474, 566), (726, 566), (726, 618), (474, 618)], SLATE)
    sheet.wash([(500, 566), (700, 566), (700, 626), (500, 626)], (228, 232, 226))
    for x in (500, 700):
        sheet.ink([(x, 562), (x, 626)], 3)
    pipe(sheet, [(600, 1530), (600, 1262)], 120, RUBBER, 4)
    clamp(sheet, (600, 1350), 46, 134, -90)
    sheet.shape(box(530, 1204, 140, 72), BRONZE, 3.6)
    string = [
        (600, 1180, 12),
        (612, 1136, 15),
        (592, 1092, 13),
        (610, 1044, 18),
        (590, 994, 15),
        (606, 944, 20),
        (594, 886, 17),
        (612, 832, 23),
        (590, 782, 20),
        (640, 760, 22),
        (560, 756, 18),
    ]
    for x, y, r in string:
        sheet.shape(oval(x, y, r), (222, 236, 226), 2.6)
        sheet.ink(arc(x, y, r * 0.55, r * 0.55, 190, 270, 8), 2.2, WHITE)
    cap = (960, 330)
    sheet.shade(oval(cap[0] + 14, cap[1] + 24, 128, 66), 0.3)
    sheet.shape([(832, 300), (832, 350), *arc(960, 350, 128, 62, 180, 0, 24), (1088, 300)], BRONZE, 4)
    sheet.shape(oval(960, 300, 128, 62), BRONZE, 4)
    sheet.shape(oval(960, 296, 70, 32), OCHRE, 3)
    for sign in (-1, 1):
        sheet.shape(box(960 + sign * 132 - 26, 296, 52, 44, 12), BRONZE, 3.2)
    sheet.text((960, 190), "cap off", 40)
    sheet.text((306, 910), "air on", 42)
    sheet.text((306, 962), "cylinder 3", 42)
    sheet.arrow((424, 944), (556, 940), 12)


def stack_silted(sheet: Sheet) -> None:
    """The heat exchanger's tube plate: 52 tubes, 17 of them full of silt."""
    sheet.wash(box(40, 40, 1520, 1090), (228, 225, 213))
    sheet.shape([(1030, 60), (1600, 120), (1600, 1060), (1030, 1110)], SLATE, 4)
    sheet.hatch([(1040, 900), (1600, 860), (1600, 1056), (1040, 1100)], 16, -40)
    centre = (740, 585)
    sheet.shape(oval(*centre, 524), SLATE, 4.4)
    sheet.shape(oval(*centre, 450), BILGE, 3.6)
    for k in range(8):
        place = polar(centre, 487, 22.5 + 45 * k)
        sheet.shape(oval(*place, 24), INK, 3)
    sheet.shape(oval(*centre, 424), BRONZE, 3.8)
    pitch, tubes = 92, []
    for row, many in enumerate(ROWS):
        tubes += [
            (centre[0] + (i - (many - 1) / 2) * pitch, centre[1] + (row - 3.5) * pitch) for i in range(many)
        ]
    by_depth = sorted(tubes, key=lambda t: (-(t[1] * 1.0 - t[0] * 0.45), t[0]))
    silted = set(by_depth[:CLOSED])
    patch = [p for t in by_depth[:CLOSED] for p in [t]]
    for x, y in patch:
        sheet.glow(oval(x, y, 56), DIRT, 0.55, 16)
    for x, y in tubes:
        sheet.shape(oval(x, y, 37), OCHRE, 3)
        if (x, y) in silted:
            sheet.shape(oval(x + 1, y + 1, 30), (150, 149, 144), 2.8)
            sheet.dots(oval(x, y, 26), 14, 4, (88, 87, 84))
        else:
            sheet.shape(oval(x + 1, y + 1, 29), (30, 34, 40), 2.8)
            sheet.ink(arc(x, y, 20, 20, 200, 260, 8), 2.4, SLATE)
    sheet.text((1412, 420), "35 open", 46, WHITE)
    sheet.text((1412, 490), "17 silted", 46, WHITE)
    sheet.text((1412, 560), "of 52", 46, WHITE)


def gas_hob(sheet: Sheet) -> None:
    """Behind the hob: the hose's joint under foam, and the hose's own date."""
    sheet.wash(box(40, 40, 1520, 1090), (226, 221, 206))
    sheet.shape(box(20, 860, 1570, 300), WOOD, 3.6)
    for k in range(3):
        sheet.ink(
            [(40 + 150 * i, 930 + 70 * k + 6 * ((i + k) % 3 - 1)) for i in range(12)], 1.8, (150, 116, 74)
        )
    sheet.shape(box(160, 180, 1180, 430, 20), PALE, 4.2)
    sheet.shape(box(130, 140, 1240, 56, 16), STEEL, 4)
    for x in (420, 1080):
        sheet.shape(box(x - 120, 96, 240, 44, 8), RUBBER, 3.4)
        for dx in (-90, -30, 30, 90):
            sheet.ink([(x + dx, 96), (x + dx, 62)], 7)
        sheet.ink([(x - 120, 64), (x + 120, 62)], 7)
    for k in range(5):
        sheet.ink([(900, 280 + 44 * k), (1240, 280 + 44 * k)], 5)
    sheet.hatch(box(170, 560, 1160, 46), 14, -50)
    for x in (240, 1260):
        bolt(sheet, (x, 240), 16)
        sheet.shape(box(x - 40, 610, 80, 250), SLATE, 3.4)
    sheet.shape(box(430, 470, 150, 70, 8), BRONZE, 3.6)
    sheet.shape(box(470, 536, 70, 60), BRONZE, 3.4)
    hose = curve(
        [(505, 600), (508, 700), (560, 790), (700, 830), (1000, 836), (1300, 820), (1640, 780)], steps=16
    )
    pipe(sheet, hose, 98, (236, 180, 112), 4)
    sheet.text((985, 838), "REPLACE BEFORE 2014", 46, (20, 20, 24))
    clamp(sheet, (505, 650), 42, 102, -90)
    bubbles = [(430 + (k * 67) % 156, 560 + (k * 41) % 96, 13 + (k * 17) % 19) for k in range(34)]
    bubbles += [(450 + (k * 31) % 120, 656 + (k * 23) % 60, 8 + (k * 7) % 10) for k in range(12)]
    foam(sheet, bubbles)
    sheet.ring(506, 606, 158, 116)


PICTURES = {
    "header-tank.jpg": Picture(header_tank, "tank drawn cut open", TALL),
    "stack-silted.jpg": Picture(stack_silted, "raw-water end, cover off"),
    "gas-hob.jpg": Picture(gas_hob, "behind the hob, galley, port side"),
}
