"""On A4 and on Letter nothing is cut, torn or alone, sheets are filled, and each names its report."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser

from tests.browser import chromium, tools
from tests.project import READERS

pytestmark = pytest.mark.browser

FORMATS = ("A4", "Letter")
MARGIN = 8  # mm at the paper's edge that most printers can't print on
DOTS = 60  # per inch, enough to see ink at the edge
FOOT = 39  # height of the foot of a sheet, below all that is the page's own [pt]
LINE = 13  # from one line of text to the next, about [pt]
FEWEST_LINES, FEWEST_ROWS = 2, 3  # that may stand on a sheet apart from the others
LEAST_FILLED = 0.4  # of a sheet's height, that something of a whole may follow on the next
TABLE = " in table "
_SIZE = re.compile(r'height="([\d.]+)"')
_WORD = re.compile(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]*)<')

# Marks of two pixels stand at the start and end of each piece without moving anything; the text of the PDF
# tells on which sheet each of them lies.
MARK = """() => {
  const mark = words => {
    const span = document.createElement('span');
    span.textContent = words;
    span.style.cssText = 'font:2px/2px monospace;letter-spacing:0;position:absolute;white-space:nowrap';
    return span;
  };
  const begins = new CSSStyleSheet();
  for (const [at, side] of [['q', 'before'], ['r', 'after']])
    begins.insertRule(`[data-${at}]::${side}{content:attr(data-${at});font:2px/2px monospace;` +
      'letter-spacing:0;position:absolute;white-space:nowrap}');
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, begins];
  const names = {};
  let count = 0;
  const begin = (kind, words) => {
    count += 1;
    names[count] = kind + ' ' + words.trim().replace(/\\s+/g, ' ').slice(0, 50);
    return count;
  };
  // what is one pixel large is there for screen readers alone
  const seen = e => e.closest('details:not([open])') || [...e.getClientRects()].some(r => r.width > 2);
  const rows = [...document.querySelectorAll('tr')].filter(e => seen(e) && e.cells.length);
  const tables = [...document.querySelectorAll('table')];
  const tall = row => [...row.cells].reduce((a, b) => {
    const height = c => { const r = document.createRange(); r.selectNodeContents(c);
      return r.getBoundingClientRect().height };
    return height(b) > height(a) ? b : a;
  });
  for (const row of rows) {
    const words = row.textContent, last = tall(row), n = begin('row', words);
    // -1 for a head, which a browser repeats
    names[n] += ' in table ' + tables.indexOf(row.closest('tbody, tfoot')?.closest('table'));
    row.cells[0].prepend(mark(`QS${n}Q`));
    last.append(mark(`QE${n}Q`));
  }
  for (const finding of document.querySelectorAll('.finding')) {
    // what it rests on may follow on the next sheet, and what became of it since
    const parts = [...finding.children].filter(e => !e.matches('svg, .photos, details, details ~ *'));
    const name = parts[0], n = begin('finding', name.textContent);
    let end = parts.pop();
    while (end.lastElementChild && ['DIV', 'DL'].includes(end.tagName)) end = end.lastElementChild;
    name.append(mark(`QS${n}Q`));
    end.prepend(mark(`QE${n}Q`));
  }
  for (const figure of [...document.querySelectorAll('figure')].filter(seen)) {
    // a folded table that goes with a chart may run over to the next sheet, the caption may not
    const last = [...figure.children].filter(c => c.tagName !== 'DETAILS').pop();
    const n = begin('picture', figure.textContent);
    figure.prepend(mark(`QS${n}Q`));
    if (last.tagName === 'svg') {
      const inside = document.createElementNS(last.namespaceURI, 'text'), frame = last.viewBox.baseVal;
      inside.textContent = `QE${n}Q`;
      inside.style.cssText = 'font:2px/2px monospace;letter-spacing:0';
      inside.setAttribute('x', frame.x + 1);
      inside.setAttribute('y', frame.y + frame.height / 2);
      last.append(inside);
    } else last.after(mark(`QE${n}Q`));
  }
  for (const heading of [...document.querySelectorAll('h1, h2, h3, h4, summary')].filter(seen)) {
    let next = heading;
    while (next && !next.nextElementSibling) next = next.parentElement;
    next = next && next.nextElementSibling;
    while (next && ['TABLE', 'THEAD', 'TBODY', 'DL', 'UL', 'OL', 'SECTION', 'DIV', 'DETAILS', 'TR', 'ARTICLE']
           .includes(next.tagName) && next.firstElementChild) next = next.firstElementChild;
    if (!next || !seen(next)) continue;
    const n = begin('heading', heading.textContent);
    heading.append(mark(`QS${n}Q`));
    // no child more, since the page's rules ask which child is the first and which the only one
    if (getComputedStyle(next, '::before').content === 'none')
      next.dataset.q = (next.dataset.q || '') + `QE${n}Q`;
    else next.prepend(mark(`QE${n}Q`));
  }
  for (const folded of document.querySelectorAll('details')) {
    const n = begin('folded', folded.textContent);
    // into its last line, since behind it a full sheet has no room left
    let end = folded;
    while (['DETAILS', 'DIV', 'SECTION', 'TABLE', 'TBODY', 'TFOOT', 'TR', 'DL', 'UL', 'OL']
           .includes(end.tagName) && end.lastElementChild) end = end.lastElementChild;
    end.append(mark(`QF${n}Q`));
  }
  for (const text of [...document.querySelectorAll('p, li, dd')].filter(seen)) {
    if (text.querySelector('p, li, dl, table') || !text.textContent.trim()) continue;
    if (['::before', '::after'].some(e => getComputedStyle(text, e).content !== 'none')) continue;
    const n = begin('text', text.textContent);
    text.dataset.q = (text.dataset.q || '') + `QS${n}Q`;
    text.dataset.r = `QE${n}Q`;
  }
  return names;
}"""


# a browser repeats such a group on every sheet that its table runs over, marks left out
TWICE = """() => [...document.querySelectorAll('tfoot')]
  .filter(e => getComputedStyle(e).display === 'table-footer-group')
  .map(e => 'twice: total ' + e.textContent.trim().slice(0, 50))"""


def _sheets(pdf: Path) -> list[str]:
    command = ["pdftotext", "-layout", str(pdf), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.split("\f")[:-1]


@dataclass(frozen=True)
class Sheets:
    """Where things lie in a PDF. at: sheet of a mark, from 1, and how far down [pt]. lines: of each sheet."""

    at: Mapping[str, tuple[int, float]]
    lines: Sequence[Sequence[float]]

    def first(self, number: str) -> tuple[int, float] | None:
        return self.at.get(f"QS{number}Q")

    def last(self, number: str) -> tuple[int, float] | None:
        return self.at.get(f"QE{number}Q")


def _read(pdf: Path) -> Sheets:
    command = ["pdftotext", "-bbox", str(pdf), "-"]
    found = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    at, lines = {}, []
    for number, sheet in enumerate(found.split("<page ")[1:], 1):
        height = float(_SIZE.findall(sheet)[0])
        downs: list[float] = []
        for top, bottom, word in _WORD.findall(sheet):
            marks = re.findall(r"Q[SEF]\d+Q", word)
            at.update({m: (number, float(bottom)) for m in marks})
            if not marks and float(bottom) < height - FOOT:
                downs.append((float(top) + float(bottom)) / 2)
        downs.sort()
        lines.append([y for before, y in zip([-99.0, *downs], downs, strict=False) if y - before > LINE / 3])
    return Sheets(at, lines)


def _torn(names: Mapping[str, str], sheets: Sheets) -> list[str]:
    """Give the pieces whose start and end lie on different sheets or are nowhere."""
    found = []
    for number, name in names.items():
        first, last = sheets.first(number), sheets.last(number)
        if name.startswith("folded"):
            if f"QF{number}Q" not in sheets.at:
                found.append(f"not printed: {name}")
        elif first is None or last is None:
            if name.startswith("text"):
                continue  # as a column's last word may hide its mark
            found.append(f"lost: {name}")
        elif first[0] != last[0] and name.startswith("text"):
            before = sum(y > first[1] - LINE / 3 for y in sheets.lines[first[0] - 1])
            after = sum(y < last[1] + LINE * 0.8 for y in sheets.lines[last[0] - 1])
            if min(before, after) < FEWEST_LINES:
                found.append(f"a line alone: {name} (sheet {first[0]})")
        elif first[0] != last[0]:
            word = "alone" if name.startswith("heading") else "cut"
            found.append(f"{word}: {name} (sheets {first[0]} and {last[0]})")
    return found


def _few(names: Mapping[str, str], sheets: Sheets) -> list[str]:
    """Give the tables that begin or end with too few rows on a sheet of their own."""
    tables: dict[str, list[int]] = {}
    for number, name in names.items():
        if name.startswith("row") and (first := sheets.first(number)):
            tables.setdefault(name.rpartition(TABLE)[2], []).append(first[0])
    tables.pop("-1", None)
    return [
        f"few rows: table {table} (sheets {on[0]} and {on[-1]})"
        for table, on in tables.items()
        if on[0] != on[-1] and min(on.count(on[0]), on.count(on[-1])) < FEWEST_ROWS
    ]


def _unfilled(pdf: Path, sheets: Sheets) -> list[str]:
    """Give the sheets but the last that are mostly empty, and a last one that hardly anything stands on."""
    found = []
    for number, path in enumerate(sorted(pdf.parent.glob(f"{pdf.stem}-*.pgm")), 1):
        with Image.open(path) as sheet:
            ink = sheet.crop((0, 0, sheet.width, sheet.height - round(FOOT / 72 * DOTS)))
            box = ink.point(lambda tone: 255 * (tone < 200)).getbbox() or (0, 0, 0, 0)
            if number < len(sheets.lines) and box[3] < LEAST_FILLED * sheet.height:
                found.append(f"empty: sheet {number}")
    if len(sheets.lines) > 1 and len(sheets.lines[-1]) < FEWEST_ROWS:
        found.append(f"stray: sheet {len(sheets.lines)}")
    return found


def _nameless(foot: str, sheets: list[str]) -> list[str]:
    """Give the sheets at whose foot the report is not named."""
    return [f"no foot: sheet {n}" for n, text in enumerate(sheets, 1) if foot not in " ".join(text.split())]


def _ink_at_the_edge(pdf: Path) -> list[str]:
    """Give the sheets that have ink where printers can't print."""
    subprocess.run(["pdftoppm", "-r", str(DOTS), "-gray", str(pdf), str(pdf.with_suffix(""))], check=True)
    found = []
    for path in sorted(pdf.parent.glob(f"{pdf.stem}-*.pgm")):
        with Image.open(path) as sheet:
            width, height, edge = *sheet.size, round(MARGIN / 25.4 * DOTS)
            sides = {
                "top": (0, 0, width, edge),
                "bottom": (0, height - edge, width, height),
                "left": (0, 0, edge, height),
                "right": (width - edge, 0, width, height),
            }
            dark = [side for side, box in sides.items() if sheet.crop(box).getextrema()[0] < 240]
        found += [f"ink at the {side}: {path.stem}" for side in dark]
    return found


def faults(browser: Browser, path: Path, paper: str, work: Path) -> list[str]:
    """Give what goes wrong when a page is printed as it opens, with nothing unfolded by hand."""
    work.mkdir(parents=True, exist_ok=True)
    plain, marked = work / f"{paper}.pdf", work / f"{paper}-marked.pdf"
    with chromium.visit(browser, path) as seen:
        seen.page.pdf(path=plain, format=paper, print_background=True)
        seen.page.emulate_media(media="print")
        names = seen.page.evaluate(MARK)
        foot = seen.page.evaluate("document.documentElement.dataset.foot || ''")
        twice = seen.page.evaluate(TWICE)
        seen.page.pdf(path=marked, format=paper, print_background=True)
    before, after = _sheets(plain), _read(marked)
    count = len(after.lines)
    assert len(before) == count, f"the marks moved the text: {len(before)} sheets became {count}"
    found = twice + _torn(names, after) + _few(names, after) + _nameless(foot, before)
    return found + _ink_at_the_edge(plain) + _unfilled(plain, after)


@pytest.mark.parametrize("edition", READERS)
def test_prints_well(browser: Browser, demo: Mapping[str, Path], tmp_path: Path, edition: str) -> None:
    """Every page prints whole, with nothing cut, lost, left alone or at the paper's edge."""
    found = {}
    for number, (path, paper) in enumerate(tools.turns(edition, demo[edition], FORMATS, share=2)):
        name = f"{path.relative_to(demo[edition])} {paper}"
        found[name] = faults(browser, path, paper, tmp_path / str(number))
    tools.nothing(found)


ROWS = "<table><tbody>" + f"<tr><td>{'<br>'.join(['tall'] * 9)}</td></tr>" * 12 + "</tbody></table>"
# on one of these sheets the heading would be the last line
HEADINGS = "".join(
    f"<p class=sheet>{'<br>'.join(['fill'] * lines)}</p>{heading.format(lines)}"
    for heading in (
        "<h2>After {}</h2><p>x<br>x<br>x</p>",
        "<details><summary>After {}</summary><p>x<br>x<br>x</p></details>",
        '<figure><figcaption>After {}</figcaption><svg viewBox="0 0 9 9" width="90" height="90"/></figure>',
    )
    for lines in range(30, 48)
)
# on one of these sheets the last line of the finding would be the next sheet's first
FINDINGS = "".join(
    f"<p class=sheet>{'<br>'.join(['fill'] * lines)}</p><div class=finding><h3>Leak</h3><p>a<br>b</p>"
    "<dl><div><dt>Risk</dt><dd>x</dd></div><div><dt>Cost</dt><dd>y</dd></div></dl></div>"
    for lines in range(28, 44)
)
# on one of these sheets the last line of the text would be the next sheet's first
TEXTS = "".join(
    f"<p class=sheet>{'<br>'.join(['fill'] * lines)}</p><p>{'<br>'.join(['text'] * 6)}</p>"
    for lines in range(34, 44)
)
# each begins so that its last row would stand on the next sheet
FEW = "".join(
    f"<p class=sheet>{'<br>'.join(['fill'] * lines)}</p><table><tbody>{'<tr><td>line</td></tr>' * 6}"
    "</tbody></table>"
    for lines in range(32, 44)
)
TOTAL = f"<table><tbody>{'<tr><td>line</td></tr>' * 60}</tbody><tfoot><tr><td>sum</td></tr></tfoot></table>"
SHEET = "<style>.sheet{break-before:page}</style>"


@pytest.mark.parametrize("paper", FORMATS)
def test_sound_page_prints_well(
    browser: Browser, page_with: Callable[..., Path], tmp_path: Path, paper: str
) -> None:
    """Tall rows go whole to the next sheet, headings with their text, and a folded part is printed."""
    named = '<html lang="en"> -> <html lang="en" data-foot="A boat, report 7">'
    page = page_with(head=SHEET, body=ROWS + HEADINGS + FINDINGS + TEXTS + FEW + TOTAL, swap=named)
    assert not faults(browser, page, paper, tmp_path / "work")


PLANTED = {
    "cut: row": {"body": ROWS, "swap": "tr,figure{break-inside:avoid} -> "},
    "alone: heading": {
        "body": HEADINGS,
        "head": SHEET,
        "swap": "h1,h2,h3,summary{break-after:avoid} -> h1,h2,h3,summary{break-after:auto}",
    },
    "cut: finding": {
        "body": FINDINGS,
        "head": SHEET,
        "swap": ".finding>h3~*,.finding>dl>div{break-before:avoid} -> ",
    },
    "a line alone: text": {
        "body": TEXTS,
        "head": SHEET,
        "swap": "p{orphans:6;widows:2} -> p{orphans:1;widows:1}",
    },
    "few rows: table": {
        "body": FEW,
        "head": SHEET,
        "swap": "tr+tr:nth-last-child(-n+2){break-before:avoid} -> ",
    },
    "empty: sheet 1": {"body": "<p class=sheet>x<br>x<br>x</p>", "head": SHEET},
    "stray: sheet": {"body": "<p class=sheet>x</p>", "head": SHEET},
    "twice: total": {"body": TOTAL, "swap": "tfoot{display:table-row-group} -> "},
    "no foot: sheet 1": {
        "swap": '<html lang="en"> -> <html lang="en" data-foot="Another boat">',
        "style": "--foot:attr(data-foot) -> --none:none",
    },
    "not printed: folded": {
        "swap": "details::details-content{content-visibility:visible;block-size:auto} -> "
    },
    "ink at the left": {"swap": "@page{margin:18mm 15mm} -> @page{margin:2mm}"},
    "lost: picture": {"head": "<style>@media print{figure{visibility:hidden}}</style>"},
}


@pytest.mark.parametrize("fault", PLANTED)
def test_planted_fault_is_found(
    browser: Browser, page_with: Callable[..., Path], tmp_path: Path, fault: str
) -> None:
    """Each way of spoiling the paper is seen, and told by its name."""
    found = faults(browser, page_with(**PLANTED[fault]), "A4", tmp_path / "work")
    assert [f for f in found if f.startswith(fault)], found
