"""The drawings of the demo, by survey and file name."""

from __future__ import annotations

from _drawing import (
    packhorse,
    packhorse_engines,
    quillback,
    quillback_engine,
    stille_wouw,
    stille_wouw_engine,
)

PICTURES = {
    "packhorse": packhorse.PICTURES | packhorse_engines.PICTURES,
    "quillback": quillback.PICTURES | quillback_engine.PICTURES,
    "stille-wouw": stille_wouw.PICTURES | stille_wouw_engine.PICTURES,
}
