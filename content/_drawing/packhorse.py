"""Packhorse's hull and helm: bow door on her trailer, the hinge weld twice, the cut-off switches."""

from __future__ import annotations

from _drawing.picture import TALL, Picture
from _drawing.pieces import Scale, bead, bolt, crack, dial, knob, pipe, rule, screw, tyre
from _drawing.shapes import View, arc, band, box, curve
from _drawing.sheet import BILGE, INK, PALE, RED, RUBBER, SLATE, STEEL, WHITE, Sheet

AHEAD = View((15.0, -4.0, 2.3), (5.2, 0.0, 0.62), 2150, (745, 512))
GROUND = -0.75


def bow_door_down(sheet: Sheet) -> None:
    """The landing boat on her trailer from ahead, her bow door down as a ramp."""
    see = AHEAD
    sheet.wash(box(40, 40, 1520, 1090), (234, 231, 220))
    sheet.wash([(0, 600), (1600, 600), (1600, 1200), (0, 1200)], (212, 206, 190))
    sheet.ink([(0, 600), (1600, 600)], 2.4)
    for k in range(21):
        sheet.ink([(k * 80, 40), (k * 80, 596)], 1.8, (200, 196, 182))
    floor = [(-0.5, -1.5), (6.0, -1.5), (8.6, -1.1), (8.8, 1.1), (6.0, 1.5), (-0.5, 1.5)]
    sheet.shade(see.line([(x, y, GROUND) for x, y in floor]), 0.4)
    _trailer(sheet, see)
    for y in (-0.5, 0.5):
        cowl = [(-0.5, y - 0.22, 1.2), (-0.5, y + 0.22, 1.2), (-0.5, y + 0.18, 1.72), (-0.5, y - 0.18, 1.72)]
        sheet.shape(curve(see.line(cowl), True), RUBBER, 3)
    _inside(sheet, see)
    _console(sheet, see)
    _outside(sheet, see)
    _drawbar(sheet, see)
    _door(sheet, see)


def _inside(sheet: Sheet, see: View) -> None:
    back = [(0.1, -1.2, 1.2), (0.1, 1.2, 1.2), (0.1, 1.1, 0.62), (0.1, -1.1, 0.62)]
    deck = [(0.2, -1.05, 0.62), (0.2, 1.05, 0.62), (7.4, 0.98, 0.66), (7.4, -0.98, 0.66)]
    top = [(0.1, 1.2, 1.2), (5.5, 1.25, 1.24), (7.4, 1.0, 1.36)]
    low = [(7.4, 1.0, 0.66), (5.5, 1.12, 0.64), (0.1, 1.1, 0.62)]
    sheet.shape(see.line(back), STEEL, 3)
    sheet.shape(see.line(deck), BILGE, 3)
    for x in (4.0, 4.5, 5.0, 5.5, 6.0, 6.5, 7.0):
        sheet.ink(see.line([(x, -0.98, 0.65), (x, 0.98, 0.65)]), 1.8)
    sheet.shape(see.line([*top, *low]), STEEL, 3)
    for x in (1, 2, 3, 4, 5, 6, 6.7):
        sheet.ink(see.line([(x, 1.15, 0.64), (x, 1.22, 1.2)]), 2)


def _outside(sheet: Sheet, see: View) -> None:
    sheer = [(0.0, -1.25, 1.22), (5.5, -1.27, 1.26), (7.45, -1.12, 1.38)]
    chine = [(7.45, -1.04, 0.5), (5.5, -1.14, 0.3), (0.0, -1.16, 0.24)]
    keel = [(0.0, 0.0, 0.0), (5.5, 0.0, 0.05), (7.1, 0.0, 0.3)]
    rail = see.line([(0.3, -1.25, 1.5), (5.0, -1.26, 1.54), (5.4, -1.26, 1.26)])
    for x in (0.3, 1.8, 3.4, 5.0):
        sheet.ink(see.line([(x, -1.25, 1.22), (x, -1.25, 1.52)]), 5, SLATE)
    sheet.ink(rail, 6, SLATE)
    sheet.shape(see.line([*chine, *keel]), SLATE, 3)
    sheet.hatch(see.line([*chine, *keel]), 12, -30)
    sheet.shape(see.line([*sheer, *chine]), PALE, 4)
    front = see.line([(7.45, -1.04, 0.52), (7.45, 1.04, 0.52), (7.1, 0.0, 0.24)])
    sheet.shape(front, STEEL, 3.6)
    sheet.hatch(front, 12, -30)
    for sign in (1, -1):
        post = [(1.12, 1.4), (0.94, 1.4), (0.92, 0.66), (1.05, 0.5)]
        sheet.shape(see.line([(7.45, sign * y, z) for y, z in post]), STEEL, 3.4)
    sill = [(-1.05, 0.66), (1.05, 0.66), (1.04, 0.5), (-1.04, 0.5)]
    sheet.shape(see.line([(7.45, y, z) for y, z in sill]), STEEL, 3.4)


def _console(sheet: Sheet, see: View) -> None:
    x0, x1 = 2.2, 3.1
    roof = 2.72
    for x, y in ((1.7, 0.85), (1.7, -0.85)):
        pipe(sheet, see.line([(x, y, 0.65), (x, y * 0.95, roof)]), 13, SLATE, 2.4)
    side = [(x0, -0.5, 0.65), (x1, -0.5, 0.65), (x1, -0.5, 1.62), (x0, -0.5, 1.75)]
    front = [(x1, -0.5, 0.65), (x1, 0.5, 0.65), (x1, 0.5, 1.62), (x1, -0.5, 1.62)]
    glass = [(x1, -0.48, 1.62), (x1, 0.48, 1.62), (x1 - 0.3, 0.42, 2.12), (x1 - 0.3, -0.42, 2.12)]
    sheet.shape(see.line(glass), (196, 212, 212), 3)
    sheet.shape(see.line(side), STEEL, 3)
    sheet.hatch(see.line(side), 11, -50)
    sheet.shape(see.line(front), WHITE, 3.4)
    sheet.ink(see.line([(x1, -0.3, 0.8), (x1, 0.3, 0.8), (x1, 0.3, 1.4), (x1, -0.3, 1.4)]), 2.2, closed=True)
    for x, y in ((3.7, 0.85), (3.7, -0.85)):
        pipe(sheet, see.line([(x, y, 0.65), (x, y * 0.95, roof)]), 15, SLATE, 2.6)
    flat = [(1.4, -1.0), (4.0, -1.0), (4.0, 1.0), (1.4, 1.0)]
    sheet.shape(see.line([(x, y, roof + 0.06) for x, y in flat]), PALE, 3)
    sheet.shape(
        see.line(
            [
                (4.0, -1.0, roof + 0.08),
                (4.0, 1.0, roof + 0.08),
                (4.0, 1.0, roof - 0.04),
                (4.0, -1.0, roof - 0.04),
            ]
        ),
        WHITE,
        3.2,
    )
    sheet.shape(
        see.line(
            [
                (1.4, -1.0, roof + 0.08),
                (4.0, -1.0, roof + 0.08),
                (4.0, -1.0, roof - 0.04),
                (1.4, -1.0, roof - 0.04),
            ]
        ),
        STEEL,
        3,
    )


def _trailer(sheet: Sheet, see: View) -> None:
    for y in (1.0, -1.25):
        for x in (1.9, 2.75):
            tyre(sheet, see, (x, y, GROUND + 0.34), 0.34, 0.22)
    for y in (0.75, -0.75):
        beam = [(0.0, y, 0.0), (6.4, y, 0.0), (6.4, y, -0.16), (0.0, y, -0.16)]
        sheet.shape(see.line(beam), PALE, 3)
    guard = [(1.5, 0.02), (3.15, 0.02)]
    near, far = ([(x, y, z) for x, z in guard] for y in (-1.3, -0.95))
    sheet.shape(see.line([*near, *reversed(far)]), STEEL, 3)
    for x in (1.2, 4.6, 6.0):
        sheet.shape(see.line([(x, -0.8, 0.2), (x, -0.7, 0.2), (x, -0.7, -0.1), (x, -0.8, -0.1)]), SLATE, 2.6)


def _drawbar(sheet: Sheet, see: View) -> None:
    cross = [(6.4, -0.8, 0.0), (6.4, 0.8, 0.0), (6.4, 0.8, -0.16), (6.4, -0.8, -0.16)]
    sheet.shape(see.line(cross), PALE, 3)
    for sign in (1, -1):
        arm = [(6.4, sign * 0.8), (9.4, sign * 0.06), (9.4, sign * -0.04), (6.4, sign * 0.64)]
        flat = [(x, y, 0.0 - (x - 6.4) * 0.06) for x, y in arm]
        side = [flat[0], flat[1], (9.4, sign * 0.06, -0.3), (6.4, sign * 0.8, -0.14)]
        sheet.shape(see.line(side), STEEL, 3)
        sheet.shape(see.line(flat), PALE, 3)
    nose = [(8.9, -0.09), (9.9, -0.07), (9.9, 0.07), (8.9, 0.09)]
    side = [(8.9, -0.09, -0.17), (9.9, -0.07, -0.17), (9.9, -0.06, -0.3), (8.9, -0.09, -0.3)]
    sheet.shape(see.line(side), SLATE, 3)
    pipe(sheet, see.line([(9.3, -0.16, 0.1), (9.3, -0.16, GROUND + 0.14)]), 20, STEEL, 2.6)
    tyre(sheet, see, (9.3, -0.2, GROUND + 0.13), 0.13, 0.08)
    sheet.shape(see.line([(x, y, -0.17) for x, y in nose]), SLATE, 3)
    front = [(9.9, -0.07, -0.17), (9.9, 0.07, -0.17), (9.9, 0.06, -0.3), (9.9, -0.06, -0.3)]
    sheet.shape(see.line(front), SLATE, 3)


def _door(sheet: Sheet, see: View) -> None:
    top = [(7.48, -0.9, 0.66), (7.48, 0.9, 0.66), (8.5, 0.9, 0.34), (8.5, -0.9, 0.34)]
    edge = [(8.5, 0.9, 0.34), (8.5, -0.9, 0.34), (8.52, -0.9, 0.24), (8.52, 0.9, 0.24)]
    flank = [(7.48, -0.9, 0.66), (8.5, -0.9, 0.34), (8.52, -0.9, 0.24), (7.5, -0.9, 0.56)]
    sheet.shape(see.line(flank), SLATE, 3)
    sheet.shape(see.line(top), PALE, 4)
    sheet.shape(see.line(edge), STEEL, 3.6)
    for k in range(1, 6):
        x, z = 7.48 + k * 0.17, 0.66 - k * 0.0533
        sheet.ink(see.line([(x, -0.8, z), (x, 0.8, z)]), 3.4)
    for y in (0.6, -0.6):
        hinge = [(7.42, y - 0.12, 0.72), (7.42, y + 0.12, 0.72), (7.6, y + 0.12, 0.66), (7.6, y - 0.12, 0.66)]
        sheet.shape(see.line(hinge), SLATE, 3)
    for y in (0.92, -0.92):
        sheet.ink(see.line([(7.46, y, 1.28), (8.45, y, 0.4)]), 3.4)


def _hinge(sheet: Sheet, repaired: bool) -> None:
    """The port hinge from ahead, the door raised: door above, hull and the weld's toe below."""
    sheet.wash(box(40, 40, 1120, 1490), STEEL)
    sheet.shape(box(0, 0, 1200, 620), PALE, 4)
    sheet.wash(box(0, 618, 1200, 22), INK)
    sheet.hatch(box(40, 556, 1120, 60), 13, -50)
    if repaired:
        sheet.shade(box(264, 706, 704, 704), 0.3)
        plate = box(248, 686, 704, 704, 16)
        sheet.shape(plate, PALE, 4)
        corners = [(248, 686), (952, 686), (952, 1390), (248, 1390)]
        for start, end in zip(corners, [*corners[1:], corners[0]], strict=True):
            bead(sheet, [start, end], 32)
    white = [
        (330, 1270),
        (300, 1090),
        (330, 850),
        (430, 760),
        (700, 760),
        (850, 810),
        (880, 1040),
        (840, 1240),
    ]
    sheet.glow(curve([*white, (600, 1300)], True), (255, 255, 252), 0.96, 20)
    leaf = [(420, 1130), (420, 800), (470, 700), (720, 700), (770, 800), (770, 1130)]
    sheet.shape(leaf, STEEL, 4)
    sheet.hatch([(700, 720), (770, 810), (770, 1120), (730, 1120)], 12, -50)
    seam = curve(
        [(404, 790), (402, 960), (412, 1144), (600, 1154), (782, 1142), (790, 960), (786, 790)], steps=14
    )
    bead(sheet, seam, 46)
    far = [(470, 560), (440, 180), (750, 180), (720, 560)]
    sheet.shape(far, STEEL, 4)
    seam = curve(
        [(446, 545), (428, 350), (424, 164), (600, 154), (766, 164), (762, 350), (742, 545)], steps=14
    )
    bead(sheet, seam, 40)
    for k, (left, long) in enumerate(((452, 92), (548, 96), (648, 92))):
        sheet.shape(box(left, 540, long, 176, 22), PALE if k % 2 else STEEL, 3.8)
        sheet.shade(box(left + long * 0.62, 544, long * 0.34, 168, 12), 0.35)
    for left, long in ((418, 32), (742, 30)):
        sheet.shape(box(left, 596, long, 64, 8), SLATE, 3.2)
    for x in (528, 662):
        bolt(sheet, (x, 320), 30)
    unit = 8.2
    rule(sheet, (440, 1256), unit * 10, range(6), "cm")
    sheet.text((130, 700), "hull", 38)
    sheet.text((200, 110), "bow door", 38)
    if not repaired:
        line = [(440 + i * unit * 42 / 16, 1182 + (i * 13 % 7) - 3) for i in range(17)]
        sheet.glow(band(line, -9, 9), (226, 110, 104), 0.8, 10)
        crack(sheet, line, 6, RED, 3)
        sheet.ring(612, 1178, 226, 50)
        sheet.text((640, 1452), "red dye line, 42 mm", 42)
        sheet.arrow((400, 1440), (358, 1218), -36)


def hinge_weld_before(sheet: Sheet) -> None:
    """The cracked weld with dye on white developer."""
    _hinge(sheet, False)


def hinge_weld_after(sheet: Sheet) -> None:
    """The same hinge with a doubler and a new weld, the developer clean."""
    _hinge(sheet, True)


def cut_off_switch(sheet: Sheet) -> None:
    """Two cut-off switches at the helm, the starboard one without its clip, the engine still turning."""
    sheet.wash(box(40, 40, 1520, 1090), RUBBER)
    sheet.shape(box(90, 80, 1420, 1100, 50), SLATE, 4)
    sheet.hatch([(90, 130), (130, 130), (130, 1130), (90, 1130)], 14, -50)
    wheel = arc(30, 640, 360, 430, -100, 100, 60)
    dial(sheet, (1040, 370), 220, Scale(0, 6, 1, 0.5, "rpm"), 0.7)
    sheet.text((1040, 302), "x 1000", 30)
    sheet.shape(box(968, 500, 144, 52, 8), (206, 214, 200), 3)
    sheet.text((1040, 526), "700", 40)
    for x, words in ((560, "PORT"), (1040, "STBD")):
        sheet.shape(box(x - 130, 720, 260, 240, 20), (66, 70, 76), 3.4)
        for dx, dy in ((-108, 744), (108, 744), (-108, 936), (108, 936)):
            screw(sheet, (x + dx, dy), 11, 40 + dx)
        knob(sheet, (x, 830), 62)
        sheet.text((x, 684), words, 40, WHITE)
    clip = [*arc(560, 830, 88, 88, -40, 220, 30), *reversed(arc(560, 830, 58, 58, -40, 220, 30))]
    sheet.shape(clip, RED, 3.4)
    cord = curve([(560, 918), (600, 1010), (760, 1050), (860, 1020), (900, 990), (930, 1010)], steps=14)
    pipe(sheet, cord, 20, RED, 2.6)
    tail = [*arc(985, 1035, 66, 50, 30, 310, 30), *reversed(arc(985, 1035, 42, 28, 30, 310, 30))]
    sheet.shape(tail, RED, 3.4)
    pipe(sheet, wheel, 58, (58, 60, 66), 3.6)
    pipe(sheet, [(40, 640), (384, 640)], 40, STEEL, 3.2)
    sheet.shape(box(1270, 820, 190, 130, 24), (66, 70, 76), 3.4)
    for dx in (-46, 46):
        pipe(sheet, [(1365 + dx, 870), (1365 + dx * 1.1, 690)], 24, STEEL, 2.8)
        sheet.shape(box(1365 + dx * 1.1 - 30, 610, 60, 96, 24), RUBBER, 3.4)
    sheet.ring(1040, 840, 146, 98)


PICTURES = {
    "bow-door-down.jpg": Picture(bow_door_down, "seen from ahead, a little to starboard"),
    "hinge-weld-before.jpg": Picture(hinge_weld_before, "from ahead, door up, 18 August", TALL),
    "hinge-weld-after.jpg": Picture(hinge_weld_after, "from ahead, door up, 10 September", TALL),
    "cut-off-switch.jpg": Picture(cut_off_switch, "helm, 18 August"),
}
