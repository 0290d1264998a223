"""The look of the HTML page: a drawing sheet on the works engineer's desk, a ledger and a title block."""

from __future__ import annotations

from linesim.report.theme.colours import DAY, NIGHT, Light

__all__ = ["page_style"]

_RULES = """
:root { --letters: ui-monospace, "SF Mono", Consolas, "DejaVu Sans Mono", monospace;
  --text: system-ui, -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif; }
* { box-sizing: border-box; }
html { color-scheme: light dark; -webkit-text-size-adjust: 100%; }
body { margin: 0; padding: 28px 16px; color: var(--ink); background-color: var(--paper);
  background-image: linear-gradient(var(--squares) 1px, transparent 1px),
    linear-gradient(90deg, var(--squares) 1px, transparent 1px);
  background-size: 19px 19px; font: 16px/1.55 var(--text); }
main { max-width: 1140px; margin: 0 auto; background: var(--sheet); border: 1px solid var(--ink);
  outline: 1px solid var(--rule); outline-offset: 6px; padding: 36px 44px 0; }
header { border-bottom: 2px solid var(--ink); padding-bottom: 18px; margin-bottom: 8px; }
h1 { font-size: 30px; line-height: 1.2; margin: 4px 0 6px; letter-spacing: -0.01em; text-wrap: balance; }
h2 { font-size: 20px; line-height: 1.3; margin: 0 0 10px; display: flex; gap: 12px; align-items: center; }
h3 { font-size: 16px; margin: 22px 0 6px; }
p { margin: 0 0 12px; max-width: 76ch; }
.lettering, caption, .block dt, thead th { font: 600 12px/1.35 var(--letters); letter-spacing: 0.02em; }
.lettering { color: var(--faint); margin: 0; }
.about { color: var(--faint); }
.answer { font-size: 21px; line-height: 1.45; max-width: 62ch; border-left: 5px solid var(--accent);
  padding: 2px 0 2px 18px; margin: 14px 0 16px; text-wrap: pretty; }
.answer.open { border-left-color: var(--caution); }
section { padding: 26px 0 18px; border-bottom: 1px solid var(--rule); }
section:last-of-type { border-bottom: 0; }
.balloon { flex: none; width: 30px; height: 30px; border: 1.5px solid var(--ink); border-radius: 50%;
  display: inline-grid; place-items: center; font: 600 14px/1 var(--letters); }
.wide { overflow-x: auto; margin: 12px 0 16px; }
table { border-collapse: collapse; width: 100%; font-size: 14px; font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--faint); padding: 0 0 8px; }
thead th { text-align: left; vertical-align: bottom; border-bottom: 1.5px solid var(--ink); padding: 6px 10px;
} tbody th, tbody td, tfoot th, tfoot td { text-align: left; vertical-align: top; padding: 7px 10px;
  border-bottom: 1px solid var(--rule); font-weight: 400; }
tbody th { font-weight: 600; min-width: 8em; }
tfoot th, tfoot td { font-weight: 700; border-bottom: 0; border-top: 3px double var(--ink); }
th.n, td.n { text-align: right; }
.width { display: block; white-space: nowrap; color: var(--faint); }
td.open { color: var(--faint); }
td.open .width::after { content: " ~"; color: var(--caution); font-weight: 700; }
.mark { color: var(--good); font-weight: 700; }
.picture { margin: 8px 0 4px; }
figcaption, .note { color: var(--faint); font-size: 14.5px; max-width: 80ch; }
figure { margin: 0; }
ul { margin: 0 0 14px; padding-left: 20px; max-width: 80ch; }
li { margin-bottom: 6px; }
.cautions { border: 2px solid var(--caution); padding: 14px 18px 8px 36px; max-width: none; }
.cautions li { max-width: 86ch; }
details { margin: 0 0 10px; }
summary { cursor: pointer; font-weight: 600; padding: 6px 0; }
:focus-visible { outline: 2px solid var(--accent); outline-offset: 2px; }
.block { display: grid; grid-template-columns: repeat(12, 1fr); margin: 20px -44px 0; font-size: 14px;
  border-top: 2px solid var(--ink); }
.block div { grid-column: span 3; padding: 8px 14px 9px; border-right: 1px solid var(--ink);
  border-bottom: 1px solid var(--ink); min-width: 0; }
.block .half { grid-column: span 6; }
.block .all { grid-column: span 12; border-bottom: 0; border-right: 0; }
.block dt { color: var(--faint); font-size: 11px; }
.block dd { margin: 2px 0 0; overflow-wrap: anywhere; font-variant-numeric: tabular-nums; }
@media (max-width: 900px) {
  body { padding: 14px 8px; }
  main { padding: 24px 20px 0; }
  .block { margin: 20px -20px 0; }
  .block div { grid-column: span 6; }
  .block .half { grid-column: span 12; }
  h1 { font-size: 26px; }
  .answer { font-size: 19px; }
  table { font-size: 13px; }
  thead th { font-size: 11px; padding: 6px 6px; }
  tbody th, tbody td, tfoot th, tfoot td { padding: 6px 6px; }
}
@media print {
  @page { size: A4; margin: 14mm 12mm; }
  body { background: none; padding: 0; font-size: 10.5pt; }
  main { border: 0; outline: 0; padding: 0; max-width: none; background: none; }
  tfoot { display: table-row-group; }
  section { break-inside: auto; padding: 14pt 0 8pt; }
  h2, h3, caption { break-after: avoid; }
  figure, tr, h2, .cautions, .block { break-inside: avoid; }
  .wide { overflow: visible; }
  table { font-size: 8.5pt; }
  thead th { font-size: 7.5pt; padding: 3pt; }
  tbody th, tbody td, tfoot th, tfoot td { padding: 3pt; }
  .block { margin: 12pt 0 0; border: 1px solid var(--ink); }
}
"""


def page_style() -> str:
    """The style sheet of a page, by day, by night and on paper.

    Returns
    -------
    str
        CSS; it names no file and no address.
    """
    day, night = _variables(DAY, "#DDE3E4"), _variables(NIGHT, "#17212A")
    screen = f":root {{ {day} }} @media screen and (prefers-color-scheme: dark) {{ :root {{ {night} }} }}"
    return screen + _RULES


def _variables(light: Light, squares: str) -> str:
    """Colours of one light as variables of the style sheet."""
    named = {f"--{name}": colour for name, colour in light._asdict().items()} | {"--squares": squares}
    return " ".join(f"{name}: {colour};" for name, colour in named.items())
