"""The style of the dashboard: the same drawing sheet, ledger and lettering as the printed page, laid over Streamlit."""

from __future__ import annotations

from markupsafe import Markup

from linesim.report.theme.colours import DAY, NIGHT, Light
from linesim.report.theme.render import style, variables

__all__ = ["desk_style", "theme_options"]


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
    rules = style("dashboard.css")
    on_paper = Markup("@media print {{ :root, .stApp {{ {} }} }}").format(variables(DAY))
    return str(Markup("<style>:root, .stApp {{ {} }}{}{}</style>").format(variables(light), rules, on_paper))


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
