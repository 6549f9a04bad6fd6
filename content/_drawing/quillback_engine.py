"""Quillback's engine: the bay from aft, a gauge on cylinder 6, a rusty elbow joint, eight spark plugs."""

from __future__ import annotations

from _drawing.picture import TALL, Picture
from _drawing.pieces import Scale, bolt, clamp, dial, pipe, rule, streak
from _drawing.shapes import Point, Points, arc, box, curve, oval, turned
from _drawing.sheet import (
    BILGE,
    BROWN,
    DIRT,
    INK,
    OCHRE,
    PALE,
    RUBBER,
    RUST,
    SLATE,
    STEEL,
    WHITE,
    WOOD,
    Sheet,
)


def _other_side(points: Points) -> list[tuple[float, float]]:
    return [(1600 - x, y) for x, y in points]


def engine_from_aft(sheet: Sheet) -> None:
    """A V8 seen from its pulley end in the bay of a V-drive boat."""
    sheet.wash(box(40, 40, 1520, 1090), (226, 222, 208))
    side = [(40, 300), (150, 560), (330, 900), (620, 1130), (40, 1130)]
    for hull in (side, _other_side(side)):
        sheet.shape(hull, BILGE, 3.4)
        sheet.hatch(hull, 22, -50)
    keel = [(330, 900), (620, 1130), (980, 1130), (1270, 900), (1040, 960), (560, 960)]
    sheet.shape(keel, DIRT, 2.6)
    for right in (False, True):
        _bank(sheet, right)
    sheet.shape(curve([(640, 560), (610, 440), (690, 400), (910, 400), (990, 440), (960, 560)]), SLATE, 3.2)
    for x in (690, 760, 840, 910):
        sheet.ink([(x, 420), (x + (800 - x) * 0.15, 545)], 2.2)
    _arrestor(sheet)
    block = [
        (660, 560),
        (940, 560),
        (1040, 690),
        (1030, 900),
        (940, 1010),
        (660, 1010),
        (570, 900),
        (560, 690),
    ]
    sheet.shape(block, STEEL, 3.8)
    sheet.hatch([(1040, 690), (1030, 900), (940, 1010), (880, 1010), (960, 880), (970, 700)], 12, -50)
    sheet.shape(box(650, 985, 300, 90, 30), SLATE, 3.4)
    _belt_drive(sheet)
    for at in ((620, 720), (985, 720), (625, 905), (700, 985), (905, 985), (660, 610), (940, 610)):
        bolt(sheet, at, 13)
    sheet.text((250, 120), "PORT", 44)
    sheet.text((1350, 120), "STBD", 44)


def _bank(sheet: Sheet, right: bool) -> None:
    """One bank with its exhaust: head and cover, manifold, elbow bending outboard and down into its hose."""

    def flip(points: Points) -> list[Point]:
        return [(1600 - x, y) for x, y in points] if right else list(points)

    about = (567, 617)
    sheet.shape(flip(turned(box(about[0] - 120, about[1] - 50, 240, 120, 12), about, -45)), STEEL, 3.4)
    sheet.shape(flip(turned(box(about[0] - 105, about[1] - 135, 210, 90, 34), about, -45)), SLATE, 3.4)
    sheet.ink(flip(turned(box(about[0] - 78, about[1] - 112, 156, 44, 18), about, -45)), 2, closed=True)
    sheet.shape(flip([(470, 690), (545, 640), (610, 740), (470, 800)]), STEEL, 3.2)
    pipe(sheet, flip(curve([(252, 566), (232, 700), (214, 860), (208, 1150)], steps=12)), 108, RUBBER)
    sheet.shape(flip(box(352, 640, 150, 230, 22)), STEEL, 3.8)
    sheet.hatch(flip(box(450, 650, 44, 210)), 12, -50)
    sheet.ink(flip(box(392, 690, 74, 150, 12)), 2, closed=True)
    bend = curve([(430, 612), (432, 520), (400, 430), (326, 404), (270, 470), (252, 580)], steps=12)
    pipe(sheet, flip(bend), 128, SLATE, 3.8)
    sheet.shape(flip(box(338, 600, 178, 42, 6)), PALE, 3.2)
    clamp(sheet, flip([(242, 626)])[0], 34, 124, 82 if right else 98)
    for x in (356, 498):
        bolt(sheet, flip([(x, 600)])[0], 12)
    if not right:
        streak(sheet, (380, 640), 190, 60)
        sheet.glow(box(340, 632, 130, 12), RUST, 0.9, 6)


def _arrestor(sheet: Sheet) -> None:
    sheet.shape(box(715, 340, 170, 70, 10), STEEL, 3.2)
    sheet.shape(box(680, 230, 240, 112, 40), PALE, 3.4)
    for x in range(704, 905, 14):
        sheet.ink([(x, 250), (x, 325)], 1.8)
    sheet.shape(box(670, 262, 260, 26, 8), STEEL, 2.6)


def _pulley(sheet: Sheet, x: float, y: float, r: float) -> None:
    sheet.shape(oval(x, y, r), SLATE, 3.6)
    sheet.shape(oval(x, y, r * 0.78), STEEL, 2.6)
    sheet.hatch(arc(x, y, r * 0.78, r * 0.78, 10, 140), 9, -50, 1.5)
    sheet.shape(oval(x, y, r * 0.3), PALE, 2.6)
    bolt(sheet, (x, y), r * 0.15)


def _belt_drive(sheet: Sheet) -> None:
    belt = [
        (684, 862),
        (704, 598),
        (760, 532),
        (840, 530),
        (1050, 396),
        (1130, 414),
        (1128, 500),
        (1078, 968),
        (1010, 1002),
        (830, 976),
        (740, 964),
    ]
    hollow = [
        (716, 850),
        (730, 622),
        (790, 556),
        (850, 556),
        (1064, 424),
        (1100, 440),
        (1098, 500),
        (1052, 940),
        (1012, 970),
        (838, 946),
        (752, 936),
    ]
    sheet.shape(curve(belt, True), RUBBER, 3)
    sheet.shape(curve(hollow, True), STEEL, 2.4)
    sheet.shape(oval(1072, 462, 96), PALE, 3.4)
    _pulley(sheet, 800, 850, 122)
    _pulley(sheet, 796, 618, 92)
    _pulley(sheet, 1072, 462, 64)
    _pulley(sheet, 1020, 930, 68)


def gauge_six(sheet: Sheet) -> None:
    """A compression gauge whose hose is screwed into the bore marked 6; forward is left, so 8 6 4 2."""
    sheet.wash(box(40, 40, 1120, 1490), (236, 232, 219))
    sheet.shape(box(80, 1010, 1040, 170, 60), SLATE, 3.8)
    sheet.shape(box(130, 1050, 940, 84, 40), SLATE, 2.2)
    sheet.shape(box(60, 1172, 1080, 250), STEEL, 3.8)
    sheet.hatch(box(60, 1180, 1080, 40), 12, -50)
    sheet.shape(box(60, 1418, 1080, 120), BILGE, 3.6)
    sheet.hatch(box(60, 1425, 1080, 110), 16, -50)
    for x, number in ((200, 8), (460, 6), (740, 4), (1000, 2)):
        sheet.shape(oval(x, 1295, 66), PALE, 3)
        sheet.shape(oval(x, 1300, 42), INK, 3)
        sheet.text((x + 92, 1372), str(number), 62)
    for x in (330, 600, 870):
        bolt(sheet, (x, 1210), 20)
    hose = curve(
        [(600, 760), (606, 850), (690, 950), (640, 1060), (500, 1120), (460, 1210), (460, 1250)], steps=14
    )
    pipe(sheet, hose, 40, RUBBER)
    sheet.shape(box(426, 1228, 68, 50, 6), PALE, 3.2)
    sheet.shape(box(438, 1276, 44, 44), PALE, 3)
    for y in range(1282, 1318, 8):
        sheet.ink([(438, y), (482, y + 3)], 2)
    sheet.shape(box(572, 690, 56, 84, 6), PALE, 3.2)
    sheet.shape(box(560, 740, 80, 40, 6), STEEL, 3.2)
    dial(sheet, (600, 400), 280, Scale(0, 300, 50, 10, "psi"), 101)
    sheet.ring(486, 1310, 130, 118)


def riser_port(sheet: Sheet) -> None:
    """Manifold and exhaust elbow from outboard, rust from the joint down the manifold's face."""
    sheet.wash(box(40, 40, 1520, 1090), (234, 230, 217))
    sheet.shape([(40, 960), (1560, 960), (1560, 1130), (40, 1130)], BILGE, 3)
    sheet.hatch([(40, 970), (1560, 970), (1560, 1130), (40, 1130)], 20, -40)
    for x in (190, 420, 650, 880):
        sheet.shape(box(x, 590, 150, 70, 20), SLATE, 3)
    sheet.shape(box(110, 650, 1140, 300, 44), STEEL, 4)
    sheet.hatch([(120, 880), (1240, 880), (1230, 946), (130, 946)], 12, -50)
    sheet.ink(box(170, 700, 660, 170, 30), 2.4, closed=True)
    for x in (300, 430, 560, 690):
        sheet.ink([(x, 706), (x, 864)], 1.8)
    hose = curve([(1392, 470), (1440, 590), (1465, 760), (1475, 1130)], steps=14)
    elbow = [
        (930, 552),
        (944, 420),
        (1010, 280),
        (1150, 200),
        (1300, 226),
        (1410, 330),
        (1468, 470),
        (1310, 520),
        (1276, 440),
        (1220, 410),
        (1188, 452),
        (1184, 552),
    ]
    sheet.shape(curve(elbow), SLATE, 4.2)
    sheet.shade(
        curve(
            [
                (1130, 552),
                (1120, 450),
                (1170, 370),
                (1260, 360),
                (1340, 420),
                (1400, 500),
                (1310, 520),
                (1276, 440),
                (1220, 410),
                (1188, 452),
                (1184, 552),
            ]
        ),
        0.3,
    )
    sheet.hatch(
        curve(
            [
                (1140, 545),
                (1136, 450),
                (1180, 390),
                (1250, 385),
                (1310, 440),
                (1330, 512),
                (1300, 512),
                (1270, 440),
                (1220, 410),
                (1184, 452),
                (1180, 545),
            ]
        ),
        11,
        -50,
    )
    pipe(sheet, hose, 150, RUBBER)
    clamp(sheet, (1418, 560), 36, 166, 76)
    clamp(sheet, (1440, 640), 36, 166, 81)
    sheet.shape(box(884, 548, 352, 48, 5), STEEL, 3.6)
    sheet.shape(box(876, 604, 368, 50, 5), STEEL, 3.6)
    sheet.shape(box(886, 594, 350, 12), BROWN, 2.4)
    for x in (922, 1200):
        bolt(sheet, (x, 545), 22, RUST if x > 1000 else STEEL)
    sheet.glow(box(1000, 590, 200, 22), RUST, 0.95, 8)
    streak(sheet, (1110, 600), 280, 120)
    streak(sheet, (1034, 606), 130, 40)
    sheet.dots(box(1040, 606, 140, 50), 60, 4, BROWN)
    rule(sheet, (1330, 604), 38, range(8), "in", 90)
    sheet.ring(1090, 604, 150, 66)


def _plug(sheet: Sheet, x: float, y: float, rusty: bool) -> None:
    """A spark plug, its firing end up, about 500 units long from its tip at y."""
    shell, tip = (RUST, BROWN) if rusty else (PALE, OCHRE)
    sheet.shade(box(x - 30, y + 60, 96, 440, 30), 0.28)
    sheet.ink([(x - 24, y + 66), (x - 24, y + 4), (x + 10, y + 2)], 9, BROWN if rusty else SLATE)
    sheet.shape([(x - 9, y + 24), (x + 9, y + 24), (x + 16, y + 66), (x - 16, y + 66)], tip, 2.6)
    sheet.shape(box(x - 34, y + 62, 68, 108), shell, 3)
    for k in range(8):
        sheet.ink([(x - 35, y + 74 + k * 12), (x + 35, y + 68 + k * 12)], 2.2)
    sheet.shape(box(x - 42, y + 170, 84, 26, 6), shell, 3)
    sheet.shape(box(x - 50, y + 196, 100, 66, 4), shell, 3.2)
    for dx in (-18, 18):
        sheet.ink([(x + dx, y + 198), (x + dx, y + 260)], 2.2)
    sheet.hatch(box(x + 18, y + 198, 31, 62), 8, -50, 1.4)
    sheet.shape([(x - 32, y + 262), (x + 32, y + 262), (x + 23, y + 430), (x - 23, y + 430)], WHITE, 3)
    for k in range(3):
        sheet.ink([(x - 29 + k * 2, y + 300 + k * 36), (x + 29 - k * 2, y + 300 + k * 36)], 2.2)
    sheet.shade([(x + 8, y + 264), (x + 32, y + 264), (x + 23, y + 430), (x + 6, y + 430)], 0.25)
    sheet.shape(box(x - 15, y + 430, 30, 46, 8), STEEL, 3)
    if rusty:
        sheet.glow(box(x - 30, y + 80, 60, 110), BROWN, 0.45, 10)
        sheet.dots(box(x - 36, y + 64, 72, 190), 46, 6, BROWN)


def plugs_in_order(sheet: Sheet) -> None:
    """Eight spark plugs on a board, numbered by their cylinders."""
    sheet.wash(box(40, 40, 1520, 1090), (222, 217, 203))
    sheet.shade(box(100, 190, 1440, 850), 0.35)
    sheet.shape(box(80, 170, 1440, 840), WOOD, 4)
    sheet.shape([(80, 1010), (1520, 1010), (1520, 1046), (80, 1046)], OCHRE, 3.4)
    sheet.hatch(box(80, 1012, 1440, 32), 10, -50)
    for k, y in enumerate((205, 262, 700, 836, 958, 985)):
        grain = [(90 + 130 * i, y + 9 * ((i * 7 + k * 5) % 3 - 1)) for i in range(12)]
        sheet.ink(curve(grain), 1.7, (150, 116, 74), tremble=2)
    for i in range(8):
        x = 185 + i * 176
        _plug(sheet, x, 300, i == 5)
        sheet.text((x, 900), str(i + 1), 80)
    sheet.ring(185 + 5 * 176, 440, 84, 176)


PICTURES = {
    "engine-from-aft.jpg": Picture(engine_from_aft, "seen from aft, looking forward"),
    "gauge-six.jpg": Picture(gauge_six, "port bank, forward to the left", TALL),
    "riser-port.jpg": Picture(riser_port, "seen from outboard, aft to the right"),
    "plugs-in-order.jpg": Picture(plugs_in_order, "by the maker's cylinder numbers"),
}
