"""The justification sheet as one HTML page that prints on one sheet of A4 or Letter."""

from __future__ import annotations

import math
from collections.abc import Iterator
from html import escape

from linesim import __version__
from linesim.report.page.justification_content import Block, Measured, SheetContent
from linesim.report.theme.colours import DAY, PALETTE
from linesim.report.theme.markup import bullets, element
from linesim.routing.sources import Source

__all__ = ["SOURCE_COLOURS", "justification_page"]

SOURCE_COLOURS: dict[str, str] = {
    Source.CASTING.words: "#8C3D00",
    Source.DEFLECTION.words: PALETTE["blue"],
    Source.WEAR.words: PALETTE["orange"],
    Source.STRESS.words: PALETTE["bluish green"],
    Source.DISTURBANCE.words: PALETTE["vermilion"],
    Source.CHIPS.words: PALETTE["reddish purple"],
    Source.CHANCE.words: "#B9C0C8",
    Source.GAUGING.words: PALETTE["sky blue"],
    Source.RECUT.words: "#6B5B95",
    Source.NOT_CLEANED_UP.words: PALETTE["black"],
    Source.SALVAGE.words: PALETTE["yellow"],
}
"""A colour for each source of an error, from the palette of Okabe and Ito and shades of it."""

_ROOM_ROWS, _ROOM_SIGNS = 26.0, 4700.0
"""Rows of tables, and signs of text, each of which alone would fill a sheet of Letter."""
_SMALLEST, _TWO_COLUMNS = 0.62, 0.9

_STYLE = """
@page { margin: 9mm 10mm; }
* { box-sizing: border-box; }
body { margin: 0; background: PAPER; color: INK; font: 8pt/1.32 system-ui, -apple-system, "Segoe UI", Roboto,
  "Helvetica Neue", Arial, sans-serif; }
main { max-width: 190mm; margin: 6mm auto; background: SHEET; padding: 7mm 8mm; border: 1px solid INK; }
header { display: flex; justify-content: space-between; align-items: baseline; border-bottom: 1.5px solid INK;
  padding-bottom: 2mm; }
h1 { font-size: 13pt; line-height: 1.15; margin: 0; letter-spacing: -0.01em; }
h2 { font-size: 8.6pt; margin: 2.4mm 0 0.8mm; }
.works { color: FAINT; font-size: 8pt; text-align: right; }
.question { font-size: 10pt; margin: 2mm 0 1.2mm; font-style: italic; }
.answer { font-size: 10.5pt; line-height: 1.3; font-weight: 600; border-left: 3px solid GOOD; padding: 0.4mm 0 0.4mm
  3mm; margin: 0 0 1.2mm; }
.answer.open { border-left-color: CAUTION; }
.sure { color: FAINT; margin: 0 0 1mm; }
ul { margin: 0 0 1mm; padding-left: 4mm; }
li { margin: 0 0 0.3mm; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; font-size: 7.4pt;
  line-height: 1.22; }
th, td { text-align: right; padding: 0.5mm 1.2mm; vertical-align: top; border-bottom: 0.5px solid RULE; }
thead th { font-weight: 600; vertical-align: bottom; border-bottom: 1px solid INK; font-size: 6.9pt; }
tbody th, thead th:first-child { text-align: left; font-weight: 600; }
td.text { text-align: left; }
.width { display: block; color: FAINT; white-space: nowrap; font-size: 6.7pt; }
.bars { display: grid; grid-template-columns: max-content 1fr max-content; gap: 0.7mm 2.5mm; align-items: center; }
.bar { display: flex; height: 3.4mm; }
.bar span { display: block; height: 100%; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.key { display: flex; flex-wrap: wrap; gap: 0 3.5mm; margin-top: 1mm; color: FAINT; font-size: 7pt; }
.key i { display: inline-block; width: 2.4mm; height: 2.4mm; margin-right: 1mm; print-color-adjust: exact;
  -webkit-print-color-adjust: exact; }
.foot { columns: 2; column-gap: 6mm; font-size: 6.9pt; line-height: 1.26; color: FAINT; }
.foot h2 { margin-top: 0; color: INK; font-size: 7.6pt; break-after: avoid; }
.foot .cautions { color: CAUTION; }
.made { border-top: 1px solid INK; margin-top: 1.5mm; padding-top: 1mm; font-size: 6.4pt; line-height: 1.25;
  color: FAINT;   overflow-wrap: anywhere; }
.wide { overflow-x: auto; }
@media print { body { background: none; } main { border: 0; padding: 0; margin: 0 auto; background: none; }
  .wide { overflow: visible; } tr, .bars, .answer { break-inside: avoid; } }
@media screen and (max-width: 700px) { main { padding: 4mm 3mm; margin: 0; } header { display: block; }
  .works { text-align: left; } .foot { columns: 1; } }
"""


def justification_page(content: SheetContent) -> str:
    """The sheet as one self-contained HTML page.

    Parameters
    ----------
    content : SheetContent
        What stands on it.

    Returns
    -------
    str
        HTML without scripts; every name and text of the scenario is escaped. The size of the paper is left to the
        printer, and the page keeps within both A4 and Letter.
    """
    kind = "answer" if content.is_clear else "answer open"
    body = "".join(
        (
            f"<header>{element('h1', content.title)}{element('div', content.works, 'works')}</header>",
            element("p", content.question, "question"),
            element("p", _tied(content.answer), kind),
            element("p", content.certainty, "sure"),
            *(_block(block) for block in content.blocks),
            _account(content),
            f"<h2>What it does to quality, minutes and the line</h2>{bullets(map(_tied, content.remarks), 'remarks')}",
            _foot(content),
        )
    )
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta name="generator" content="linesim {escape(__version__)}">'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(f'linesim: {content.title}')}</title><style>{_style()}{_fitted(content)}</style></head>"
        f"<body><main>{body}</main></body></html>\n"
    )


def _style() -> str:
    """The style sheet with its colours."""
    style = _STYLE
    for name, colour in DAY._asdict().items():
        style = style.replace(name.upper(), colour)
    return style


def _fitted(content: SheetContent) -> str:
    """Rules that make a fuller sheet smaller, so that it stays on one page of either paper."""
    rows = sum(len(block.rows) + 2 for block in content.blocks) + 0.7 * len(content.shares)
    words = sum(map(len, (*content.remarks, *content.assumptions, *content.sources, *content.cautions)))
    filled = rows / _ROOM_ROWS + words / _ROOM_SIGNS
    size = min(1.0, max(_SMALLEST, 1.0 / filled**0.9))
    columns = " .remarks { columns: 2; column-gap: 6mm; }" if size < _TWO_COLUMNS else ""
    return f" main {{ zoom: {size:.3f}; max-width: {190.0 / size:.1f}mm; }}{columns}"


def _tied(text: str) -> str:
    """A text in which no line ends between a figure and its width."""
    return text.replace(" ± ", "\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}")


def _block(block: Block) -> str:
    """One table with its title."""
    if not block.rows:
        return ""
    head = "".join(f'<th scope="col">{escape(text)}</th>' for text in block.heads)
    rows = "".join(
        f'<tr><th scope="row">{escape(str(row[0]))}</th>{"".join(map(_cell, row[1:]))}</tr>' for row in block.rows
    )
    table = f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
    return f'{element("h2", block.title)}<div class="wide">{table}</div>'


def _cell(cell: Measured) -> str:
    """A text, or a figure with its half width beneath."""
    if isinstance(cell, str):
        return f"<td>{escape(cell)}</td>"
    if math.isnan(cell.value):
        return "<td>-</td>"
    width = ""
    if not math.isnan(cell.half_width):
        mark = " ~" if cell.is_open else ""
        width = f'<span class="width">± {cell.half_width:.{cell.decimals}f}{mark}</span>'
    return f"<td>{cell.value:.{cell.decimals}f}{width}</td>"


def _account(content: SheetContent) -> str:
    """Bars of the variance by source, variant by variant; as long as the standard deviation."""
    if not content.shares:
        return ""
    most = max(spread for spread, _ in content.shares.values()) or 1.0
    title = f"Where the error of {content.account_of} comes from: bars as long as its standard deviation per side"
    rows = "".join(_bar(name, spread, shares, most, content) for name, (spread, shares) in content.shares.items())
    used = [
        name for name in SOURCE_COLOURS if any(shares.get(name, 0.0) > 0.0 for _, shares in content.shares.values())
    ]
    key = "".join(f'<span><i style="background:{SOURCE_COLOURS[name]}"></i>{escape(name)}</span>' for name in used)
    return f'{element("h2", title)}<div class="bars">{rows}</div><div class="key">{key}</div>'


def _bar(name: str, spread: float, shares: object, most: float, content: SheetContent) -> str:
    """One bar; what takes variance out again is left out of it."""
    assert isinstance(shares, dict)
    positive = {source: share for source, share in shares.items() if share > 0.0}
    whole = sum(positive.values()) or 1.0
    pieces = "".join(
        f'<span style="width:{100.0 * spread / most * positive[source] / whole:.2f}%;background:{colour}" '
        f'title="{escape(source)}"></span>'
        for source, colour in SOURCE_COLOURS.items()
        if source in positive
    )
    told = f"{spread:.{0 if content.small_unit == 'µin' else 2}f} {content.small_unit}"
    return f'<span>{escape(name)}</span><div class="bar">{pieces}</div><span>{escape(told)}</span>'


def _foot(content: SheetContent) -> str:
    """Assumptions, sources, cautions, and what is needed to make the sheet again."""

    def parts() -> Iterator[str]:
        yield f"<h2>Assumptions</h2>{bullets(content.assumptions)}"
        yield f"<h2>Sources</h2>{bullets(content.sources)}"
        yield f"<h2>Cautions</h2>{bullets(content.cautions, 'cautions')}"

    made = "; ".join(f"{name} {value}" for name, value in content.provenance if value)
    return f'<div class="foot">{"".join(parts())}</div>{element("div", made, "made")}'
