"""Templates and style sheets: whatever is HTML is written by one engine, which escapes all that it is given."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from linesim import __version__
from linesim.manual.words import word_help
from linesim.report.theme.colours import DAY, NIGHT, Light
from linesim.report.theme.grid import plain
from linesim.report.theme.paper import PAPERS_MM
from linesim.words import ENGLISH, language, retell, say

__all__ = ["call", "render", "render_sheets", "style", "tied", "variables"]

_PIECES = "pieces.html"


def tied(text: str) -> str:
    r"""A text in which no line ends between a figure and its width or unit.

    >>> tied("3 ± 1 %")
    '3\xa0±\xa01\xa0%'
    """
    return retell(text).replace(" ± ", "\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}").replace(" %", "\N{NO-BREAK SPACE}%")


def _visible(value: object) -> object:
    """A value of a template: texts without control signs and signs that take no room, in which names could hide."""
    if isinstance(value, str) and not isinstance(value, Markup):
        return "\n".join(map(plain, retell(value).split("\n")))
    return value


def _help(heading: str) -> str:
    """The sentence of a word of the trade; the manual has it in English alone."""
    return word_help(heading) if language() == ENGLISH.language else ""


@cache
def _engine() -> Environment:
    engine = Environment(
        loader=PackageLoader("linesim.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_visible,
    )
    engine.filters["tied"] = tied
    engine.globals |= {"say": say, "language": language}
    engine.filters["word_help"] = _help
    return engine


def render(name: str, **values: object) -> str:
    """A template filled in.

    Parameters
    ----------
    name : str
        A file in ``report/templates``.
    **values
        What it shows; every text is escaped, except where it is `markupsafe.Markup`.

    Returns
    -------
    str
        HTML.

    Raises
    ------
    jinja2.UndefinedError
        The template asks for a value that was not given.
    """
    return _engine().get_template(name).render(**values)


def render_sheets(template: str, paper: str, room: tuple[int, int], styles: str, **values: object) -> str:
    """Fill in a template that is printed, as one file without scripts.

    Parameters
    ----------
    template : str
        Its file name.
    paper : {"A4", "Letter"}
        On which it is printed.
    room : (int, int)
        Width and height within its margins, mm; a millimetre of the height stays free, so that rounding makes no page.
    styles : str
        Name of its style sheets, one after another, with blanks between.
    **values
        What the template asks for besides.

    Returns
    -------
    str
    """
    width, height = PAPERS_MM[paper]
    return render(
        template,
        version=__version__,
        allowed="style-src 'unsafe-inline'",
        style="".join(style(name) for name in styles.split()),
        day=variables(DAY),
        paper=f"{width}mm {height}mm",
        width_mm=room[0],
        height_mm=room[1] - 1,
        **values,
    )


@cache
def _macros() -> object:
    return _engine().get_template(_PIECES).module


def call(macro: str, *values: object) -> str:
    """One piece of HTML, made by a macro of ``templates/pieces.html``; every text is escaped."""
    return str(getattr(_macros(), macro)(*values))


@cache
def style(name: str) -> Markup:
    """A style sheet, to stand in a page; it names no file and no address.

    Parameters
    ----------
    name : str
        A file in ``report/styles``.

    Returns
    -------
    markupsafe.Markup
        CSS.
    """
    return Markup(files("linesim.report").joinpath("styles", name).read_text(encoding="utf-8"))  # noqa: S704 - ours


def variables(light: Light) -> Markup:
    """Colours of one light as variables of a style sheet.

    Parameters
    ----------
    light : Light
        Colours.

    Returns
    -------
    markupsafe.Markup
        Declarations such as ``--ink: #1C2733;``.
    """
    squares = "#17212A" if light is NIGHT else "#DDE3E4"
    named = {f"--{name}": colour for name, colour in light._asdict().items()} | {"--squares": squares}
    return Markup(" ").join(Markup("{}: {};").format(name, colour) for name, colour in named.items())
