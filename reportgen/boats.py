"""The types of boat that there are checklists for; nothing else, so that it is quick to load."""

from __future__ import annotations

TYPES = (
    "outboard runabout",
    "gasoline sterndrive",
    "gasoline inboard",
    "diesel inboard cruiser",
    "sailing yacht",
    "aluminium workboat",
)
