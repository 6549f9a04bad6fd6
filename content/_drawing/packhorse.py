"""Packhorse's hull and helm: bow door on her trailer, the hinge weld twice, the cut-off switches."""

from __future__ import annotations

from _drawing.picture import Picture
from _drawing.pieces import Scale, bead, bolt, crack, dial, knob, pipe, rule, screw, tyre
from _drawing.shapes import View, arc, band, box, curve, oval, turned
from _drawing.sheet import BILGE, DIRT, INK, OCHRE, PALE, RED, RUBBER, SLATE, STEEL, WATER, WHITE, Sheet

AHEAD = View((14.2, -3.4, 2.1), (5.0, 0.0, 0.75), 2650, (800, 600))
GROUND = -0.75


def bow_door_down(sheet: Sheet) -> None:
    """The landing boat on her trailer from ahead, her bow door down as a ramp."""
    see = AHEAD
    sheet.wash(box(40, 40, 1520, 1090), (234, 231, 220))
    sheet.wash([(0, 640), (1600, 620), (1600, 1200), (0, 1200)], (212, 206, 190))
    sheet.shade(see.line([(0, -1.6, GROUND), (9.0, -1.2, GROUND), (9.2, 1.1, GROUND), (0, 1.6, GROUND)]), 0.4)
    _wheels(sheet, see, 1.05)
    for y in (-0.5, 0.5):
        cowl = [(-0.5, y - 0.22, 1.2), (-0.5, y + 0.22, 1.2), (-0.5, y + 0.18, 1.72), (-0.5, y - 0.18, 1.72)]
        sheet.shape(curve(see.line(cowl), True), RUBBER, 3)
    _hull(sheet, see)
    _console(sheet, see)
    _trailer(sheet, see)
    _door(sheet, see)


def _wheels(sheet: Sheet, see: View, y: float) -> None:
    for x in (1.9, 2.75):
        for sign in (1, -1):
            hub = (x, sign * y, GROUND + 0.34)
            back = see.wheel((x, sign * (y - 0.0) + 0.2, GROUND + 0.34), 0.34)
            sheet.shape(back, RUBBER, 3)
            tyre(sheet, see.wheel(hub, 0.34), see.wheel(hub, 0.19), see.wheel(hub, 0.07))


def _hull(sheet: Sheet, see: View) -> None:
    inner = [(0.2, -1.05, 0.62), (0.2, 1.05, 0.62), (7.4, 0.98, 0.66), (7.4, -0.98, 0.66)]
    sheet.shape(see.line([(0.1, -1.2, 1.2), (0.1, 1.2, 1.2), (0.1, 1.1, 0.62), (0.1, -1.1, 0.62)]), STEEL, 3)
    sheet.shape(see.line(inner), BILGE, 3)
    for x in (5.0, 5.5, 6.0, 6.5, 7.0):
        sheet.ink(see.line([(x, -0.98, 0.65), (x, 0.98, 0.65)]), 1.8)
    for sign in (1, -1):
        wall = [(0.1, sign * 1.2, 1.2), (5.5, sign * 1.25, 1.24), (7.4, sign * 1.0, 1.36), (7.4, sign * 1.0, 0.66), (5.5, sign * 1.12, 0.64), (0.1, sign * 1.1, 0.62)]
        sheet.shape(see.line(wall), PALE if sign < 0 else STEEL, 3)
        if sign > 0:
            for x in (1, 2, 3, 4, 5, 6, 6.7):
                sheet.ink(see.line([(x, 1.15, 0.64), (x, 1.22, 1.2)]), 2)
    side = [(0.0, -1.25, 1.22), (5.5, -1.27, 1.26), (7.45, -1.12, 1.38), (7.45, -1.04, 0.5), (5.5, -1.14, 0.3), (0.0, -1.16, 0.24)]
    sheet.shape(see.line(side), PALE, 4)
    low = [(7.45, -1.04, 0.5), (5.5, -1.14, 0.3), (0.0, -1.16, 0.24), (0.0, 0.0, 0.0), (5.5, 0.0, 0.05), (7.1, 0.0, 0.3)]
    sheet.shape(see.line(low), SLATE, 3)
    front = [(7.45, -1.04, 0.52), (7.45, 1.04, 0.52), (7.1, 0.0, 0.24)]
    bottom = [(7.45, -1.04, 0.52), (7.1, 0.0, 0.24), (7.45, 1.04, 0.52)]
    sheet.shape(see.line(front), STEEL, 3.6)
    sheet.hatch(see.line(bottom), 12, -30)
    for sign in (1, -1):
        post = [(7.45, sign * 1.12, 1.4), (7.45, sign * 0.94, 1.4), (7.45, sign * 0.92, 0.66), (7.45, sign * 1.05, 0.5)]
        sheet.shape(see.line(post), STEEL, 3.4)
    sheet.shape(see.line([(7.45, -1.05, 0.66), (7.45, 1.05, 0.66), (7.45, 1.04, 0.5), (7.45, -1.04, 0.5)]), STEEL, 3.4)
    rail = see.line([(0.3, -1.25, 1.5), (5.0, -1.26, 1.54), (5.4, -1.26, 1.26)])
    sheet.ink(rail, 6, SLATE)
    for x in (0.3, 1.8, 3.4, 5.0):
        sheet.ink(see.line([(x, -1.25, 1.22), (x, -1.25, 1.52)]), 5, SLATE)


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
    sheet.shape(see.line([(4.0, -1.0, roof + 0.08), (4.0, 1.0, roof + 0.08), (4.0, 1.0, roof - 0.04), (4.0, -1.0, roof - 0.04)]), WHITE, 3.2)
    sheet.shape(see.line([(1.4, -1.0, roof + 0.08), (4.0, -1.0, roof + 0.08), (4.0, -1.0, roof - 0.04), (1.4, -1.0, roof - 0.04)]), STEEL, 3)


def _trailer(sheet: Sheet, see: View) -> None:
    for sign in (1, -1):
        arm = [(5.5, sign * 0.8, 0.0), (10.6, sign * 0.06, -0.3), (10.6, sign * 0.06, -0.44), (5.5, sign * 0.8, -0.16)]
        sheet.shape(see.line(arm), PALE, 3.2)
    cross = [(6.4, -0.75, 0.02), (6.4, 0.75, 0.02), (6.4, 0.75, -0.12), (6.4, -0.75, -0.12)]
    sheet.shape(see.line(cross), PALE, 3)
    pipe(sheet, see.line([(9.9, -0.2, 0.05), (9.9, -0.2, GROUND + 0.12)]), 20, STEEL, 2.6)
    sheet.shape(see.wheel((9.9, -0.2, GROUND + 0.12), 0.12), RUBBER, 2.8)
    sheet.shape(see.line([(10.5, -0.1, -0.26), (10.95, -0.08, -0.28), (10.95, 0.08, -0.28), (10.5, 0.1, -0.26)]), SLATE, 3)


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
    """The port hinge: hull plate to the left, door to the right, the weld's toe on the hull side."""
    sheet.wash(box(40, 40, 1520, 1090), STEEL)
    sheet.shape([(980, 20), (1640, 20), (1640, 1180), (980, 1180)], PALE, 4)
    sheet.wash(box(962, 20, 20, 1160), INK)
    sheet.hatch(box(984, 40, 60, 1090), 13, -50)
    for y in (130, 1030):
        grain = [(60 + 85 * i, y + 7 * (i % 3 - 1)) for i in range(11)]
        sheet.ink(grain, 1.6, SLATE)
    if repaired:
        sheet.shade(box(206, 256, 704, 690), 0.3)
        sheet.shape(box(190, 236, 704, 690, 26), PALE, 4)
        frame = box(190, 236, 704, 690, 30)
        bead(sheet, [(x, y) for x, y in curve([*frame, frame[0]], steps=5)], 34)
    white = [(330, 330), (520, 290), (760, 320), (850, 430), (840, 700), (790, 850), (560, 880), (370, 840), (310, 600)]
    sheet.glow(curve(white, True), (255, 255, 252), 0.96, 20)
    leaf = [(470, 420), (800, 420), (900, 470), (900, 720), (800, 770), (470, 770)]
    sheet.shade([(x + 12, y + 18) for x, y in leaf], 0.3)
    sheet.shape(curve([(470, 420), (470, 770)]) and leaf, STEEL, 4)
    bead(sheet, curve([(820, 404), (640, 402), (456, 410), (448, 600), (456, 782), (640, 790), (820, 786)], steps=14), 46, PALE)
    far = [(1040, 470), (1420, 440), (1420, 750), (1040, 720)]
    sheet.shape(far, STEEL, 4)
    bead(sheet, curve([(1060, 448), (1250, 428), (1436, 424), (1446, 600), (1436, 766), (1250, 760), (1060, 742)], steps=14), 40, PALE)
    for k, (top, tall) in enumerate(((452, 92), (548, 96), (648, 92))):
        sheet.shape(box(884, top, 176, tall, 22), PALE if k % 2 else STEEL, 3.8)
        sheet.shade(box(888, top + tall * 0.62, 168, tall * 0.34, 12), 0.35)
    sheet.shape(box(940, 418, 64, 36, 8), SLATE, 3.2)
    sheet.shape(box(940, 740, 64, 30, 8), SLATE, 3.2)
    for y in (520, 668):
        bolt(sheet, (1300, y), 30)
    unit = 8.2
    if not repaired:
        line = [(418 + (i * 13 % 7) - 3, 452 + i * unit * 42 / 16) for i in range(17)]
        sheet.glow(band(line, -9, 9), (226, 110, 104), 0.8, 10)
        crack(sheet, line, 6, RED, 3)
        rule(sheet, (330, 452), unit * 10, range(0, 6), "cm", 90)
        sheet.ring(420, 626, 66, 232)
        sheet.text((610, 205), "red dye line 42 mm", 40)
        sheet.arrow((500, 236), (430, 392), -20)
    else:
        rule(sheet, (330, 452), unit * 10, range(0, 6), "cm", 90)
    sheet.text((160, 90), "hull side", 34)
    sheet.text((1440, 90), "bow door", 34)


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
    wheel = arc(60, 640, 330, 420, -80, 80, 60)
    dial(sheet, (1040, 370), 220, Scale(0, 6, 1, 0.5, "x 1000 rpm"), 0.7)
    sheet.shape(box(968, 500, 144, 52, 8), (206, 214, 200), 3)
    sheet.text((1040, 526), "700", 40)
    sheet.text((1040, 660), "STBD", 40, WHITE)
    for x, words in ((560, "PORT"), (1040, "STBD")):
        sheet.shape(box(x - 130, 720, 260, 240, 20), (66, 70, 76), 3.4)
        for dx, dy in ((-108, 744), (108, 744), (-108, 936), (108, 936)):
            screw(sheet, (x + dx, dy), 11, 40 + dx)
        knob(sheet, (x, 830), 62)
        if words == "PORT":
            sheet.text((x, 690), words, 40, WHITE)
        sheet.text((x, 936), "STOP", 30, WHITE)
    clip = [*arc(560, 830, 88, 88, -40, 220, 30), *reversed(arc(560, 830, 58, 58, -40, 220, 30))]
    sheet.shape(clip, RED, 3.4)
    cord = curve([(560, 918), (600, 1010), (760, 1050), (860, 1020), (900, 990), (930, 1010)], steps=14)
    pipe(sheet, cord, 20, RED, 2.6)
    tail = [*arc(985, 1035, 66, 50, 30, 310, 30), *reversed(arc(985, 1035, 42, 28, 30, 310, 30))]
    sheet.shape(tail, RED, 3.4)
    pipe(sheet, wheel, 58, (58, 60, 66), 3.6)
    pipe(sheet, [(40, 640), (384, 640)], 40, STEEL, 3.2)
    lever = box(1330, 620, 70, 220, 34)
    sheet.shape(box(1270, 820, 190, 130, 24), (66, 70, 76), 3.4)
    for dx in (-46, 46):
        pipe(sheet, [(1365 + dx, 870), (1365 + dx * 1.1, 690)], 24, STEEL, 2.8)
        sheet.shape(box(1365 + dx * 1.1 - 30, 610, 60, 96, 24), RUBBER, 3.4)
    sheet.ring(1040, 830, 112, 96)
    _ = lever


PICTURES = {
    "bow-door-down.jpg": Picture(bow_door_down, "seen from ahead, a little to starboard"),
    "hinge-weld-before.jpg": Picture(hinge_weld_before, "port hinge, 18 August"),
    "hinge-weld-after.jpg": Picture(hinge_weld_after, "port hinge, 10 September"),
    "cut-off-switch.jpg": Picture(cut_off_switch, "helm, 18 August"),
}
