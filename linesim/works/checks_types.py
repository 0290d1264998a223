"""Whether part types, and what is for some of them only, fit together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Sequence as Several

from linesim.errors import listed, quoted
from linesim.works.carried import cut_features
from linesim.works.model import Line
from linesim.works.nodes import Path
from linesim.works.part_types import Changeover, Sequence
from linesim.works.report import Report
from linesim.works.types_of import cut_types, feature_types, gauge_types, names_for
from linesim.works.walks import CutPlace, OperationPlace, cuts_of, operations_of

__all__ = ["check_types"]

_NEAR = 1e-6


def check_types(report: Report) -> None:
    """Look at the types of every line, and at all that names them.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for name, line in report.works.lines.items():
        _check_mix(report, name, line)
    _check_policies(report)
    _check_now(report)
    for at in operations_of(report.works):
        is_known = [_check_names(report, at, path, names) for path, names in _named(at)]
        _check_times(report, at)
        _check_batch(report, at)
        _check_sequence(report, at)
        if all(is_known) and at.line.parts and not any(place[0] == "lines" for place in report.gone):
            _check_routing(report, at)
            _check_cuts(report, at)


def _check_mix(report: Report, name: str, line: Line) -> None:
    """All types have a share, which add up to 1, or all have a batch."""
    path: Path = ("lines", name, "parts")
    for feature, spec in line.features.items():
        for position, each in enumerate(spec.only):
            here = ("lines", name, "features", feature, "only", position)
            report.known(here, each, line.parts, "a part type of this line", path)
    shares = [each.share for each in line.parts.values() if each.share is not None]
    batches = [each.batch for each in line.parts.values() if each.batch is not None]
    if len(line.parts) < 2 or report.is_touched(path):
        return
    if shares and batches:
        report.add(path, "some say a share and a batch; either a share of each type or a batch of each was expected")
    elif len(shares) + len(batches) < len(line.parts):
        report.add(path, "not every type says how it comes; a share of each type or a batch of each was expected")
    elif shares and abs(sum(shares) - 1.0) > _NEAR:
        report.add(path, f"the shares add up to {100.0 * sum(shares):g} %; 100 % were expected")


def _named(at: OperationPlace) -> Iterator[tuple[Path, Several[str]]]:
    """Every list of types at an operation, and where it stands."""
    yield (*at.path, "only"), at.operation.only
    for name, stroke in at.operation.strokes.items():
        here = (*at.path, "strokes", name)
        yield (*here, "only"), stroke.only
        for cut, spec in stroke.cuts.items():
            yield (*here, "cuts", cut, "only"), spec.only
    for name, gauge in at.operation.gauges.items():
        yield (*at.path, "gauges", name, "only"), gauge.only


def _check_names(report: Report, at: OperationPlace, path: Path, names: Several[str]) -> bool:
    are_known = [_is_type(report, at, (*path, position), name) for position, name in enumerate(names)]
    return all(are_known)


def _is_type(report: Report, at: OperationPlace, path: Path, name: str) -> bool:
    return report.known(path, name, at.line.parts, "a part type of this line", ("lines", at.line_name, "parts"))


def _check_times(report: Report, at: OperationPlace) -> None:
    """Minutes by type and the changeover name types of the line."""
    path = (*at.path, "minutes_by_type")
    for name in at.operation.minutes_by_type:
        _is_type(report, at, (*path, name), name)
    if at.operation.minutes_by_type and at.operation.strokes:
        report.add(path, "the operation is given by strokes; minutes by type belong to one given by minutes")
    if at.operation.changeover is not None:
        _check_changeover(report, at, at.operation.changeover)


def _check_batch(report: Report, at: OperationPlace) -> None:
    """Parts of all types go into one batch, the oldest first."""
    spec = at.operation
    odd: dict[str, object] = {"changeover": spec.changeover, "minutes_by_type": spec.minutes_by_type}
    odd["sequence"] = None if spec.sequence == "oldest first" else spec.sequence
    for entry in [entry for entry, value in odd.items() if value and spec.batch is not None]:
        text = f"a machine that takes several parts at once has no {entry}; it was expected to be left out"
        report.add((*at.path, entry), text, "", [(*at.path, "batch")])


def _check_changeover(report: Report, at: OperationPlace, changeover: Changeover) -> None:
    path = (*at.path, "changeover")
    if changeover.by is not None:
        report.known((*path, "by"), changeover.by, report.works.people, "a pool of people", ("people",))
    for before, row in changeover.from_to.items():
        _is_type(report, at, (*path, "from_to", before), before)
        for after in row:
            here = (*path, "from_to", before, after)
            if _is_type(report, at, here, after) and before == after:
                report.add(here, f"{quoted(after)} needs no changeover to itself; another type was expected")


def _check_sequence(report: Report, at: OperationPlace) -> None:
    """What an operation and the policies say of the order in which parts are taken fits where they wait."""
    spec, path = at.operation, (*at.path, "sequence")
    can_be_in_turn = spec.sequence == "in turn"
    _refuse_sequence(report, at, path, spec.sequence)
    for name, policy in report.works.policies.items():
        if at.name in policy.sequences:
            can_be_in_turn |= policy.sequences[at.name] == "in turn"
            _refuse_sequence(report, at, ("policies", name, "sequences", at.name), policy.sequences[at.name])
    if spec.turn != "all" and not can_be_in_turn:
        report.add((*at.path, "turn"), "a turn belongs to the sequence in turn", "", [path])


def _refuse_sequence(report: Report, at: OperationPlace, path: Path, sequence: Sequence) -> None:
    """Machines can choose only where parts wait, and take types in turn only if changing over takes time."""
    spec = at.operation
    if sequence == "oldest first" or report.is_touched(("lines", at.line_name)):
        return
    if next(iter(at.line.operations)) == at.name:
        if at.line.casting.arrivals is None:
            text = "castings are always to be had here, so that none wait to be chosen from"
            report.add(path, f"{text}; castings that arrive were expected", "Order them by batches instead.")
    elif sequence == "in turn" and spec.buffer == 0:
        report.add(path, "parts taken in turn have to wait before the operation; a buffer of one place was expected")
    if spec.move is not None and spec.move.carriers is None:
        text = "parts come here in the order in which they set out, so that none can be chosen"
        report.add(path, f"{text}; a way with carriers was expected", rests_on=[(*at.path, "move")])
    if sequence == "in turn" and len(names_for(at.line, spec.only)) > 1 and not _takes_time(spec.changeover):
        text = "machines that take types in turn change over even if no part waits, so that it has to take time"
        report.add(path, f"{text}; a changeover with minutes was expected", rests_on=[(*at.path, "changeover")])


def _takes_time(changeover: Changeover | None) -> bool:
    """Whether no changeover is over at once."""
    if changeover is None:
        return False
    times = [changeover.minutes, *(time for row in changeover.from_to.values() for time in row.values())]
    return all(time.fixed != 0.0 for time in times)


def _check_now(report: Report) -> None:
    """What waits down a line as the run begins has come the same way whatever its type is."""
    now = report.works.now
    for name, operations in ({} if now is None else now.lines).items():
        line = report.works.lines.get(name)
        if line is None or len(line.parts) < 2 or not _parts_ways(line):
            continue
        for operation, stands in operations.items():
            if stands.waiting > 0 and operation != next(iter(line.operations)):
                text = "types of this line take different ways, so that what has been done to what waits is not known"
                report.add(("now", "lines", name, operation, "waiting"), f"{text}; it was expected to be left out")


def _parts_ways(line: Line) -> bool:
    """Whether anything of a line is for some of its types only."""
    operations = list(line.operations.values())
    strokes = [stroke for operation in operations for stroke in operation.strokes.values()]
    cuts = [cut for stroke in strokes for cut in stroke.cuts.values()]
    named: tuple[Iterable[object], ...] = (operations, strokes, cuts, line.features.values())
    return any(getattr(each, "only", ()) for several in named for each in several)


def _check_policies(report: Report) -> None:
    """Policies name lines, their types and operations."""
    lines, operations = report.works.lines, {at.name: None for at in operations_of(report.works)}
    for name, policy in report.works.policies.items():
        path: Path = ("policies", name, "batches")
        for line, batches in policy.batches.items():
            if not report.known((*path, line), line, lines, "a line of this works", ("lines",)):
                continue
            types, within = lines[line].parts, ("lines", line, "parts")
            are_known = [
                report.known((*path, line, each), each, types, "a part type of this line", within) for each in batches
            ]
            if all(are_known) and (missing := _missing(list(types), list(batches))):
                text = f"no batch of {missing}; one of each type of the line was expected"
                report.add((*path, line), text, rests_on=[within])
        for operation in policy.sequences:
            report.known(("policies", name, "sequences", operation), operation, operations, "an operation")


def _check_routing(report: Report, at: OperationPlace) -> None:
    """Every type comes in at the first operation, comes back from repairs, and has what it is located on."""
    spec, here = at.operation, names_for(at.line, at.operation.only)
    if next(iter(at.line.operations)) == at.name and len(here) < len(at.line.parts):
        report.add((*at.path, "only"), "castings of all types come in at the first operation; it has to be for all")
    repair = None if spec.test is None else spec.test.repair
    if repair is not None and repair.back_to is not None:
        back = at.line.operations.get(repair.back_to)
        if back is not None and (missing := _missing(here, names_for(at.line, back.only))):
            text = f"{missing} do not come to {quoted(repair.back_to)}; an operation for all that are tested here"
            report.add((*at.path, "test", "repair", "back_to"), f"{text} was expected")
    located = [] if spec.chips is None else [(("chips", "located_on"), spec.chips.located_on)]
    located += [] if spec.locating is None else [(("locating", "on"), spec.locating.on)]
    for entry, feature in located:
        if feature in at.line.features and (missing := _missing(here, feature_types(at.line, feature))):
            text = f"{missing} do not have {quoted(feature)}; a feature of all types that come here was expected"
            report.add((*at.path, *entry), text)


def _check_cuts(report: Report, at: OperationPlace) -> None:
    """What gauges and first pieces tell of is cut for all types that they read; blades on one bar cut together."""
    last: dict[str, tuple[str, ...]] = {}
    for cut in cuts_of(report.works):
        if cut.at.line_name == at.line_name and cut.cut.feature in at.line.features:
            if not _comes_later(at, cut.at.name):
                last[cut.cut.feature] = _types_of(cut)
            if cut.at.name == at.name:
                _check_bar(report, cut)
    for name, gauge in at.operation.gauges.items():
        if gauge.feature in last:
            missing = _missing(gauge_types(at.line, at.operation, gauge), last[gauge.feature])
            if missing:
                text = f"the last cut of {quoted(gauge.feature)} before it is not made for {missing}"
                report.add((*at.path, "gauges", name), f"{text}; the types that it can read were expected (only)")
    _check_first_pieces(report, at, last)


def _check_first_pieces(report: Report, at: OperationPlace, last: dict[str, tuple[str, ...]]) -> None:
    """Whatever part is the first one after a change, it has what is gauged."""
    if at.operation.first_piece is None:
        return
    for feature in cut_features(at.operation) & last.keys():
        missing = _missing(names_for(at.line, at.operation.only), last[feature])
        if missing:
            text = f"{quoted(feature)} is not cut for {missing}, so that such a part cannot tell how the edge is set"
            report.add((*at.path, "first_piece"), f"{text}; cuts for all types that come here were expected")


def _check_bar(report: Report, cut: CutPlace) -> None:
    """A blade that follows another one on a bar cuts whatever that one cuts."""
    of = cut.at.operation.strokes[cut.stroke]
    names = list(of.cuts)
    for name in names[: names.index(cut.name)]:
        ahead, bar = of.cuts[name], cut.cut.bar
        if ahead.feature != cut.cut.feature or bar is None or ahead.bar is None or not bar.is_same(ahead.bar):
            continue
        if _types_of(cut) != cut_types(cut.at.line, cut.at.operation, of, name):
            text = f"{quoted(cut.name)} and {quoted(name)} sit on one bar, but are for different types"
            report.add((*cut.path, "only"), f"{text}; the same types were expected")


def _types_of(cut: CutPlace) -> tuple[str, ...]:
    return cut_types(cut.at.line, cut.at.operation, cut.at.operation.strokes[cut.stroke], cut.name)


def _comes_later(at: OperationPlace, other: str) -> bool:
    """Whether another operation of the line comes after this one."""
    names = list(at.line.operations)
    return names.index(other) > names.index(at.name)


def _missing(wanted: Several[str], there: Several[str]) -> str:
    """Types that are wanted and not there, in words; empty if none is missing."""
    names = [name for name in wanted if name not in there]
    return listed(names) if names else ""
