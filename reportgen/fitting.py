"""Makes photos smaller, step by step, until the file that holds them is small enough to be sent."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping

from reportgen.errors import PacketError

MOST = 10_000_000  # a portal takes less than this, and so do mail programs [bytes]
SIDES = (1600, 1280, 1024, 820, 640, 480)  # longest side of a photo, as published and then smaller [px]
QUALITY = 80  # JPEG quality [-]


def fitted(
    files: Mapping[str, bytes], make: Callable[[Mapping[str, bytes]], bytes], what: str, most: int = MOST
) -> tuple[bytes, int]:
    """Give what `make` makes of a packet's files, and the longest side of the photos in it [px].

    files: by name; those under photos/ are made smaller as far as needed, on copies.
    most: the result is smaller than this [bytes].
    Raises PacketError, naming `what`, when it is too large even with the smallest photos.
    """
    photos = {n: d for n, d in files.items() if n.startswith("photos/") and not n.endswith("-small.jpg")}
    room = whole = sum(map(len, photos.values()))
    for side in SIDES:
        # fewer pixels never take less than their share, so this saves making them in vain
        if whole * (side / SIDES[0]) ** 2 > room and side != SIDES[-1]:
            continue
        smaller = photos if side == SIDES[0] else {n: _smaller(d, side) for n, d in photos.items()}
        weight = sum(map(len, smaller.values()))
        if weight > room and side != SIDES[-1]:
            continue
        made = make({**files, **smaller})
        if len(made) < most:
            return made, side
        # what is too much has to come off the photos
        room = weight - (len(made) - most) - 1
    raise PacketError(
        f"{what} would have {len(made) / 1e6:.1f} MB even with {len(photos)} photos of {SIDES[-1]} pixels, "
        f"and portals take less than {most / 1e6:.0f} MB: leave photos out, or publish without it"
    )


def _smaller(data: bytes, side: int) -> bytes:
    """Give a JPEG with at most `side` pixels on the longest side; the same bytes if it has no more."""
    from PIL import Image

    with Image.open(io.BytesIO(data), formats=("JPEG",)) as image:
        scale = side / max(image.size)
        if scale >= 1:
            return data
        size = (max(1, round(image.width * scale)), max(1, round(image.height * scale)))
        out = io.BytesIO()
        image.convert("RGB").resize(size, Image.Resampling.LANCZOS).save(
            out, "JPEG", quality=QUALITY, optimize=True
        )
    return out.getvalue()
