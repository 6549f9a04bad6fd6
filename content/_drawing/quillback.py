"""Quillback's hull and fittings: on her trailer, hull number, shaft log hose, fuel hose, a trailer tire."""

from __future__ import annotations

from _drawing.picture import Picture
from _drawing.pieces import bolt, clamp, crack, pipe, screw, tyre
from _drawing.shapes import Place, View, arc, beside, box, curve, oval, polar, turned
from _drawing.sheet import (
    BILGE,
    BRONZE,
    BROWN,
    DEEP,
    DIRT,
    INK,
    PALE,
    RUBBER,
    RUST,
    SLATE,
    STEEL,
    WHITE,
    Sheet,
)

# forward of the transom, half beam and height above the keel's lowest line, at sheer and chine, and keel [m]
STATIONS = (
    (0.0, 1.20, 0.98, 1.08, 0.26, 0.02),
    (1.2, 1.27, 0.98, 1.13, 0.26, 0.0),
    (2.6, 1.28, 1.00, 1.12, 0.28, 0.0),
    (3.8, 1.25, 1.04, 1.04, 0.33, 0.0),
    (4.8, 1.14, 1.09, 0.86, 0.42, 0.05),
    (5.6, 0.90, 1.14, 0.58, 0.56, 0.18),
    (6.3, 0.52, 1.19, 0.26, 0.80, 0.48),
    (6.9, 0.03, 1.23, 0.02, 1.12, 0.95),
)
EYE = View((-7.2, -8.0, 2.5), (3.0, 0.0, 0.5), 2750, (850, 640))


def _side(stations: tuple[tuple[float, ...], ...], sign: int) -> tuple[list[Place], list[Place], list[Place]]:
    sheer = [(s[0], sign * s[1], s[2]) for s in stations]
    chine = [(s[0], sign * s[3], s[4]) for s in stations]
    keel = [(s[0], 0.0, s[5]) for s in stations]
    return sheer, chine, keel


def boat_on_trailer(sheet: Sheet) -> None:
    """The boat from her starboard quarter, on a trailer with two axles."""
    sheet.wash(box(40, 40, 1520, 1090), (238, 234, 222))
    see = EYE
    ground = -0.62
    _shed(sheet, see, ground)
    shadow = [(-0.6, -1.6, ground), (6.5, -1.5, ground), (6.8, 0.8, ground), (0, 1.4, ground)]
    sheet.shade(see.line(shadow), 0.4)
    _trailer_far(sheet, see, ground)
    sheer, chine, keel = (curve(see.line(e), steps=6) for e in _side(STATIONS, -1))
    port = curve(see.line(_side(STATIONS, 1)[0]), steps=6)
    sheet.shape([*sheer, *reversed(port)], DIRT, 3)
    _inside(sheet, see)
    sheet.shape([*chine, *reversed(keel)], PALE, 3.2)
    sheet.hatch([*chine, *reversed(keel)], 13, -30)
    sheet.shape([*sheer, *reversed(chine)], WHITE, 4)
    stripe = [
        [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in zip(sheer, chine, strict=True)]
        for t in (0.46, 0.74)
    ]
    sheet.shape([*stripe[0], *reversed(stripe[1])], DEEP, 2.4)
    transom = [(0.0, -1.2, 0.98), (0.0, -1.08, 0.26), (0.0, 0.0, 0.02), (0.0, 1.08, 0.26), (0.0, 1.2, 0.98)]
    sheet.shape(see.line(transom), WHITE, 4)
    sheet.shade(see.line(transom), 0.14)
    sheet.shape(
        see.line([(0.0, y, z) for y, z in ((-1.15, 0.65), (1.15, 0.65), (1.12, 0.45), (-1.12, 0.45))]),
        DEEP,
        2.4,
    )
    sheet.ink(sheer, 6)
    _tower(sheet, see)
    platform = [(0.0, -1.05), (-0.62, -0.95), (-0.62, 0.95), (0.0, 1.05)]
    for y in (-0.8, 0.0, 0.8):
        sheet.ink(see.line([(0.0, y, 0.16), (-0.5, y, 0.36)]), 5)
    sheet.shape(
        see.line([(-0.62, -0.95, 0.4), (-0.62, 0.95, 0.4), (-0.62, 0.95, 0.33), (-0.62, -0.95, 0.33)]),
        SLATE,
        2.6,
    )
    sheet.shape(
        see.line([(0, -1.05, 0.4), (-0.62, -0.95, 0.4), (-0.62, -0.95, 0.33), (0, -1.05, 0.33)]), SLATE, 2.6
    )
    sheet.shape(see.line([(x, y, 0.4) for x, y in platform]), STEEL, 3)
    for k in range(1, 5):
        sheet.ink(see.line([(-0.124 * k, -1.0, 0.4), (-0.124 * k, 1.0, 0.4)]), 1.8)
    _trailer_near(sheet, see, ground)
    sheet.text(see.at((3.55, -1.22, 0.87)), "ID 4409 ZZ", 26, turn=-9)
    plate = see.line([(0.0, -0.7, 0.9), (0.0, -1.08, 0.9), (0.0, -1.08, 0.8), (0.0, -0.7, 0.8)])
    sheet.shape(plate, PALE, 2.4)
    x, y = see.at((0.0, -0.89, 0.85))
    sheet.ring(x, y, 62, 36)


def _shed(sheet: Sheet, see: View, ground: float) -> None:
    """The storage shed's floor and, behind the boat, its wall of boards."""
    wall = see.line([(x, 5.0, ground) for x in range(-6, 40)])
    sheet.wash([*wall, (1600, 1200), (0, 1200)], (214, 208, 192))
    sheet.ink(wall, 3)
    for k in range(-12, 80):
        sheet.ink(see.line([(k * 0.5, 5.0, ground), (k * 0.5, 5.0, 6.0)]), 1.8, (196, 190, 174))
    sheet.ink(see.line([(-6.0, 5.0, 2.3), (40.0, 5.0, 2.3)]), 4, (196, 190, 174))


def _inside(sheet: Sheet, see: View) -> None:
    deck = see.line([(4.3, -1.2, 1.06), (4.3, 1.2, 1.06)])
    bow_sheer = [(s[0], -s[1], s[2]) for s in STATIONS if s[0] > 4.3]
    bow_port = [(s[0], s[1], s[2]) for s in STATIONS if s[0] > 4.3]
    sheet.shape([deck[0], *see.line(bow_sheer), *reversed(see.line(bow_port)), deck[1]], WHITE, 3)
    hatch = [(0.0, -1.2, 0.98), (1.5, -1.27, 1.0), (1.5, 1.27, 1.0), (0.0, 1.2, 0.98)]
    sheet.shape(see.line(hatch), WHITE, 3)
    sheet.ink(see.line([(0.2, 0, 0.99), (1.5, 0, 1.0)]), 2)
    seat = [(1.5, -1.0, 1.0), (1.5, 1.0, 1.0), (1.62, 1.0, 1.24), (1.62, -1.0, 1.24)]
    sheet.shape(see.line(seat), SLATE, 3)
    glass = [(3.55, -1.15, 1.05), (4.35, -0.98, 1.08), (4.15, -0.9, 1.5), (3.4, -1.08, 1.46)]
    front = [(4.35, -0.98, 1.08), (4.35, 0.98, 1.08), (4.15, 0.9, 1.5), (4.15, -0.9, 1.5)]
    sheet.shape(see.line(front), (190, 206, 206), 3)
    sheet.shape(see.line([(x, -y, z) for x, y, z in glass]), (190, 206, 206), 3)
    sheet.shape(see.line(glass), (190, 206, 206), 3)


def _tower(sheet: Sheet, see: View) -> None:
    for sign in (1, -1):
        for foot, head in ((2.5, 2.9), (3.75, 3.3)):
            legs = [
                (foot, sign * 1.24, 1.02),
                (foot + (head - foot) * 0.6, sign * 1.12, 1.75),
                (head, sign * 0.95, 2.1),
            ]
            pipe(sheet, curve(see.line(legs)), 15, SLATE, 2.6)
    for x in (2.9, 3.3):
        pipe(sheet, see.line([(x, 0.95, 2.1), (x, -0.95, 2.1)]), 15, SLATE, 2.6)
    for y in (0.95, -0.95, 0.3, -0.3):
        pipe(sheet, see.line([(2.9, y, 2.1), (3.3, y, 2.1)]), 11, SLATE, 2.4)


def _trailer_far(sheet: Sheet, see: View, ground: float) -> None:
    for x in (1.35, 2.2):
        hub = (x, 1.15, ground + 0.33)
        tyre(sheet, see, hub, 0.33)
    for y in (0.85, -0.85):
        beam = [(-0.2, y, -0.2), (5.4, y, -0.2), (5.4, y, -0.32), (-0.2, y, -0.32)]
        sheet.shape(see.line(beam), SLATE, 3)
    for x in (0.2, 4.6):
        sheet.shape(
            see.line([(x, 0.85, -0.2), (x, -0.85, -0.2), (x, -0.85, -0.32), (x, 0.85, -0.32)]), SLATE, 2.6
        )
    for y in (0.85, -0.85):
        arm = [(5.4, y, -0.2), (6.7, 0.0, -0.2), (6.7, 0.0, -0.32), (5.4, y, -0.32)]
        sheet.shape(see.line(arm), SLATE, 3)
    pole = [(6.5, -0.05, -0.2), (8.3, -0.05, -0.2), (8.3, -0.05, -0.32), (6.5, -0.05, -0.32)]
    sheet.shape(see.line(pole), SLATE, 3)
    post = [(7.05, -0.05, -0.22), (7.05, -0.05, 0.95)]
    pipe(sheet, see.line(post), 20, SLATE, 2.6)
    pipe(sheet, see.line([(8.0, 0, -0.2), (8.0, 0, ground + 0.1)]), 14, STEEL, 2.4)
    sheet.shape(see.wheel((8.0, 0.0, ground + 0.1), 0.1), RUBBER, 2.4)


def _trailer_near(sheet: Sheet, see: View, ground: float) -> None:
    bunk = [(0.1, -0.75, 0.14), (5.0, -0.7, 0.2), (5.0, -0.7, 0.06), (0.1, -0.75, 0.0)]
    beam = [(-0.2, -0.85, -0.2), (5.4, -0.85, -0.2), (5.4, -0.85, -0.32), (-0.2, -0.85, -0.32)]
    for x in (0.3, 1.2, 3.0, 4.7):
        sheet.shape(
            see.line([(x, -0.8, 0.1), (x + 0.1, -0.8, 0.1), (x + 0.1, -0.8, -0.25), (x, -0.8, -0.25)]),
            SLATE,
            2.4,
        )
    sheet.shape(see.line(bunk), BROWN, 2.8)
    sheet.shape(see.line(beam), STEEL, 3.2)
    for x in (1.35, 2.2):
        hub = (x, -1.22, ground + 0.33)
        tyre(sheet, see, hub, 0.33)
    top = [(0.9, -0.08), (1.0, 0.1), (1.2, 0.14), (2.4, 0.14), (2.6, 0.1), (2.7, -0.08)]
    outer = [see.at((x, -1.26, z)) for x, z in top]
    inner = [see.at((x, -0.95, z)) for x, z in top]
    sheet.shape([*outer, *reversed(inner)], STEEL, 3)
    low = [see.at((x, -1.26, z - 0.08)) for x, z in top]
    sheet.shape([*outer, *reversed(low)], SLATE, 2.8)


def hull_number(sheet: Sheet) -> None:
    """The upper starboard corner of the transom with the hull number's plate."""
    sheet.wash(box(40, 40, 1520, 1090), (222, 226, 224))
    corner = curve([(1080, 300), (1290, 318), (1392, 384), (1408, 520), (1372, 1150)])
    sheet.shape([(20, 332), *corner, (20, 1150)], WHITE, 4.4)
    side = [(1338, 440), (1400, 440), (1408, 520), (1372, 1150), (1308, 1150)]
    sheet.shade(side, 0.2)
    sheet.hatch(side, 13, -50)
    rub = [(1080, 356), (1290, 370), (1401, 438), (1408, 494), (1284, 420), (1080, 404)]
    sheet.shape([(20, 384), *rub, (20, 434)], RUBBER, 3.4)
    sheet.shape([(20, 900), (1319, 868), (1314, 960), (20, 1000)], DEEP, 3)
    sheet.shape(box(330, 560, 860, 190, 26), PALE, 3)
    sheet.hatch(box(334, 564, 852, 22), 9, -50)
    sheet.shape(box(356, 586, 808, 142, 14), STEEL, 3.4)
    for x in (396, 1124):
        screw(sheet, (x, 657), 20, 25 if x < 800 else 70)
    sheet.text((761, 660), "ZZP30417J213", 84, (252, 250, 244))
    sheet.text((758, 656), "ZZP30417J213", 84)
    eye = [(640, 1010), (720, 1000), (730, 1060), (650, 1070)]
    sheet.shape(curve(eye, True), STEEL, 3.2)
    sheet.ink(oval(686, 1034, 24, 18), 5)


def log_hose(sheet: Sheet) -> None:
    """The hose between packing gland and shaft log, cracked at the edge of the aft clamp."""
    sheet.wash(box(40, 40, 1520, 1090), (228, 224, 210))
    hull = [(40, 1020), (1000, 960), (1560, 880), (1560, 1130), (40, 1130)]
    sheet.shape(hull, BILGE, 3.4)
    sheet.hatch(hull, 20, -40)
    shaft = [(20, 440), (420, 509)]
    pipe(sheet, shaft, 62, PALE)
    turn = 9.8
    log = [(1060, 620), (1640, 720)]
    base = [(1190, 950), (1230, 730), (1640, 800), (1640, 900)]
    sheet.shape(base, WHITE, 3.4)
    sheet.hatch(base, 14, -50)
    pipe(sheet, log, 190, BRONZE, 3.8)
    pipe(sheet, [(300, 488), (420, 509)], 150, BRONZE, 3.6)
    sheet.shape(oval(300, 488, 24, 75, turn), BRONZE, 3.4)
    sheet.shape(oval(298, 488, 11, 32, turn), INK, 2)
    pipe(sheet, [*shaft[:1], (300, 488)], 60, PALE)
    pipe(sheet, [(380, 502), (440, 512)], 210, BRONZE, 3.6)
    sheet.shape(oval(380, 502, 30, 105, turn), BRONZE, 3.4)
    for dy in (-74, 70):
        bolt(sheet, (376 + dy * -0.1, 502 + dy), 20)
    pipe(sheet, [(460, 516), (1180, 640)], 250, RUBBER, 4)
    sheet.shape(oval(460, 516, 38, 125, turn), RUBBER, 3.4)
    pipe(sheet, [(400, 506), (462, 516)], 168, BRONZE, 3.2)
    sheet.shape(turned(arc(1180, 640, 38, 125, -90, 90), (1180, 640), turn), RUBBER, 3.4)
    pipe(sheet, [(1200, 643), (1640, 720)], 190, BRONZE, 3.8)
    clamp(sheet, (560, 533), 66, 262, turn, RUST)
    clamp(sheet, (1090, 625), 66, 262, turn, RUST)
    for x, y in ((560, 533), (1090, 625)):
        sheet.dots(oval(x, y, 34, 120, turn), 60, 7, BROWN)
    at_edge = turned(arc(1038, 625, 20, 127, -96, 4, 16), (1090, 625), turn)
    crack(sheet, at_edge, 7, INK, 6, (206, 204, 196))
    for dx, start, stop in ((-34, -88, -58), (-62, -80, -64)):
        crack(
            sheet,
            turned(arc(1038 + dx, 625, 20, 126, start, stop, 7), (1090, 625), turn),
            3,
            INK,
            4,
            (150, 150, 148),
        )
    sheet.ring(1050, 540, 92, 112, 8)
    sheet.text((185, 300), "to V-drive", 34)
    sheet.ink([(260, 374), (110, 350)], 3)
    sheet.ink([(140, 338), (108, 350), (136, 370)], 3)
    sheet.text((1440, 560), "shaft log", 34)
    sheet.text((620, 300), "packing gland", 34, anchor="rm")
    sheet.ink([(500, 330), (420, 400)], 2.4)


def hose_weep(sheet: Sheet) -> None:
    """A fuel hose on the pickup fitting of a tank's top, damp under its clamp and cracked outside."""
    sheet.wash(box(40, 40, 1520, 1090), (226, 222, 208))
    tank = [(40, 720), (1560, 660), (1560, 1130), (40, 1130)]
    sheet.shape(tank, STEEL, 3.8)
    sheet.hatch([(40, 1000), (1560, 940), (1560, 1130), (40, 1130)], 16, -50)
    strap = [(1190, 674), (1290, 670), (1310, 1150), (1210, 1150)]
    sheet.shape(strap, SLATE, 3.2)
    bolt(sheet, (1248, 780), 26)
    sheet.glow(oval(640, 880, 250, 84), DIRT, 0.85, 26)
    sheet.glow(oval(640, 872, 190, 58), (86, 84, 78), 0.8, 18)
    sheet.shape(oval(640, 850, 210, 74), PALE, 3.6)
    for k in range(6):
        x, y = polar((0, 0), 1, 30 + 60 * k)
        screw(sheet, (640 + x * 170, 850 + y * 56), 15, 40 * k)
    sheet.shape([(540, 840), (540, 780), (740, 780), (740, 840), (700, 868), (580, 868)], BRONZE, 3.4)
    for x in (605, 680):
        sheet.ink([(x, 784), (x, 862)], 2.4)
    sheet.shape(box(580, 700, 120, 84), BRONZE, 3.4)
    hose = curve([(640, 742), (644, 560), (720, 380), (900, 290), (1160, 280), (1660, 330)], steps=16)
    pipe(sheet, hose, 150, RUBBER, 4)
    sheet.glow(arc(640, 742, 80, 30, 0, 180), (30, 32, 36), 0.9, 12)
    sheet.shape(arc(640, 738, 75, 24, 0, 180), (52, 54, 58), 3)
    clamp(sheet, (640, 640), 58, 166, -90)
    sheet.glow(arc(640, 690, 76, 50, 0, 180), (28, 30, 34), 0.75, 10)
    for k in range(8):
        at = hose[20 + 6 * k]
        ahead = hose[21 + 6 * k]
        (ax, ay), (bx, by) = beside([at, ahead], -62)[0], beside([at, ahead], 10 + (k * 29) % 40)[0]
        path = [(ax + (bx - ax) * t / 6, ay + (by - ay) * t / 6) for t in range(7)]
        crack(sheet, path, 3.2, (20, 20, 22), 5, (150, 150, 148))
    sheet.text((1230, 300), "2012", 40, PALE, 3)
    for x, y in ((610, 830), (672, 842)):
        sheet.shape(curve([(x, y - 26), (x + 12, y), (x, y + 12), (x - 12, y)], True), (140, 120, 84), 2.2)
    sheet.ring(640, 740, 140, 70)
    sheet.arrow((1090, 560), (800, 420), -30)


def tire_date(sheet: Sheet) -> None:
    """Part of a tire's sidewall with its stamped date and cracks between the tread blocks."""
    sheet.wash(box(40, 40, 1520, 1090), (228, 223, 209))
    centre = (800, 1560)
    sheet.shape(arc(*centre, 1400, 1400, 200, 340, 120), RUBBER, 4)
    for k in range(40):
        start = 216 + k * 2.9
        block = [
            *arc(*centre, 1424, 1424, start, start + 2.1, 4),
            *reversed(arc(*centre, 1250, 1250, start + 0.3, start + 1.9, 4)),
        ]
        sheet.shape(block, (98, 101, 106), 3)
        sheet.hatch(block, 12, -60)
    sheet.shape(arc(*centre, 1236, 1236, 200, 340, 120), (104, 107, 112), 3.6)
    for r in (1190, 900, 872):
        sheet.ink(arc(*centre, r, r, 205, 335, 120), 2.6)
    sheet.shade([*arc(*centre, 900, 900, 205, 335, 90), *reversed(arc(*centre, 760, 760, 205, 335, 90))], 0.4)
    sheet.shape(arc(*centre, 700, 700, 205, 335, 90), PALE, 4)
    sheet.shape(arc(*centre, 640, 640, 205, 335, 90), STEEL, 3)
    for k in range(22):
        angle = 232 + k * 3.6
        for r, long in ((1238, 46), (1170, 20 + k * 13 % 40)):
            path = [
                polar(centre, r - long * t / 6, angle + 0.3 * (t % 2) + (r < 1200) * 1.7) for t in range(7)
            ]
            crack(sheet, path, 3.2, (22, 22, 25), 3, (142, 143, 144))
    at = polar(centre, 1035, 272)
    sheet.shape(oval(*at, 190, 84, 2), (88, 91, 96), 4)
    sheet.ink(oval(*at, 176, 71, 2), 2.4, PALE)
    sheet.text(at, "2314", 92, (238, 238, 232), 2)
    sheet.text(polar(centre, 1035, 250.5), "TRAILER USE", 44, (214, 214, 210), -19)
    sheet.text(polar(centre, 1035, 294), "LOAD RANGE D", 44, (214, 214, 210), 23)
    sheet.ring(1030, 318, 120, 74, 10)


PICTURES = {
    "boat-on-trailer.jpg": Picture(boat_on_trailer, "starboard quarter; ring: place of the hull number"),
    "hull-number.jpg": Picture(hull_number, "transom, starboard upper corner"),
    "log-hose.jpg": Picture(log_hose, "seen from port, aft to the right"),
    "hose-weep.jpg": Picture(hose_weep, "tank bay, starboard side"),
    "tire-date.jpg": Picture(tire_date, "front port tire"),
}
