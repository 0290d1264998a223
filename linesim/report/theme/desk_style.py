"""The look of the dashboard: the same drawing sheet, ledger and lettering as the printed page, laid over Streamlit."""

from __future__ import annotations

from linesim.report.theme.colours import DAY, NIGHT, Light

__all__ = ["desk_style", "theme_options"]

_LETTERS = 'ui-monospace, "SF Mono", Consolas, "DejaVu Sans Mono", monospace'

_RULES = """
[data-testid="stAppViewContainer"] { background-color: var(--paper);
  background-image: linear-gradient(var(--squares) 1px, transparent 1px),
    linear-gradient(90deg, var(--squares) 1px, transparent 1px); background-size: 19px 19px; }
[data-testid="stHeader"] { background: transparent; height: 2.2rem; min-height: 2.2rem; }
[data-testid="stMainBlockContainer"] { max-width: 1240px; padding: 1.5rem 2.25rem 2.5rem; margin: 2.2rem auto 2.5rem;
  background: var(--sheet); border: 1px solid var(--ink); outline: 1px solid var(--rule); outline-offset: 6px; }
[data-testid="stStatusWidget"] button { display: none; }
.stApp h1 { font-size: 28px; line-height: 1.2; letter-spacing: -0.01em; padding: 2px 0 4px; overflow-wrap: anywhere; }
.stApp h2 { font-size: 21px; line-height: 1.3; padding: 4px 0; overflow-wrap: anywhere; }
.stApp h3 { font-size: 16.5px; padding: 8px 0 2px; overflow-wrap: anywhere; }
.lettering { font: 600 12px/1.35 var(--letters); letter-spacing: 0.02em; color: var(--faint); margin: 0;
  overflow-wrap: anywhere; }
.answer { font-size: 19px; line-height: 1.45; max-width: 74ch; border-left: 5px solid var(--accent);
  padding: 1px 0 1px 16px; margin: 2px 0 6px; text-wrap: pretty; overflow-wrap: anywhere; }
.answer.open { border-left-color: var(--caution); }
.note { color: var(--faint); font-size: 14.5px; max-width: 88ch; margin: 0; overflow-wrap: anywhere; }
.stApp .figures { display: flex; flex-wrap: wrap; gap: 0; border: 1px solid var(--rule); margin: 4px 0; padding: 0; }
.stApp .figures dt, .stApp .figures dd { margin-left: 0; padding: 0; }
.figures div { flex: 1 1 150px; padding: 8px 14px 10px; border-right: 1px solid var(--rule); min-width: 0; }
.figures div:last-child { border-right: 0; }
.figures dt { font: 600 12px/1.35 var(--letters); color: var(--faint); }
.figures dd { margin: 3px 0 0; font-size: 21px; font-variant-numeric: tabular-nums; line-height: 1.25; }
.figures dd small { font-size: 13.5px; color: var(--faint); display: block; }
.wide { overflow-x: auto; margin: 4px 0 8px; }
.stApp .wide table { border-collapse: collapse; width: 100%; font-size: 14px; font-variant-numeric: tabular-nums;
  color: var(--ink); margin: 0; border: 0; }
.stApp .wide caption { text-align: left; color: var(--faint); padding: 0 0 8px; caption-side: top;
  font: 600 12px/1.35 var(--letters); }
.stApp .wide th, .stApp .wide td { border: 0; border-bottom: 1px solid var(--rule); padding: 5px 10px; text-align: left;
  vertical-align: top; font-weight: 400; color: var(--ink); }
.stApp .wide thead th { font: 600 12px/1.35 var(--letters); border-bottom: 1.5px solid var(--ink);
  vertical-align: bottom; }
.stApp .wide tbody th { font-weight: 600; min-width: 7em; overflow-wrap: anywhere; }
.stApp .wide tfoot th, .stApp .wide tfoot td { font-weight: 700; border-bottom: 0; border-top: 3px double var(--ink); }
.stApp .wide th.n, .stApp .wide td.n { text-align: right; white-space: nowrap; }
.width { display: block; white-space: nowrap; color: var(--faint); }
td.open { color: var(--faint); }
.mark { color: var(--good); font-weight: 700; }
[class*="st-key-cards"] { border-bottom: 2px solid var(--ink); padding-bottom: 8px; gap: 6px 8px; }
[class*="st-key-cards"] a { border: 1px solid var(--rule); border-radius: 2px; padding: 4px 10px; min-height: 34px; }
[class*="st-key-cards"] a p { font-size: 14.5px; }
[class*="st-key-cards"] a[aria-current="page"], [class*="st-key-here"] a { border: 1.5px solid var(--ink);
  border-bottom: 4px solid var(--accent); background: var(--paper); }
[class*="st-key-here"] a p { font-weight: 700; }
[class*="st-key-fault"] p { color: var(--caution); }
.beside { color: var(--caution); font-size: 14px; margin: -10px 0 6px; border-left: 3px solid var(--caution);
  padding-left: 8px; overflow-wrap: anywhere; }
.stApp button[kind^="primary"]:not(:disabled) * { color: var(--sheet); }
.cautions { border: 2px solid var(--caution); padding: 12px 16px 8px 34px; margin: 6px 0; }
.stApp :focus-visible { outline: 2px solid var(--accent); outline-offset: 2px; }
@media (max-width: 900px) {
  [data-testid="stMainBlockContainer"] { padding: 1.1rem 1rem 2rem; margin: 2.2rem 8px 1.5rem; }
  [data-testid="stStatusWidget"] button { display: none; }
.stApp h1 { font-size: 24px; }
  .answer { font-size: 17.5px; }
  .figures div { padding: 8px 10px 10px; }
  .figures dd { font-size: 17px; }
  .stApp .wide table { font-size: 13px; }
  .stApp .wide th, .stApp .wide td { padding: 5px 6px; }
}
@media (prefers-reduced-motion: reduce) { * { animation: none !important; transition: none !important; } }
"""


def desk_style(light: Light) -> str:
    """The style sheet of the dashboard under one light, within its element.

    Parameters
    ----------
    light : Light
        Colours.

    Returns
    -------
    str
        A ``<style>`` element; it names no file and no address.
    """
    squares = "#17212A" if light is NIGHT else "#DDE3E4"
    named = {f"--{name}": colour for name, colour in light._asdict().items()}
    named |= {"--squares": squares, "--letters": _LETTERS}
    variables = " ".join(f"{name}: {colour};" for name, colour in named.items())
    return f"<style>:root, .stApp {{ {variables} }}{_RULES}</style>"


def theme_options() -> dict[str, str]:
    """Colours of both lights as options of Streamlit, by name.

    Returns
    -------
    dict
        Such as ``theme.light.textColor``.
    """
    options = {"theme.baseRadius": "2px", "theme.buttonRadius": "2px", "theme.baseFontSize": "16"}
    for name, light in (("light", DAY), ("dark", NIGHT)):
        options |= {
            f"theme.{name}.primaryColor": light.accent,
            f"theme.{name}.backgroundColor": light.sheet,
            f"theme.{name}.secondaryBackgroundColor": light.paper,
            f"theme.{name}.textColor": light.ink,
            f"theme.{name}.linkColor": light.accent,
            f"theme.{name}.borderColor": light.rule,
        }
    return options
