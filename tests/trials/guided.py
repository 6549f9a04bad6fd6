"""A fuzzer that follows the lines it reaches, on the reader, the Markdown and the YAML of notes.

Needs atheris (`pip install atheris`), which is no part of the project: its wheels exist for few systems.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.nasty import PIECES


def run(seconds: int, folder: Path | None) -> int:
    """Fuzz for some seconds; atheris ends the process with its own code on a crash."""
    import atheris

    with atheris.instrument_imports(include=["reportgen", "markdown_it", "yaml"]):
        from reportgen import prose, sections
        from reportgen.errors import Problems

    from tests.trials.mangling import seeds

    corpus = folder or Path(tempfile.mkdtemp())
    corpus.mkdir(parents=True, exist_ok=True)
    for number, text in enumerate(seeds()):
        (corpus / f"seed-{number}").write_bytes(text.encode())
    words = corpus.parent / f"{corpus.name}.dict"
    words.write_text("".join(f'"{_quoted(piece)}"\n' for piece in PIECES if piece), encoding="ascii")

    def one(data: bytes) -> None:
        text = data.decode("utf-8", "replace")
        problems = Problems()
        sections.split(text, "note.md", problems)
        prose.block(text)
        assert all(problem.found and problem.write for problem in problems)

    options = [
        f"-max_total_time={seconds}",
        "-timeout=2",
        "-rss_limit_mb=2048",
        f"-dict={words}",
        "-max_len=6000",
    ]
    atheris.Setup([sys.argv[0], *options, str(corpus)], one)
    atheris.Fuzz()
    return 0


def _quoted(piece: str) -> str:
    return "".join(f"\\x{byte:02x}" for byte in piece.encode("utf-8", "surrogatepass"))
