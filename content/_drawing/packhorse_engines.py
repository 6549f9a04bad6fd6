"""Packhorse's outboards: transom, gauge on cylinder 3, gearcase oil, the tie bar's bracket twice."""

from __future__ import annotations

from _drawing.picture import TALL, Picture
from _drawing.pieces import Scale, bead, bolt, crack, dial, pipe, rule
from _drawing.shapes import box, curve, oval, turned
from _drawing.sheet import (
    BILGE,
    INK,
    PALE,
    RUBBER,
    RUST,
    SLATE,
    STEEL,
    WHITE,
    WOOD,
    YELLOW,
    Sheet,
    lighter,
)


def _outboard(sheet: Sheet, x: float) -> None:
    """An outboard from aft, its cowl's middle at x."""
    sheet.shape(curve([(x - 20, 1000), (x - 130, 960), (x - 150, 990), (x - 30, 1030)], True), STEEL, 3)
    sheet.shape(curve([(x + 20, 1000), (x + 130, 1040), (x + 150, 1010), (x + 30, 975)], True), STEEL, 3)
    sheet.shape(curve([(x - 8, 985), (x + 14, 880), (x + 46, 876), (x + 24, 990)], True), STEEL, 3)
    sheet.shape(
        [(x - 62, 560), (x + 62, 560), (x + 40, 860), (x + 26, 960), (x - 26, 960), (x - 40, 860)],
        RUBBER,
        3.6,
    )
    sheet.shape(box(x - 118, 850, 236, 24, 10), RUBBER, 3.4)
    sheet.shape(oval(x, 985, 46, 62), RUBBER, 3.6)
    sheet.shape([(x - 8, 1040), (x + 8, 1040), (x + 4, 1104), (x - 4, 1104)], RUBBER, 3)
    sheet.shape(oval(x, 992, 24), SLATE, 3)
    sheet.hatch([(x + 8, 566), (x + 60, 566), (x + 40, 850), (x + 8, 850)], 12, -50)
    sheet.shape(box(x - 96, 470, 192, 110, 20), SLATE, 3.6)
    cowl = [
        (x - 128, 480),
        (x - 142, 380),
        (x - 128, 230),
        (x - 70, 160),
        (x, 148),
        (x + 70, 160),
        (x + 128, 230),
        (x + 142, 380),
        (x + 128, 480),
    ]
    sheet.shape([*curve(cowl), (x + 90, 500), (x - 90, 500)], (98, 102, 110), 4)
    sheet.shade(
        curve(
            [(x + 60, 160), (x + 128, 230), (x + 142, 380), (x + 128, 490), (x + 70, 498), (x + 84, 340)],
            True,
        ),
        0.35,
    )
    sheet.ink([(x - 138, 420), (x + 138, 420)], 2.8)
    sheet.shape(box(x - 60, 210, 120, 50, 14), RUBBER, 2.6)
    for dy in (226, 243):
        sheet.ink([(x - 50, dy), (x + 50, dy)], 2)


def transom_engines(sheet: Sheet) -> None:
    """The transom from aft with both outboards and the bar between their steering arms."""
    sheet.wash(box(40, 40, 1520, 1090), (232, 230, 220))
    sheet.wash(box(40, 990, 1520, 140), (206, 200, 184))
    sheet.shape(box(360, 60, 880, 36, 10), WHITE, 3.2)
    for x in (420, 1180):
        pipe(sheet, [(x, 96), (x, 420)], 18, SLATE, 2.8)
    hull = [(130, 380), (1470, 380), (1440, 720), (1350, 770), (800, 900), (250, 770), (160, 720)]
    sheet.shape(hull, PALE, 4.2)
    sheet.hatch([(250, 765), (800, 895), (1350, 765), (1350, 735), (800, 858), (250, 735)], 13, -50)
    sheet.ink([(140, 420), (1462, 420)], 2.6)
    for x in (330, 1270):
        sheet.shape(box(x - 60, 640, 120, 54, 12), BILGE, 3.2)
        for dx in (-34, 34):
            bolt(sheet, (x + dx, 667), 9)
    for x in (560, 1040):
        sheet.shape(box(x - 110, 440, 220, 260, 16), SLATE, 3.4)
    for x in (560, 1040):
        _outboard(sheet, x)
    for x in (560, 1040):
        sheet.shape([(x - 30, 500), (x + 30, 500), (x + 24, 572), (x - 24, 572)], STEEL, 3.2)
    pipe(sheet, [(470, 596), (650, 596)], 30, PALE, 3)
    pipe(sheet, [(540, 560), (1060, 560)], 26, PALE, 3.2)
    for x in (560, 1040):
        bolt(sheet, (x, 560), 19)
    sheet.text((860, 640), "tie bar", 34)
    sheet.ink([(830, 618), (810, 580)], 2.6)
    sheet.text((250, 330), "PORT", 40)
    sheet.text((1340, 330), "STBD", 40)


def gauge_three(sheet: Sheet) -> None:
    """A compression gauge on the third cylinder from the top of the port powerhead."""
    sheet.wash(box(40, 40, 1120, 1490), (236, 232, 219))
    sheet.shape(box(720, 560, 404, 1000, 30), SLATE, 4)
    sheet.shape(curve([(700, 560), (730, 440), (930, 400), (1114, 440), (1140, 560)]), RUBBER, 4)
    sheet.shape(box(690, 550, 458, 44, 14), STEEL, 3.4)
    sheet.shape(box(770, 630, 300, 880, 20), STEEL, 3.8)
    sheet.hatch([(1010, 640), (1066, 640), (1066, 1500), (1010, 1500)], 13, -50)
    for k in range(4):
        y = 730 + 215 * k
        sheet.shape(oval(900, y, 62), PALE, 3)
        sheet.shape(oval(903, y + 3, 40), INK, 3)
        sheet.text((1006, y), str(k + 1), 68)
    for y in (662, 838, 1052, 1268, 1478):
        for x in (802, 1040):
            bolt(sheet, (x, y), 16)
    hose = curve([(390, 745), (392, 850), (430, 1010), (590, 1120), (740, 1160), (850, 1160)], steps=14)
    pipe(sheet, hose, 40, RUBBER)
    sheet.shape(box(842, 1126, 54, 68, 6), PALE, 3.2)
    sheet.shape(box(894, 1138, 34, 44, 3), PALE, 3)
    for x in (901, 909, 917):
        sheet.ink([(x, 1138), (x + 2, 1182)], 2)
    sheet.shape(box(362, 680, 56, 76, 6), PALE, 3.2)
    sheet.shape(box(350, 722, 80, 40, 6), STEEL, 3.2)
    dial(sheet, (390, 400), 272, Scale(0, 2000, 500, 100, "kPa"), 870)
    sheet.ring(930, 1160, 140, 96)


def _jar(sheet: Sheet, x: float, oil: tuple[int, int, int], milky: bool) -> None:
    sheet.shade(
        curve([(x - 170, 960), (x + 190, 950), (x + 330, 1000), (x + 60, 1030), (x - 150, 1010)], True), 0.35
    )
    glass = [
        (x - 180, 330),
        (x - 192, 420),
        (x - 192, 900),
        (x - 150, 962),
        (x + 150, 962),
        (x + 192, 900),
        (x + 192, 420),
        (x + 180, 330),
    ]
    sheet.shape(glass, (226, 232, 228), 3.6)
    full = [(x - 180, 500), *[(x + 180, 500)], (x + 180, 895), (x + 142, 948), (x - 142, 948), (x - 180, 895)]
    sheet.wash(full, oil)
    sheet.shape(oval(x, 500, 180, 34), lighter(oil, 0.16), 2.6)
    if milky:
        for k in range(5):
            swirl = [(x - 150 + 30 * i, 560 + 70 * k + 16 * ((i + k) % 3 - 1)) for i in range(11)]
            sheet.ink(curve(swirl), 5, (184, 181, 170), tremble=3)
    sheet.shade([(x + 110, 510), (x + 180, 500), (x + 180, 895), (x + 142, 948), (x + 90, 948)], 0.22)
    sheet.ink([(x - 150, 430), (x - 152, 880)], 9, WHITE, tremble=2)
    sheet.ink(glass, 3.6, closed=True)
    sheet.shape(box(x - 190, 236, 380, 96, 16), STEEL, 3.8)
    for k in range(15):
        sheet.ink([(x - 172 + k * 24.6, 246), (x - 172 + k * 24.6, 324)], 2)


def gearcase_oil(sheet: Sheet) -> None:
    """Two jars of gear oil, the drained one milky, the other clean."""
    sheet.wash(box(40, 40, 1520, 1090), (236, 232, 219))
    sheet.shape([(20, 850), (1580, 850), (1580, 1180), (20, 1180)], WOOD, 3.6)
    for k, y in enumerate((1060, 1094)):
        sheet.ink([(60 + 150 * i, y + 5 * ((i + k) % 3 - 1)) for i in range(11)], 1.8, (150, 116, 74))
    _jar(sheet, 480, (214, 212, 203), True)
    _jar(sheet, 1100, (186, 112, 28), False)
    for x, words in ((480, "PORT AUG"), (1100, "CLEAN")):
        sheet.shape(turned(box(x - 134, 680, 268, 120, 6), (x, 740), -2), WHITE, 3)
        sheet.text((x, 740), words, 46, turn=-2)


def _bracket(sheet: Sheet, repaired: bool) -> None:
    """The bracket on the port engine's steering arm from aft, the tie bar going off to starboard."""
    sheet.wash(box(40, 40, 1520, 1090), (228, 226, 216))
    sheet.shape(
        curve([(20, 20), (760, 20), (800, 110), (760, 230), (640, 270), (20, 290)]), (98, 102, 110), 4
    )
    sheet.hatch([(40, 230), (640, 215), (640, 262), (40, 282)], 12, -50)
    sheet.shape([(20, 1160), (20, 860), (380, 830), (470, 1160)], RUBBER, 3.8)
    arm = [(180, 300), (520, 300), (560, 420), (540, 840), (440, 900), (220, 900), (150, 820), (140, 420)]
    sheet.shape(curve(arm, True, 6), SLATE, 4)
    sheet.hatch([(150, 760), (530, 760), (500, 850), (440, 890), (220, 890), (160, 820)], 13, -50)
    steel = PALE if repaired else STEEL
    bar = [(900, 560), (1660, 560)]
    pipe(sheet, bar, 96, steel, 4)
    plate = [(300, 420), (760, 420), (900, 480), (960, 500), (960, 640), (900, 660), (760, 730), (300, 730)]
    sheet.shade([(x + 14, y + 20) for x, y in plate], 0.3)
    sheet.shape(plate, steel, 4)
    bead(sheet, curve([(286, 410), (280, 575), (286, 742)], steps=18), 48, PALE)
    bead(sheet, curve([(930, 500), (952, 570), (930, 642)], steps=10), 38, PALE)
    sheet.shape(box(1010, 500, 110, 122, 10), STEEL, 3.6)
    for x in (1034, 1065, 1096):
        sheet.ink([(x, 502), (x, 620)], 2.4)
    for at in ((430, 575), (720, 575)):
        bolt(sheet, at, 62 if at[0] > 500 or repaired else 50)
        if repaired:
            sheet.shape(turned(box(at[0] - 10, at[1] - 98, 20, 192, 6), at, 25), YELLOW, 2, tremble=1.6)
    unit = 9.5
    if not repaired:
        sheet.glow(oval(340, 590, 40, 110), RUST, 0.5, 24)
        length = unit * 18
        line = [(284 + (i * 11 % 9) - 4, 485 + i * length / 12) for i in range(13)]
        crack(sheet, line, 7, (16, 16, 20), 5)
        sheet.ring(286, 572, 68, 132)
        sheet.text((1080, 330), "crack in the weld, 18 mm", 40)
        sheet.arrow((810, 352), (366, 474), 46)
    rule(sheet, (300, 800), unit * 10, range(6), "cm", 0)
    sheet.text((1330, 690), "tie bar to starboard engine", 34)
    sheet.text((260, 120), "PORT ENGINE", 40, WHITE)


def tie_bar_crack(sheet: Sheet) -> None:
    """The cracked bracket."""
    _bracket(sheet, False)


def tie_bar_new(sheet: Sheet) -> None:
    """The new bracket and bar from the same side."""
    _bracket(sheet, True)


PICTURES = {
    "transom-engines.jpg": Picture(transom_engines, "seen from aft"),
    "gauge-three.jpg": Picture(gauge_three, "port engine, 18 August", TALL),
    "gearcase-oil.jpg": Picture(gearcase_oil, "port gearcase, 18 August"),
    "tie-bar-crack.jpg": Picture(tie_bar_crack, "seen from aft, 18 August"),
    "tie-bar-new.jpg": Picture(tie_bar_new, "seen from aft, 10 September"),
}
