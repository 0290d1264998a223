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
from linesim.study.comparing.words import noun_words
from linesim.words import keep, recognised, say
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = [
    "METHODS",
    "SOURCES_CAPTION",
    "SOURCE_HEADS",
    "assumption_pieces",
    "detail_table",
    "difference_pieces",
    "finding_words",
    "ground_sections",
    "ledger_tables",
    "policy_pieces",
    "source_pieces",
    "source_rows",
    "times_table",
]  # fmt: skip

_LEAST_SHOWN = 0.0005

METHODS: tuple[str, ...] = (
    keep("methods.life"),
    keep("methods.force"),
    keep("methods.loss"),
    keep("methods.intervals"),
    keep("methods.several"),
    keep("methods.dunnett"),
    keep("methods.best"),
    keep("methods.warm_up"),
    keep("methods.colours"),
)
"""Where the methods come from; the references are from memory."""


def policy_pieces(answer: Comparison) -> list[Piece]:
    """Every policy by every measure."""
    pieces: list[Piece] = []
    for line in _lines(answer):
        caption = say("compare.mean") if line == WHOLE_WORKS else say("compare.line", line=line)
        rows = [
            [_named(answer, name), *numbers(*(_amount(answer, name, measure, line) for measure in MEASURES))]
            for name in answer.names
        ]
        pieces.append(Table(say("compare.caption", what=caption, level=_level(answer)), _heads(answer), rows))
    return [
        *pieces,
        Bullets([say("compare.what_it_does", name=name, words=words) for name, words in answer.words.items()]),
    ]


def difference_pieces(answer: Comparison) -> list[Piece]:
    """Every policy against the best, and against today's."""
    if len(answer.names) < 2:
        return [Paragraph(say("compare.one_policy"))]
    against = list(dict.fromkeys(answer.differences["against"]))
    tables = (_difference_table(answer, str(other)) for other in against)
    return [*tables, Paragraph(say("compare.differences_note"), "note")]


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
    role = say("compare.best_by_mean") if against == answer.best.policy else answer.role_of_base
    heads = [*_heads(answer), *numbers("p", say("compare.holm"))]
    return Table(say("compare.less", policy=against, role=role), heads, rows)


def _difference(measure: Measure, row: dict[Hashable, Any]) -> Cell:
    mean, width = shown(measure, row["mean"], row["half_width"])
    is_settled = row["is_apart"] or not width
    return f"{mean} {width}{'' if is_settled else ' ~'}".strip(), "n" if is_settled else "n open"


def _p(value: float) -> str:
    return f"<{number(0.0001, 4)}" if value < 0.0001 else number(value, 4)


def ledger_tables(answer: Comparison) -> list[Table]:
    """Money per good part, item by item."""
    tables = []
    for line in _lines(answer):
        money = answer.ledger[answer.ledger["line"] == line].set_index(["policy", "item"])["per_good_part"].to_dict()
        items = [item for item in ITEMS if any((name, item) in money for name in answer.names)]
        rows = [
            [say(f"items.{item}"), *numbers(*(number(money[name, item], 2) for name in answer.names))] for item in items
        ]
        sums = numbers(*(number(answer.mean(name, "cost_per_good_part", line)[0], 2) for name in answer.names))
        caption = say("compare.per_part", currency=answer.works.currency)
        if line != WHOLE_WORKS:
            caption = say("compare.per_part_of", what=caption, line=line)
        heads = [say("compare.item"), *numbers(*answer.names)]
        tables.append(Table(caption, heads, rows, [say("compare.all_together"), *sums]))
    return tables


def detail_table(answer: Comparison) -> Table:
    """Stock, lead time, waits and capability, each with its interval."""
    rows: list[list[Cell]] = [
        [detail.words, *numbers(*(" ".join(detail.figures.get(name, ("", ""))).strip() for name in answer.names))]
        for detail in detail_rows(answer)
    ]
    return Table(
        say("compare.details_caption"),
        ["", *numbers(*answer.names)],
        rows,
    )


def times_table(answer: Comparison, line: str) -> Table:
    """Where the time of a line's constraint goes."""
    own = answer.times[answer.times["is_constraint"] & (answer.times["line"] == line)]
    means = own.groupby(["policy", "state"])["share"].mean().to_dict()
    states = [state.words for state in State if max(means[name, state.words] for name in answer.names) >= _LEAST_SHOWN]
    rows = [
        [say(f"states.{state}"), *numbers(*(number(100.0 * means[name, state], 1) for name in answer.names))]
        for state in states
    ]
    operation = called_at(answer.works, line, str(own["operation"].iloc[0]))
    return Table(
        say("compare.times_caption", line=line, operation=operation),
        [say("compare.state"), *numbers(*answer.names)], rows,
    )  # fmt: skip


def assumption_pieces(answer: Comparison, desk: Desk) -> list[Piece]:
    """What the figures rest on."""
    noun = noun_words(answer.noun)
    picked = say("assumed.picked", noun=noun, what=answer.judged_by.words)
    if answer.selection is not None:
        picked = say("assumed.looked_for", noun=noun)
    texts = [
        *span_lines(answer),
        say("assumed.shared_chance", noun=noun),
        picked,
        *([say("assumed.looks", looks=answer.looks)] if answer.looks > 1 else []),
        say("assumed.loss"),
    ]
    return [Bullets([*texts, *_of_scenario(desk)]), *_typical(desk), *_findings(answer)]


def _findings(answer: Comparison) -> Iterator[Piece]:
    """What was found in the runs of each alternative, problems in sight and the rest to be unfolded."""
    notes = answer.notes.to_dict(orient="records")
    problems = [row for row in notes if row["is_problem"]]
    if problems:
        yield Bullets([say("findings.problem", policy=row["policy"], text=_often(answer, row)) for row in problems])
    for name in answer.names:
        own = [row for row in notes if row["policy"] == name and not row["is_problem"]]
        if own:
            texts = [_often(answer, row) for row in sorted(own, key=lambda row: -row["runs"])]
            yield Folded(say("findings.of_policy", number=len(own), policy=name), [Bullets(texts)])


def finding_words(text: str) -> str:
    """A finding that went through a table, with its key."""
    return recognised(text, "findings", "states", "days", "format", "doing")


def _often(answer: Comparison, row: dict[Hashable, Any]) -> str:
    text = finding_words(str(row["text"]))
    return say("findings.often", runs=row["runs"], of=answer.counts[row["policy"]], text=text)


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
    texts = _of_scenario(desk)
    assumed = [*([Bullets(texts)] if texts else []), *_typical(desk)]
    first = [Section(say("assumed.title"), assumed)] if assumed else []
    return [*first, Section(say("methods.sources"), source_pieces(desk))]


def _of_scenario(desk: Desk) -> list[str]:
    handbook = [say("assumed.handbook", text=text) for text in desk.assumptions]
    return [*handbook, *(say("assumed.remark", text=text) for text in desk.remarks)]


def _typical(desk: Desk) -> list[Piece]:
    """Typical figures, folded away."""
    if not desk.typical:
        return []
    return [Folded(say("assumed.typical", number=len(desk.assumed)), [Bullets(desk.typical)])]


def source_rows(desk: Desk) -> list[list[Cell]]:
    """Sources of the handbook's figures, their strength, and what each is used for."""
    uses: dict[tuple[str, str], list[str]] = {}
    for row in desk.sources.to_dict(orient="records"):
        uses.setdefault((row["source"], row["strength"]), []).append(f"{row['entry']}: {row['figure']}")
    return [
        [source, keep(f"methods.strength_{strength}") if strength else "", "; ".join(used)]
        for (source, strength), used in uses.items()
    ]


SOURCES_CAPTION: str = keep("methods.sources_caption")
SOURCE_HEADS: tuple[Cell, ...] = (keep("methods.source"), keep("methods.strength"), keep("methods.used_for"))


def source_pieces(desk: Desk) -> list[Piece]:
    """Where methods and handbook figures come from."""
    rows = source_rows(desk)
    inner: list[Piece] = [Table(SOURCES_CAPTION, SOURCE_HEADS, rows), Paragraph(say("methods.note"), "note")]
    return [Bullets(METHODS), Folded(say("methods.folded", number=len(rows)), inner)]


def _lines(answer: Comparison) -> Sequence[str]:
    """The whole works, and its lines where there are several."""
    lines = list(answer.works.lines)
    return [WHOLE_WORKS, *lines] if len(lines) > 1 else [WHOLE_WORKS]


def _heads(answer: Comparison) -> list[Cell]:
    return [say("compare.policy"), *numbers(*(with_unit(measure, answer.works.currency) for measure in MEASURES))]


def _named(answer: Comparison, name: str) -> Cell:
    is_best = name == answer.best.policy and answer.best.is_clear and len(answer.names) > 1
    return (say("compare.best", name=name), "mark") if is_best else name


def _amount(answer: Comparison, name: str, measure: Measure, line: str) -> str:
    mean, width = shown(measure, *answer.mean(name, measure.name, line))
    return f"{mean} {width}".strip()


def _level(answer: Comparison) -> str:
    if answer.n_replications == 1:
        return say("compare.one_replication")
    return say("compare.level", percent=100.0 * answer.confidence, runs=answer.n_replications)
