"""On A4 and on Letter nothing is cut or torn, no heading stands alone, and every sheet names its report."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Mapping
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
  begins.insertRule('[data-q]::before{content:attr(data-q);font:2px/2px monospace;letter-spacing:0;' +
    'position:absolute;white-space:nowrap}');
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
  const tall = row => [...row.cells].reduce((a, b) => {
    const height = c => { const r = document.createRange(); r.selectNodeContents(c);
      return r.getBoundingClientRect().height };
    return height(b) > height(a) ? b : a;
  });
  for (const row of rows) {
    const words = row.textContent, last = tall(row), n = begin('row', words);
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
  return names;
}"""


# a browser repeats such a group on every sheet that its table runs over, marks left out
TWICE = """() => [...document.querySelectorAll('tfoot')]
  .filter(e => getComputedStyle(e).display === 'table-footer-group')
  .map(e => 'twice: total ' + e.textContent.trim().slice(0, 50))"""


def _sheets(pdf: Path) -> list[str]:
    command = ["pdftotext", "-layout", str(pdf), "-"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.split("\f")[:-1]


def _torn(names: dict[str, str], sheets: list[str]) -> list[str]:
    """Give the pieces whose start and end lie on different sheets or are nowhere."""
    at = {m: n for n, text in enumerate(sheets, 1) for m in re.findall(r"Q[SEF]\d+Q", text)}
    found = []
    for number, name in names.items():
        first, last = (at.get(f"Q{letter}{number}Q") for letter in "SE")
        if name.startswith("folded"):
            if f"QF{number}Q" not in at:
                found.append(f"not printed: {name}")
        elif first is None or last is None:
            found.append(f"lost: {name}")
        elif first != last:
            word = "alone" if name.startswith("heading") else "cut"
            found.append(f"{word}: {name} (sheets {first} and {last})")
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
    before, after = _sheets(plain), _sheets(marked)
    assert len(before) == len(after), f"the marks moved the text: {len(before)} sheets became {len(after)}"
    return twice + _torn(names, after) + _nameless(foot, before) + _ink_at_the_edge(plain)


@pytest.mark.parametrize("edition", READERS)
def test_prints_well(browser: Browser, demo: Mapping[str, Path], tmp_path: Path, edition: str) -> None:
    """Every page prints whole, with nothing cut, lost, left alone or at the paper's edge."""
    found = {}
    for number, (path, paper) in enumerate(tools.turns(edition, demo[edition], FORMATS, share=2)):
        name = f"{path.relative_to(demo[edition])} {paper}"
        found[name] = faults(browser, path, paper, tmp_path / str(number))
    tools.nothing(found)


ROWS = "<table><tbody>" + f"<tr><td>{'<br>'.join(['tall'] * 13)}</td></tr>" * 12 + "</tbody></table>"
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
TOTAL = f"<table><tbody>{'<tr><td>line</td></tr>' * 60}</tbody><tfoot><tr><td>sum</td></tr></tfoot></table>"
SHEET = "<style>.sheet{break-before:page}</style>"


@pytest.mark.parametrize("paper", FORMATS)
def test_sound_page_prints_well(
    browser: Browser, page_with: Callable[..., Path], tmp_path: Path, paper: str
) -> None:
    """Tall rows go whole to the next sheet, headings with their text, and a folded part is printed."""
    named = '<html lang="en"> -> <html lang="en" data-foot="A boat, report 7">'
    page = page_with(head=SHEET, body=ROWS + HEADINGS + FINDINGS + TOTAL, swap=named)
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
