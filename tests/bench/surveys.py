"""Makes surveys to measure on: invented boats, of one size, the same ones for the same seed."""

from __future__ import annotations

import random
from pathlib import Path

PARTS = (
    *("riser", "hose", "clamp", "bellows", "anode", "shaft", "strut", "rudder", "pump", "switch"),
    *("battery", "cable", "fuse", "panel", "tank", "vent", "hatch", "gasket", "stringer", "bulkhead"),
    *("stanchion", "cleat", "rail", "seat", "canvas", "window", "impeller", "belt", "coupling", "helm"),
)
DOES = ("shows", "has lost", "carries", "wants", "holds", "rubs", "moves", "weeps", "flexes")
WHAT = (
    "corrosion along its lower edge",
    "a hairline crack near the bolt",
    "play of about two millimetres",
    "salt under the jacket",
    "a date code past its time",
    "chafe where it passes the frame",
    "sealant that has let go",
)
SEVERITIES = ("stop", "settle", "schedule", "watch", "sound")
NOTES, FINDINGS, READINGS = 6, 24, 2
PHOTO_SIZE = (4032, 3024)  # 12 megapixels [px]

COVER = """---
survey: pre-purchase
number: BM-{n}
version: 1
status: final
inspected: 2026-04-20
reported: 2026-04-22
vessel:
  name: Grey Plover {n}
  type: gasoline inboard
  waters: coastal
  advertised: {{model: Wherry 25, built: 2014, length: 25 ft}}
  found: {{maker: Saltern Craft, model: Wherry 25, built: 2014, length: 24.8 ft, hull number: QQX{n:05d}D414}}
conditions: {{place: Osier Quay, state: ashore, weather: dry}}
people:
  surveyor: {{name: T. Marl, credentials: invented, contact: marl@example.com}}
  client: {{name: O. Vetch, contact: vetch@example.com}}
not inspected:
  fuel tank: no access without lifting the deck
price: {{currency: USD, asking: 24900, offered: 23100}}
rates: {{labour: 117, parts tax: 6 %, supplies: 5 %, supplies cap: 60}}
strip-downs:
  drive off: {{labour: 3 h, parts: [{{what: seal set, each: 31}}]}}
---
"""


def make(top: Path, surveys: int, photos: int = 0, seed: int = 1) -> None:
    """Write surveys of 6 notes, 24 findings and 2 readings each; photos are shared by links."""
    names = [f"picture-{n:02d}.jpg" for n in range(photos)]
    pool = top.parent / f"{top.name}-photos"
    for n, name in enumerate(names):
        pool.mkdir(parents=True, exist_ok=True)
        _photo(pool / name, n, seed)
    for n in range(surveys):
        chance = random.Random(f"{seed}.{n}")  # noqa: S311 -- it hides nothing
        folder = top / f"boat-{n:05d}"
        folder.mkdir(parents=True)
        for name in names:
            (folder / name).hardlink_to(pool / name)
        (folder / "cover.md").write_text(COVER.format(n=n) + _text(chance, 8), encoding="utf-8")
        for k in range(NOTES):
            (folder / f"part-{k + 1}.md").write_text(_note(chance, k, names), encoding="utf-8")


def _note(chance: random.Random, k: int, photos: list[str]) -> str:
    parts = [f"---\nsystem: {PARTS[k]}\n---\n", _text(chance, 6)]
    parts += [_reading(chance, n) for n in range(k, READINGS, NOTES)]
    parts += [_finding(chance, n, photos[n::FINDINGS]) for n in range(k, FINDINGS, NOTES)]
    return "".join(parts)


def _sentence(chance: random.Random) -> str:
    return f"The {chance.choice(PARTS)} {chance.choice(DOES)} {chance.choice(WHAT)}."


def _text(chance: random.Random, sentences: int) -> str:
    return " ".join(_sentence(chance) for _ in range(sentences)) + "\n\n"


def _finding(chance: random.Random, n: int, photos: list[str]) -> str:
    severity = chance.choices(SEVERITIES, (1, 3, 4, 4, 2))[0]
    lines = [f"severity: {severity}", "basis: surveyor's judgement", "confidence: seen"]
    lines += {
        "stop": ["forbids: [running the engine]", "hazards: [flooding]"],
        "schedule": ["by when: 2026-08-31"],
        "watch": ["look again: every 50 h"],
    }.get(severity, [])
    if photos:
        lines += ["photos:", *(f"  - {p}: {_sentence(chance)[:-1].lower()}" for p in photos)]
    if severity != "sound":
        low = chance.randint(5, 50) * 10
        each = f"{low} / {low + 25} / {low + 80}"
        lines += [
            "repair:",
            "  needs: [drive off]" if chance.random() < 0.3 else "  trade: mechanical",
            f"  labour: {low / 100:.1f} / {low / 80:.1f} / {low / 50:.1f} h",
            f"  parts: [{{what: {chance.choice(PARTS)}, count: {chance.randint(1, 3)}, each: {each}}}]",
            f"pays: {chance.choice(['seller', 'buyer'])}",
        ]
    title = f"{chance.choice(PARTS).capitalize()} {n + 1} {chance.choice(DOES)} {chance.choice(WHAT)}"
    return f"## {title}\n```finding\n" + "\n".join(lines) + "\n```\n" + _text(chance, 4)


def _reading(chance: random.Random, n: int) -> str:
    values = ", ".join(f"{c}: {158 + chance.randint(-7, 7)}" for c in range(1, 9))
    return (
        f"## Compression, engine {n}\n```reading\nkind: compression\nat: engine {n}\nunit: psi\n"
        f"cylinders: {{{values}}}\nengine temperature: warm\n"
        'limit: {spread: 15 %, source: "engine maker\'s manual, section 4"}\n```\n' + _text(chance, 2)
    )


def _photo(path: Path, n: int, seed: int) -> None:
    """Write a noisy picture of 12 megapixels, turned by its tag as cameras do."""
    import numpy as np
    from PIL import Image

    chance = np.random.default_rng([seed, n])
    base = Image.fromarray(chance.integers(30, 220, (9, 12, 3), dtype=np.uint8))
    smooth = np.asarray(base.resize(PHOTO_SIZE, Image.Resampling.BICUBIC)).astype(np.int16)
    grain = chance.normal(0, 7, (PHOTO_SIZE[1], PHOTO_SIZE[0], 1)).astype(np.int16)
    exif = Image.Exif()
    exif[0x0112] = (1, 6, 3, 8)[n % 4]
    Image.fromarray((smooth + grain).clip(0, 255).astype(np.uint8)).save(path, quality=88, exif=exif)
