"""A comparison as one HTML page that needs nothing but itself: no network, no files beside it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from html import escape
from pathlib import Path

import plotly.graph_objects as go
from plotly.io import to_html
from plotly.offline import get_plotlyjs

from linesim import __version__
from linesim.desk import desk_figures
from linesim.errors import StudyError
from linesim.report.charts.figures import ledger_figure, policy_figure, theme, time_figure
from linesim.report.charts.study_figures import warm_up_figure
from linesim.report.page.sections import (
    assumptions_section,
    cautions_section,
    differences_section,
    ledger_section,
    policies_section,
    sources_section,
    times_section,
)
from linesim.report.theme.colours import DAY, NIGHT
from linesim.report.theme.markup import bullets, element
from linesim.report.theme.style import page_style
from linesim.study import Comparison
from linesim.study.comparing.words import number_word

__all__ = [
    "block_of",
    "check_page",
    "comparison_page",
    "header_of",
    "page_of",
    "picture",
    "warm_up_section",
    "write_page",
]

_MADE_BY = '<meta name="generator" content="linesim'
_HEAD_BYTES = 2048
_POLICY_WORDS = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
"""What a browser may load for the page: nothing from outside."""

_LIGHTS = """
const byDay = {day}, byNight = {night}, dark = matchMedia("(prefers-color-scheme: dark)");
const paint = (light) => document.querySelectorAll(".plotly-graph-div").forEach((d) => Plotly.relayout(d,
light)); const follow = () => paint(dark.matches ? byNight : byDay);
dark.addEventListener("change", follow);
addEventListener("beforeprint", () => paint(byDay));
addEventListener("afterprint", follow);
follow();
"""


def comparison_page(found: Comparison, command: str | None = None) -> str:
    """A comparison as one self-contained HTML page.

    Parameters
    ----------
    found : Comparison
        What to show.
    command : str, optional
        The command that made it, for the record.

    Returns
    -------
    str
        HTML; every name and text of the scenario is escaped.
    """
    return page_of(found.works.name, _header(found), _sections(found), _title_block(found, command))


def page_of(name: str, header: str, sections: Iterable[tuple[str, str]], foot: str) -> str:
    """A self-contained HTML page around its parts.

    Parameters
    ----------
    name : str
        Name of the works.
    header, foot : str
        HTML at the top and at the end.
    sections : iterable of (str, str)
        Title, and HTML, of each numbered section.

    Returns
    -------
    str
    """
    numbered = "".join(
        f'<section aria-labelledby="s{number}"><h2 id="s{number}">'
        f'<span class="balloon" aria-hidden="true">{number}</span>{escape(title)}</h2>{inner}</section>'
        for number, (title, inner) in enumerate(sections, start=1)
    )
    lights = _LIGHTS.format(day=json.dumps(theme(DAY)), night=json.dumps(theme(NIGHT)))
    title = f"linesim: {name}"
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'{_MADE_BY} {escape(__version__)}">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY_WORDS}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title><style>{page_style()}</style><script>{get_plotlyjs()}</script></head>"
        f"<body><main>{header}{numbered}{foot}</main>"
        f"<script>{lights}</script></body></html>\n"
    )


def check_page(path: Path, is_forced: bool) -> None:
    """See to it that the page can be written, before anything is run for it.

    Raises
    ------
    StudyError
        The place is a folder, its folder is missing, or a file lies there that linesim did not write.
    """
    if path.is_dir():
        raise StudyError(f"{path}: this is a folder; a file name such as report.html was expected")
    if not path.parent.is_dir():
        raise StudyError(f"{path.parent}: there is no such folder for the report; make it first")
    if path.exists() and not is_forced:
        with path.open("rb") as file:
            head = file.read(_HEAD_BYTES)
        if _MADE_BY.encode() not in head:
            raise StudyError(
                f"{path}: lies there already and is not a report of linesim; name another file, or add "
                "--force to overwrite it"
            )


def write_page(path: Path, page: str, is_forced: bool = False) -> None:
    """Write an HTML page.

    Parameters
    ----------
    path : pathlib.Path
        The file; an older report of linesim is overwritten.
    page : str
        The HTML.
    is_forced : bool
        Whether a file that linesim did not write may be overwritten.

    Raises
    ------
    StudyError
        As for `check_page`.
    OSError
        The file cannot be written.
    """
    check_page(path, is_forced)
    path.write_text(page, encoding="utf-8", newline="\n")


def _header(found: Comparison) -> str:
    """Question and answer."""
    about = element("p", found.works.about, "about") if found.works.about else ""
    count = number_word(len(found.names))
    asked = found.judged_by.words
    if len(found.names) > 1:
        question = f"When should the cutters be changed? Which of {count} policies gives the best {asked}?"
    else:
        question = "What does this tool-change policy give?"
    lettering = "linesim / tool-change policies compared"
    return header_of(found.works.name, lettering, question, found.sentences, found.best.is_clear, about)


def header_of(
    name: str, lettering: str, question: str, sentences: Sequence[str], is_settled: bool, about: str = ""
) -> str:
    """The top of a page: what is shown of which works, the question, and the answer in words.

    Parameters
    ----------
    name : str
        Name of the works.
    lettering : str
        What kind of page it is.
    question : str
        What was asked.
    sentences : sequence of str
        The answer first.
    is_settled : bool
        Whether the data carry it.
    about : str
        HTML of a remark on the works.

    Returns
    -------
    str
        HTML.
    """
    answer, *rest = sentences
    kind = "answer" if is_settled else "answer open"
    return (
        f"<header>{element('p', lettering, 'lettering')}{element('h1', name)}{about}</header>"
        f"<section>{element('h2', question)}"
        f"{element('p', _tied(answer), kind)}{bullets(map(_tied, rest))}</section>"
    )


def _tied(text: str) -> str:
    """A text in which no line ends between a figure and its width or unit."""
    return text.replace(" ± ", "\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}").replace(" %", "\N{NO-BREAK SPACE}%")


def _sections(found: Comparison) -> Iterator[tuple[str, str]]:
    """Titles and contents of the numbered sections."""
    desk = desk_figures(found.works)
    caption = (
        "Output against quality loss. Bars are intervals; the dotted line joins the policies that no other "
        "one beats in both. Right and down is better."
    )
    yield "Output and quality", picture(policy_figure(found), caption, "policies")
    yield "Policies", policies_section(found)
    yield "Differences", differences_section(found)
    if found.lengths.pilots:
        yield "Warm-up", warm_up_section(found)
    ledger = picture(ledger_figure(found), "What one good part costs, item by item.", "ledger")
    yield "Ledger per good part", ledger + ledger_section(found)
    yield "Where the time goes at the constraint", "".join(_times(found))
    yield "Assumptions and findings", assumptions_section(found, desk)
    yield "Cautions", cautions_section()
    yield "Sources", sources_section(desk)


def _times(found: Comparison) -> Iterator[str]:
    """Picture and table of each line's constraint."""
    for number, line in enumerate(found.works.lines):
        caption = f"{line}: time of the operation whose machines are left waiting or held up least."
        yield picture(time_figure(found, line), caption, f"times{number}")
        yield times_section(found, line)


def picture(figure: go.Figure, caption: str, name: str) -> str:
    """A picture with its caption, as HTML; the name is that of its element."""
    config = {"displayModeBar": False, "responsive": True}
    inner = to_html(figure, full_html=False, include_plotlyjs=False, div_id=name, config=config)
    return f'<figure><div class="picture">{inner}</div>{element("figcaption", caption)}</figure>'


def _title_block(found: Comparison, command: str | None) -> str:
    """What is needed to make the page again, as the title block of a drawing."""
    made = found.provenance
    cells = [
        ("half", "works", made["works"]),
        ("", "seed", str(made["seed"])),
        ("", "replications", f"{made['replications']} of each policy"),
        ("", "counted", f"{made['counted_min']:g} min"),
        ("", "warm-up", f"{made['warm_up_min']:g} min"),
        ("", "engine", made["engine"]),
        ("", "linesim", made["linesim"]),
        ("half", "policies", ", ".join(made["policies"])),
        ("half", "digest of the scenario", made["digest"]),
        ("all", "command", command or "made from Python"),
    ]
    return block_of(cells)


def block_of(cells: Iterable[tuple[str, str, str]]) -> str:
    """The title block of a page: cells of (width, name, value), as HTML."""
    blocks = "".join(
        f'<div class="{kind}">{element("dt", name)}{element("dd", value)}</div>' for kind, name, value in cells
    )
    return f'<dl class="block">{blocks}</dl>'


def warm_up_section(found: Comparison) -> str:
    """Welch's picture of every series by which the warm-up was chosen, as HTML."""
    lengths = found.lengths
    told = bullets([f"{lengths.warm_up.minutes:g} minutes, {lengths.warm_up.why}."])
    caption = (
        "Means over pilot runs from the empty shop, smoothed by Welch's moving average; what stands before the upright "
        "line is not counted."
    )
    kinds = list(dict.fromkeys(lengths.series["series"]))
    return told + "".join(
        picture(warm_up_figure(found, kind), f"{kind.capitalize()}. {caption}", f"pilot{at}")
        for at, kind in enumerate(kinds)
    )
