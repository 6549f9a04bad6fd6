"""Stille Wouw's hull and fittings: in the slings, builder's plate, shore inlet, gland pocket, rudder play."""

from __future__ import annotations

from _drawing.picture import Picture
from _drawing.pieces import Scale, bolt, dial, pipe, screw
from _drawing.shapes import arc, band, box, curve, oval, polar, turned
from _drawing.sheet import (
    BILGE,
    BRONZE,
    BROWN,
    DIRT,
    INK,
    PALE,
    RED,
    RUBBER,
    RUST,
    SLATE,
    STEEL,
    WHITE,
    WOOD,
    Sheet,
)


def boat_in_slings(sheet: Sheet) -> None:
    """A steel cruiser from port, hanging in two slings under the lift's beam; her bow to the left."""
    sheet.wash(box(40, 40, 1520, 1090), (234, 233, 225))
    sheet.wash(box(40, 1010, 1520, 120), (206, 200, 184))
    sheet.shade(curve([(260, 1060), (800, 1035), (1330, 1060), (800, 1090)], True), 0.4)
    for x in (110, 1430):
        sheet.shape(box(x, 40, 60, 1010), (214, 190, 120), 3.6)
        sheet.hatch(box(x + 36, 44, 22, 1000), 13, -50)
        sheet.shape(oval(x + 30, 1046, 62), RUBBER, 3.6)
        sheet.shape(oval(x + 30, 1046, 28), PALE, 3)
    sheet.shape(box(60, 84, 1480, 66), (214, 190, 120), 4)
    for x in range(120, 1480, 110):
        sheet.ink([(x, 92), (x + 40, 142)], 1.8)
    for x in (440, 1110):
        sheet.shape(box(x - 34, 192, 24, 400), (128, 104, 62), 2.6)
    _hull(sheet)
    _house(sheet)
    for x in (440, 1110):
        bottom = 850 if x < 800 else 806
        strap = [(x - 24, 192), (x + 24, 192), (x + 24, bottom), (x, bottom + 16), (x - 24, bottom)]
        sheet.shape(strap, (150, 120, 70), 3)
        for dx in (-9, 9):
            sheet.ink([(x + dx, 200), (x + dx, bottom - 4)], 1.8)
        sheet.shape(box(x - 46, 142, 92, 56, 8), SLATE, 3.2)


def _hull(sheet: Sheet) -> None:
    below = [
        (224, 640),
        (270, 740),
        (340, 820),
        (430, 856),
        (1000, 852),
        (1100, 800),
        (1180, 748),
        (1335, 718),
        (1342, 668),
    ]
    sheet.shape([*curve(below, steps=6), (224, 640)], (128, 62, 52), 4)
    chine = [(232, 690), (420, 760), (800, 776), (1180, 742), (1338, 706)]
    sheet.ink(curve(chine), 2.6)
    sheet.hatch(
        [*curve(chine), *reversed(curve([(340, 820), (430, 856), (1000, 852), (1100, 800), (1180, 748)]))],
        14,
        -40,
    )
    tube = [(1130, 790), (1200, 806)]
    pipe(sheet, tube, 26, SLATE, 3)
    pipe(sheet, [(1196, 806), (1232, 813)], 12, STEEL, 2.6)
    for y, tall, lean in ((764, 46, -8), (862, 46, 8), (790, 22, 14), (836, 22, -14)):
        sheet.shape(oval(1222 + lean / 2, y, 13, tall, lean), BRONZE, 3)
    sheet.shape(oval(1222, 812, 17, 15), BRONZE, 3)
    sheet.shape(box(1276, 718, 22, 26), SLATE, 3)
    rudder = [(1254, 742), (1336, 744), (1348, 900), (1264, 904), (1250, 820)]
    sheet.shape(rudder, (128, 62, 52), 3.6)
    sheet.shape(box(1290, 800, 36, 44, 6), BILGE, 2.6)
    for x, y in ((480, 810), (760, 820), (960, 806)):
        sheet.shape(box(x, y, 56, 22, 8), BILGE, 2.6)
    top = [
        (170, 470),
        (420, 508),
        (800, 530),
        (1150, 528),
        (1370, 510),
        (1342, 668),
        (900, 662),
        (500, 650),
        (224, 640),
        (196, 560),
    ]
    sheet.shape([*curve(top[:5], steps=6), *curve(top[5:9], steps=6), (196, 560)], (44, 70, 98), 4.2)
    sheet.shape(
        band(curve([(186, 490), (420, 526), (800, 548), (1150, 546), (1360, 529)], steps=6), -7, 7),
        WHITE,
        2.4,
    )
    sheet.shape(band(curve([(228, 637), (500, 648), (900, 660), (1336, 665)], steps=6), -6, 6), WHITE, 2.2)
    for x in (330, 380, 560, 640, 1200, 1270):
        sheet.shape(oval(x, 590, 18, 14), PALE, 2.6)
    sheet.shape(curve([(222, 540), (244, 560), (238, 600), (214, 598)], True), STEEL, 2.6)


def _house(sheet: Sheet) -> None:
    fore = [(400, 508), (430, 446), (640, 440), (660, 526)]
    aft = [(980, 530), (985, 440), (1290, 438), (1316, 516)]
    wheel = [(600, 524), (650, 356), (664, 330), (1010, 326), (1024, 350), (1010, 532)]
    for part in (fore, aft, wheel):
        sheet.shape(part, WHITE, 3.8)
    sheet.shape(
        [(630, 336), (650, 318), (1030, 314), (1046, 332), (1040, 346), (640, 350)], (232, 226, 206), 3.4
    )
    for window in (
        [(654, 372), (716, 370), (712, 442), (632, 444)],
        [(734, 370), (836, 369), (836, 442), (730, 442)],
        [(854, 369), (990, 368), (988, 442), (854, 442)],
    ):
        sheet.shape(window, (122, 148, 152), 3.2)
        sheet.hatch(window, 16, -40)
    for x in (462, 540, 1040, 1130, 1220):
        sheet.shape(box(x, 462, 52, 30, 8), (122, 148, 152), 2.8)
    for x, y in ((200, 470), (300, 486), (1330, 510)):
        sheet.ink([(x, y), (x, y - 62)], 4)
    sheet.ink([(176, 440), (200, 410), (300, 424), (400, 440)], 4, SLATE)
    sheet.ink([(1296, 440), (1330, 446), (1362, 452), (1366, 510)], 4, SLATE)
    pipe(sheet, [(900, 318), (908, 222)], 12, SLATE, 2.6)
    sheet.ink([(880, 250), (936, 250)], 4)
    sheet.shape(oval(906, 214, 10), WHITE, 2.4)


def builder_plate(sheet: Sheet) -> None:
    """The builder's plate on the panelling beside the wheel."""
    sheet.wash(box(40, 40, 1520, 1090), WOOD)
    for k in range(12):
        y = 80 + 92 * k
        sheet.ink(
            curve([(40 + 140 * i, y + 12 * ((i * 5 + k * 3) % 4 - 1.5)) for i in range(12)]),
            1.8,
            (152, 118, 76),
            tremble=3,
        )
    sheet.ink([(40, 250), (1560, 250)], 3)
    sheet.ink([(40, 262), (1560, 262)], 2)
    rim = arc(40, 700, 330, 470, -84, 84, 60)
    pipe(sheet, [(30, 700), (364, 690)], 34, STEEL, 3.2)
    pipe(sheet, rim, 58, BROWN, 3.8)
    sheet.shade(box(520, 372, 960, 600, 22), 0.4)
    sheet.shape(box(500, 350, 960, 600, 22), STEEL, 4)
    sheet.shape(box(524, 374, 912, 552, 14), PALE, 2.8)
    for x in (556, 1404):
        for y in (406, 894):
            screw(sheet, (x, y), 17, x + y)
    sheet.text((980, 450), "HARMSLUIS JACHTBOUW", 58)
    sheet.ink([(600, 506), (1360, 504)], 2.6)
    sheet.text((980, 572), "HARMSLUIS 1140 AK", 72)
    sheet.ink([(600, 640), (1360, 638)], 2.6)
    for x in (646, 690):
        sheet.wash(oval(x, 704, 13), INK)
        sheet.wash(box(x - 17, 721, 34, 48, 13), INK)
    sheet.text((740, 740), "8 persons", 58, anchor="lm")
    sheet.wash([(1096, 712), (1134, 712), (1150, 770), (1080, 770)], INK)
    sheet.ink(oval(1115, 700, 12), 5)
    sheet.text((1170, 740), "1150 kg", 58, anchor="lm")
    sheet.text((980, 852), "built 1999", 58)


def shore_inlet(sheet: Sheet) -> None:
    """The round shore-power inlet with its cap open, one pin scorched."""
    sheet.wash(box(40, 40, 1520, 1090), WHITE)
    sheet.hatch([(40, 980), (1560, 980), (1560, 1130), (40, 1130)], 20, -40)
    sheet.ink([(40, 976), (1560, 972)], 3)
    sheet.shade(box(470, 300, 690, 690, 60), 0.28)
    sheet.shape(box(450, 270, 690, 690, 60), (96, 130, 160), 4)
    for x in (504, 1086):
        for y in (324, 906):
            screw(sheet, (x, y), 22, x * 0.7 + y)
    sheet.shape([(640, 250), (960, 250), (940, 330), (660, 330)], SLATE, 3.4)
    lid = [(590, 250), (560, 130), (600, 66), (1000, 66), (1040, 130), (1010, 250)]
    sheet.shape(curve(lid), (96, 130, 160), 4)
    sheet.shape(
        curve([(640, 230), (620, 140), (650, 100), (950, 100), (980, 140), (960, 230)], True),
        (70, 98, 124),
        3,
    )
    sheet.shape(box(690, 236, 220, 34, 10), STEEL, 3)
    centre = (795, 625)
    sheet.shape(oval(*centre, 292), (84, 116, 146), 4)
    sheet.shape(oval(*centre, 250), (60, 64, 72), 3.6)
    sheet.shape(oval(centre[0], centre[1] + 8, 226), (128, 134, 140), 3)
    sheet.shape(box(770, 372, 50, 46, 8), (60, 64, 72), 3)
    spot = (700, 690)
    for reach, tone, strength in ((120, RUST, 0.75), (84, BROWN, 0.85), (54, (48, 32, 24), 0.85)):
        drawn = [polar(spot, reach * (0.86 + 0.24 * ((k * 7) % 5) / 4), k * 20) for k in range(18)]
        sheet.glow(curve(drawn, True), tone, strength, 20)
    sheet.ink(curve([(640, 770), (668, 800), (690, 792), (716, 812)]), 4, BROWN)
    for x, y, r in ((795, 500, 40), (700, 690, 34), (890, 690, 34)):
        hot = x == 700
        sheet.shape(oval(x, y, r + 12), BROWN if hot else (104, 110, 116), 3)
        sheet.shape(oval(x, y, r), (122, 92, 62) if hot else BRONZE, 3.4)
        sheet.shape(oval(x - 5, y - 6, r * 0.66), (150, 112, 74) if hot else (222, 194, 130), 2.2)
    sheet.ring(704, 698, 132, 128)


def gland_pocket(sheet: Sheet) -> None:
    """Bright steel between two frames under the shaft gland, with five chalked thicknesses."""
    sheet.wash(box(40, 40, 1520, 1090), RUST)
    sheet.dots(box(40, 40, 1520, 1090), 700, 7, BROWN)
    sheet.hatch(box(40, 40, 1520, 150), 18, -40)
    bright = [
        (330, 470),
        (640, 430),
        (1010, 440),
        (1270, 480),
        (1300, 720),
        (1250, 950),
        (960, 1010),
        (600, 1000),
        (350, 940),
        (300, 700),
    ]
    sheet.shape(curve(bright, True), PALE, 4)
    for k in range(26):
        x, y = 360 + (k * 197) % 880, 500 + (k * 131) % 440
        sheet.ink([(x, y), (x + 38, y - 24)], 1.8, SLATE)
    for k in range(30):
        x, y = 370 + (k * 283) % 860, 500 + (k * 173) % 430
        if y < 850 or x < 940:
            sheet.shape(oval(x, y, 4 + k % 4), SLATE, 1.6)
    for x, lean in ((180, 14), (1360, -14)):
        frame = [(x - 50, 20), (x + 50, 20), (x + 50 + lean, 1160), (x - 50 + lean, 1160)]
        sheet.shape(frame, DIRT, 4)
        sheet.hatch([(x + 14, 30), (x + 50, 30), (x + 50 + lean, 1150), (x + 14 + lean, 1150)], 14, -50)
    sheet.text((184, 480), "17", 60, WHITE)
    sheet.text((1354, 480), "18", 60, WHITE)
    pipe(sheet, [(240, 190), (560, 210)], 64, PALE, 3.6)
    pipe(sheet, [(540, 208), (820, 226)], 150, BRONZE, 4)
    sheet.shape(oval(540, 208, 24, 75, 4), BRONZE, 3.4)
    sheet.shape(box(800, 110, 80, 236, 14), BRONZE, 4)
    pipe(sheet, [(880, 230), (1312, 254)], 170, SLATE, 4)
    for y in (146, 308):
        pipe(sheet, [(690, y - 2), (800, y)], 18, STEEL, 2.6)
        bolt(sheet, (700, y - 2), 17)
    for y, r in ((352, 13), (410, 11)):
        drop = [(660, y - 2 * r), (660 + r, y), (660, y + r), (660 - r, y)]
        sheet.shape(curve(drop, True), (150, 182, 190), 2.6)
    marks = ((470, 620, "4.6"), (790, 570, "4.4"), (800, 780, "4.2"), (1110, 640, "4.3"), (520, 850, "4.7"))
    for x, y, words in marks:
        chalk = oval(x, y, 92, 58)
        sheet.glow(chalk, (246, 246, 240), 0.75, 12)
        sheet.ink([(x - 100, y - 40), (x - 76, y - 16)], 6, WHITE)
        sheet.text((x, y), words, 80, (24, 52, 84))
    sheet.ring(800, 780, 132, 92)
    sheet.text((1120, 880), "mm, 5.0 new", 40, (24, 52, 84))


def rudder_play(sheet: Sheet) -> None:
    """From aft: a dial gauge on a magnet foot, its plunger against the rudder blade below its tube."""
    sheet.wash(box(40, 40, 1520, 1090), (230, 229, 221))
    red = (142, 74, 62)
    hull = [(20, 20), (1580, 20), (1580, 190), (1060, 300), (960, 330), (860, 330), (20, 170)]
    sheet.shape(hull, red, 4)
    sheet.hatch(
        [(20, 100), (860, 262), (1580, 130), (1580, 186), (1060, 296), (960, 326), (860, 326), (20, 166)],
        15,
        -40,
    )
    for turn in (60, 152, 244, 332):
        sheet.shape(oval(*polar((925, 860), 260, turn), 210, 100, turn), BRONZE, 3.2)
    sheet.shape([(850, 310), (1000, 310), (990, 440), (860, 440)], red, 4)
    sheet.hatch([(940, 320), (996, 320), (988, 434), (944, 434)], 11, -50)
    sheet.shape(oval(925, 440, 65, 17), SLATE, 3.4)
    sheet.shape(box(890, 440, 70, 60), PALE, 3.4)
    sheet.glow(curve([(872, 440), (882, 520), (896, 470), (912, 560), (930, 450)], True), RUST, 0.85, 6)
    face = [(900, 500), (1290, 520), (1300, 1160), (905, 1160)]
    edge = [(850, 500), (900, 500), (905, 1160), (846, 1160)]
    sheet.shape(face, red, 4)
    sheet.shape(edge, (170, 100, 84), 4)
    sheet.hatch([(1160, 520), (1288, 524), (1298, 1150), (1180, 1150)], 16, -50)
    sheet.shape(box(1010, 800, 150, 110, 14), BILGE, 3.2)
    foot = turned(box(180, 150, 210, 110, 8), (285, 205), 9)
    sheet.shape(foot, SLATE, 4)
    sheet.shape(oval(286, 214, 24), RED, 3)
    pipe(sheet, [(296, 262), (318, 360)], 22, PALE, 3)
    pipe(sheet, [(318, 360), (480, 440)], 22, PALE, 3)
    sheet.shape(oval(318, 360, 26), STEEL, 3.2)
    sheet.shape(oval(486, 440, 30), STEEL, 3.2)
    pipe(sheet, [(700, 600), (790, 600)], 30, PALE, 3)
    pipe(sheet, [(790, 600), (844, 600)], 14, PALE, 2.6)
    sheet.shape(oval(842, 600, 10), STEEL, 2.6)
    dial(sheet, (500, 700), 232, Scale(0, 5, 1, 0.1, "mm"), 3.4)
    sheet.arrow((1230, 640), (970, 640), 0, both=True)


PICTURES = {
    "boat-in-slings.jpg": Picture(boat_in_slings, "port side, bow to the left"),
    "builder-plate.jpg": Picture(builder_plate, "beside the helm"),
    "shore-inlet.jpg": Picture(shore_inlet, "aft deck, starboard"),
    "gland-pocket.jpg": Picture(gland_pocket, "frames 17 to 18, port"),
    "rudder-play.jpg": Picture(rudder_play, "seen from aft"),
}
