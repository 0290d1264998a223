"""The sections of the page of a comparison."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from typing import Any

from linesim.desk import Desk, desk_figures
from linesim.ledger import ITEMS
from linesim.plan.tally import State
from linesim.report.terminal.compare import shown, span_lines
from linesim.report.terminal.detail_rows import detail_rows
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Folded, Paragraph, Piece, Section, Table
from linesim.report.theme.shown import number
from linesim.study import MEASURES, WHOLE_WORKS, Comparison, Measure
from linesim.study.comparing.measures import with_unit
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = [
    "METHODS",
    "SOURCES_CAPTION",
    "SOURCE_HEADS",
    "assumption_pieces",
    "detail_table",
    "difference_pieces",
    "ground_sections",
    "ledger_tables",
    "policy_pieces",
    "source_pieces",
    "source_rows",
    "times_table",
]  # fmt: skip

_LEAST_SHOWN = 0.0005
_TYPICAL = "typical figures that stand in for what the scenario does not say, with their sources"

METHODS = (
    "Life of an edge: F. W. Taylor, On the Art of Cutting Metals, Trans. ASME 28 (1907), extended.",
    "Cutting force: O. Kienzle, Die Bestimmung von Kräften und Leistungen, Z. VDI 94 (1952).",
    "Quality loss: Taguchi, Elsayed and Hsiang, Quality Engineering in Production Systems (1989).",
    "Intervals: Student, The probable error of a mean, Biometrika 6 (1908), on paired differences.",
    "Several differences at once: Bonferroni's inequality for intervals; S. Holm (1979) for p values.",
    "Dunnett's test is not used: it takes policies as independent, and these share castings, edges and breakdowns.",
    "The best by looking again and again: S.-H. Kim and B. L. Nelson, ACM TOMACS 11 (2001), 251-273.",
    "Warm-up: K. P. White, Simulation 69 (1997), 323-334 (MSER-5); moving average: P. D. Welch (1983).",
    "Colours: M. Okabe and K. Ito, Color Universal Design (2002).",
)
"""Where the methods come from; the references are from memory."""


def policy_pieces(answer: Comparison) -> list[Piece]:
    """Every policy by every measure."""
    pieces: list[Piece] = []
    for line in _lines(answer):
        caption = "Mean ± half the width of its interval" if line == WHOLE_WORKS else f"Line {line}"
        rows = [
            [_named(answer, name), *numbers(*(_amount(answer, name, measure, line) for measure in MEASURES))]
            for name in answer.names
        ]
        pieces.append(Table(f"{caption}, {_level(answer)}", _heads(answer, "policy"), rows))
    return [*pieces, Bullets([f"{name}: {words}." for name, words in answer.words.items()])]


def difference_pieces(answer: Comparison) -> list[Piece]:
    """Every policy against the best, and against today's."""
    if len(answer.names) < 2:
        return [Paragraph("There is one policy, and nothing to set it against.")]
    against = list(dict.fromkeys(answer.differences["against"]))
    note = (
        "Each figure is the row's policy less the one named above it, paired by replication. All intervals "
        "of a column hold at once. ~ marks what is not significant: its interval holds 0. The interval decides, "
        "since the best is picked from the same runs. p is of the pair by itself, Holm's p of all pairs "
        "together, both for the measure that decides."
    )
    return [*(_difference_table(answer, str(other)) for other in against), Paragraph(note, "note")]


def _difference_table(answer: Comparison, against: str) -> Table:
    """Differences against one policy."""
    table_ = answer.differences[answer.differences["against"] == against]
    cells = {(row["policy"], row["measure"]): row for row in table_.to_dict(orient="records")}
    rows: list[list[Cell]] = []
    for name in answer.names:
        if name != against:
            own = [_difference(measure, cells[name, measure.name]) for measure in MEASURES]
            deciding = cells[name, answer.judged_by.name]
            rows.append([name, *own, *numbers(_p(deciding["p_value"]), _p(deciding["p_holm"]))])
    role = "the best by its mean" if against == answer.best.policy else answer.role_of_base
    heads = [*_heads(answer, "policy"), *numbers("p", "Holm's p")]
    return Table(f'Less "{against}", {role}', heads, rows)


def _difference(measure: Measure, row: dict[Hashable, Any]) -> Cell:
    mean, width = shown(measure, row["mean"], row["half_width"])
    is_settled = row["is_apart"] or not width
    return f"{mean} {width}{'' if is_settled else ' ~'}".strip(), "n" if is_settled else "n open"


def _p(value: float) -> str:
    return "<0.0001" if value < 0.0001 else number(value, 4)


def ledger_tables(answer: Comparison) -> list[Table]:
    """Money per good part, item by item."""
    tables = []
    for line in _lines(answer):
        money = answer.ledger[answer.ledger["line"] == line].set_index(["policy", "item"])["per_good_part"].to_dict()
        items = [item for item in ITEMS if any((name, item) in money for name in answer.names)]
        rows = [[item, *numbers(*(number(money[name, item], 2) for name in answer.names))] for item in items]
        sums = numbers(*(number(answer.mean(name, "cost_per_good_part", line)[0], 2) for name in answer.names))
        caption = f"{answer.works.currency} per good part" + ("" if line == WHOLE_WORKS else f", line {line}")
        tables.append(Table(caption, ["item", *numbers(*answer.names)], rows, ["all together", *sums]))
    return tables


def detail_table(answer: Comparison) -> Table:
    """Stock, lead time, waits and capability, each with its interval."""
    rows: list[list[Cell]] = [
        [detail.words, *numbers(*(" ".join(detail.figures.get(name, ("", ""))).strip() for name in answer.names))]
        for detail in detail_rows(answer)
    ]
    return Table(
        "Of waits and capabilities the worst: mean ± half the width of its interval",
        ["", *numbers(*answer.names)],
        rows,
    )


def times_table(answer: Comparison, line: str) -> Table:
    """Where the time of a line's constraint goes."""
    own = answer.times[answer.times["is_constraint"] & (answer.times["line"] == line)]
    means = own.groupby(["policy", "state"])["share"].mean().to_dict()
    states = [state.words for state in State if max(means[name, state.words] for name in answer.names) >= _LEAST_SHOWN]
    rows = [[state, *numbers(*(number(100.0 * means[name, state], 1) for name in answer.names))] for state in states]
    operation = called_at(answer.works, line, str(own["operation"].iloc[0]))
    return Table(f"{line}: {operation}, share of time in %", ["state", *numbers(*answer.names)], rows)


def assumption_pieces(answer: Comparison, desk: Desk) -> list[Piece]:
    """What the figures rest on."""
    judged = answer.judged_by.words
    chance = f"every {answer.noun} meets the same castings, edges and breakdowns, so that luck does not favour one"
    picked = f"called best only if its difference from every other one is significant in {judged}, all taken together"
    if answer.selection is not None:
        picked = (
            "called best only where the procedure that looked for it, replication by replication, has ended with one"
        )
    looks = f"Intervals hold at whichever of {answer.looks} looks the study ended." if answer.looks > 1 else ""
    texts = [
        *span_lines(answer),
        f"Common random numbers: {chance}.",
        f"The best {answer.noun} is picked from the same runs; so it is {picked}.",
        *filter(None, [looks]),
        "Quality loss follows from true values of shipped parts, and is part of the cost per good part.",
    ]
    return [Bullets([*texts, *_of_scenario(desk)]), *_typical(desk), *_findings(answer)]


def _findings(answer: Comparison) -> Iterator[Piece]:
    """What was found in the runs of each alternative, problems in sight and the rest to be unfolded."""
    notes = answer.notes.to_dict(orient="records")
    problems = [f'"{row["policy"]}", {_often(answer, row)}' for row in notes if row["is_problem"]]
    if problems:
        yield Bullets([f"Problem under {text}" for text in problems])
    for name in answer.names:
        own = [row for row in notes if row["policy"] == name and not row["is_problem"]]
        if own:
            texts = [_often(answer, row) for row in sorted(own, key=lambda row: -row["runs"])]
            yield Folded(f'{len(own)} findings under "{name}"', [Bullets(texts)])


def _often(answer: Comparison, row: dict[Hashable, Any]) -> str:
    return f"in {row['runs']} of {answer.counts[row['policy']]} runs: {row['text']}"


def ground_sections(works: Works) -> list[Section]:
    """What any study of a works rests on: what is assumed of it, and where methods and figures come from.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    list of Section
    """
    desk = desk_figures(works)
    assumed = [Bullets(_of_scenario(desk)), *_typical(desk)]
    return [Section("Assumptions", assumed), Section("Sources", source_pieces(desk))]


def _of_scenario(desk: Desk) -> list[str]:
    handbook = [f"From the handbook: {text}." for text in desk.assumptions]
    return [*handbook, *(f"Remark: {text}" for text in desk.remarks)]


def _typical(desk: Desk) -> list[Piece]:
    """Typical figures, folded away."""
    return [Folded(f"{len(desk.assumed)} {_TYPICAL}", [Bullets(desk.typical)])] if desk.typical else []


def source_rows(desk: Desk) -> list[list[Cell]]:
    """Sources of the handbook's figures, their strength, and what each is used for."""
    uses: dict[tuple[str, str], list[str]] = {}
    for row in desk.sources.to_dict(orient="records"):
        uses.setdefault((row["source"], row["strength"]), []).append(f"{row['entry']}: {row['figure']}")
    return [[source, strength, "; ".join(used)] for (source, strength), used in uses.items()]


SOURCES_CAPTION = "Figures of the handbook that this scenario leans on"
SOURCE_HEADS: tuple[Cell, ...] = ("source", "strength", "used for")


def source_pieces(desk: Desk) -> list[Piece]:
    """Where methods and handbook figures come from."""
    rows = source_rows(desk)
    note = "Strength: read in the source, from memory, derived from others, or an assumption."
    inner: list[Piece] = [Table(SOURCES_CAPTION, SOURCE_HEADS, rows), Paragraph(note, "note")]
    return [Bullets(METHODS), Folded(f"{len(rows)} sources of handbook figures", inner)]


def _lines(answer: Comparison) -> Sequence[str]:
    """The whole works, and its lines where there are several."""
    lines = list(answer.works.lines)
    return [WHOLE_WORKS, *lines] if len(lines) > 1 else [WHOLE_WORKS]


def _heads(answer: Comparison, first: str) -> list[Cell]:
    return [first, *numbers(*(with_unit(measure, answer.works.currency) for measure in MEASURES))]


def _named(answer: Comparison, name: str) -> Cell:
    is_best = name == answer.best.policy and answer.best.is_clear and len(answer.names) > 1
    return (f"{name} (best)", "mark") if is_best else name


def _amount(answer: Comparison, name: str, measure: Measure, line: str) -> str:
    mean, width = shown(measure, *answer.mean(name, measure.name, line))
    return f"{mean} {width}".strip()


def _level(answer: Comparison) -> str:
    if answer.n_replications == 1:
        return "one replication, no intervals"
    return f"{100.0 * answer.confidence:g} % confidence, {answer.n_replications} replications"
