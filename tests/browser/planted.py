"""A small page in which every check finds nothing; the checks' own tests plant one fault at a time in it."""

from __future__ import annotations

STYLE = """
:root{--ground:#fff;--ink:#222}
@media(prefers-color-scheme:dark){:root{--ground:#111;--ink:#eee}}
body{background:var(--ground);color:var(--ink);font:16px/1.5 serif;margin:1rem}
svg{display:block;max-width:100%;height:auto}
svg text{fill:var(--ink);font:14px sans-serif}
table{border-collapse:collapse}
@page{margin:18mm 15mm}
@page{@bottom-left{content:var(--foot);font:8pt sans-serif;vertical-align:top;padding-top:2mm}}
@media print{
:root{--ground:#fff;--ink:#000}
body{margin:0}
tr,figure{break-inside:avoid}
tr+tr:nth-child(-n+3){break-before:avoid}
tr+tr:nth-last-child(-n+2){break-before:avoid}
p{orphans:6;widows:2}
:root{--foot:attr(data-foot)}
h1,h2,h3,summary{break-after:avoid}
.finding>*{break-inside:avoid}
.finding>h3~*,.finding>dl>div{break-before:avoid}
tfoot{display:table-row-group}
details::details-content{content-visibility:visible;block-size:auto}
}
"""

PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Sound page</title>
{head}
<style>{style}</style>
</head>
<body>
<main>
<h1>Sound page</h1>
<p>A line of text.</p>
<figure>
<svg viewBox="0 0 300 60" width="300" height="60" role="img" aria-label="One bar of 200">
<rect x="0" y="30" width="200" height="20" fill="#456"/>
<text x="10" y="20">A bar</text>
</svg>
<figcaption>A bar.</figcaption>
</figure>
<details>
<summary>Working</summary>
<p>Folded away.</p>
</details>
<table>
<caption>Rows</caption>
<thead><tr><th scope="col">Part</th><th scope="col">Found</th></tr></thead>
<tbody><tr><td>Pump</td><td>works</td></tr></tbody>
</table>
{body}
</main>
</body>
</html>
"""


def page(head: str = "", body: str = "", **swaps: str) -> str:
    """Give the page with something added to its head or body, or pieces swapped: `swap="old -> new"`."""
    text = PAGE.replace("{style}", STYLE).replace("{head}", head).replace("{body}", body)
    for swap in swaps.values():
        old, _, new = swap.partition(" -> ")
        assert old in text, f"nothing to swap: {old}"
        text = text.replace(old, new)
    return text
