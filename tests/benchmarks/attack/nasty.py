"""Texts made to hold a reader up: each close to what a file may be, and far from what anybody would write."""

from __future__ import annotations

from collections.abc import Callable, Iterator

__all__ = ["NASTY"]

_HEAD = "name: x\npolicies: {p: {default: run out}}\n"
_ONE_LINE = "lines: {l: {operations: {Op 10: {minutes: 1}}}}\n"


def _routing(operations: Iterator[str]) -> str:
    """A scenario whose one line has these operations."""
    return _HEAD + "lines:\n  l:\n    operations:\n" + "".join(f"      {each}\n" for each in operations)


def _misspelt_after() -> str:
    """Eight hundred operations, each placed behind one that is not there."""
    return _routing(f"operation number {at}: {{minutes: 1, after: operation nubmer {at - 1}}}" for at in range(800))


def _chain_of_after() -> str:
    """More than nine thousand operations, each behind the one before it in the file, from the last to the first."""
    return _routing(f"o{at}: {{minutes: 1, after: {f'o{at + 1}' if at < 9_499 else 'start'}}}" for at in range(9_500))


def _chain_of_missing() -> str:
    """More than nine thousand operations behind a name that none of them has."""
    return _routing(f"o{at}: {{minutes: 1, after: q{at}}}" for at in range(9_500))


def _circle_of_after() -> str:
    """More than nine thousand operations in a circle."""
    return _routing(f"o{at}: {{minutes: 1, after: o{(at + 1) % 9_500}}}" for at in range(9_500))


def _unknown_cutters() -> str:
    """Two hundred policies with sixty exceptions for cutters that nobody has."""
    cutters = "".join(f"  cutter number {at}: {{life: 9, renewal: {{bought: {{}}}}}}\n" for at in range(200))
    rules = ", ".join(f"kutter numbr {at}: {{parts: 9}}" for at in range(30))
    policies = "".join(f"  p{at}: {{default: run out, exceptions: {{{rules}}}}}\n" for at in range(200))
    return f"name: x\n{_ONE_LINE}cutters:\n{cutters}policies:\n{policies}"[:2_000_000]


def _unlike_cutters() -> str:
    """Exceptions of which no two are alike, for long names that nobody has."""
    cutters = "".join(f"  {'abcdefgh' * 20} {at}: {{life: 9, renewal: {{bought: {{}}}}}}\n" for at in range(390))
    policies = ""
    for number in range(80):
        rules = ", ".join(f"{'hgfedcba' * 12} {number} {at}: {{parts: 9}}" for at in range(170))
        policies += f"  p{number}: {{default: run out, exceptions: {{{rules}}}}}\n"
    return f"name: x\n{_ONE_LINE}cutters:\n{cutters}policies:\n{policies}"[:1_957_000]


def _directives() -> str:
    """Sixty thousand directives of YAML before the first entry."""
    return "".join(f"%TAG !a{at}! tag:x,{at}:\n" for at in range(60_000)) + "---\nname: x\n"


def _same_directives() -> str:
    """One directive that is unknown, as often as it fits."""
    return "%WHAT is this\n" * 140_000 + "---\nname: x\n"


def _laughing_aliases() -> str:
    """Aliases of aliases of aliases."""
    rows = ["a0: &a0 [1,1,1,1,1,1,1,1,1,1]"]
    rows += [f"a{at}: &a{at} [{','.join([f'*a{at - 1}'] * 10)}]" for at in range(1, 30)]
    return "\n".join(rows)


def _many_aliases() -> str:
    """One anchor, and as many aliases as the limit of values allows."""
    return "name: x\nabout: &a 1\nx: [" + "*a, " * 57_000 + "1]\n"


def _many_anchors() -> str:
    """As many anchors as the limit of values allows."""
    return "name: x\nx: [" + ", ".join(f"&a{at} {at}" for at in range(57_000)) + "]\n"


def _deep_flow() -> str:
    """Nested a million deep."""
    return "name: " + "[" * 1_000_000


def _deep_block() -> str:
    """Nested as deep as blanks fit into the file."""
    return "".join(" " * at + f"k{at}:\n" for at in range(1_900))


def _deep_maps() -> str:
    """Mappings in mappings on one line."""
    return "x: " + "{a: " * 400_000


def _huge_key() -> str:
    """One name of two million signs."""
    return "k" * 1_900_000 + ": 1\n"


def _huge_keys() -> str:
    """A thousand operations with names of nearly two thousand signs."""
    return _routing(f"{'k' * 1_900}{at}: {{minutes: x}}" for at in range(1_000))


def _huge_names_after() -> str:
    """Operations with long names, placed behind misspelt long names."""
    return _routing(f"{'k' * 900}{at}: {{minutes: 1, after: {'q' * 900}{at}}}" for at in range(390))


def _huge_text() -> str:
    """One value of two million signs."""
    return _HEAD + _ONE_LINE + "about: " + "word " * 357_000 + "\n"


def _huge_figure() -> str:
    """A figure of a million digits where a length is expected."""
    return _HEAD + _ONE_LINE + "cutters: {c: {renewal: {bought: {}}, diameter: " + "9" * 1_900_000 + "}}\n"


def _figures_with_units() -> str:
    """A figure of many digits and blanks with a unit."""
    return _HEAD + _ONE_LINE + 'cutters: {c: {renewal: {bought: {}}, diameter: "' + "1 " * 900_000 + ' mm"}}\n'


def _many_units() -> str:
    """As many quantities as fit, no two with the same text."""
    listed = ", ".join(f'"{at}.5 min"' for at in range(57_000))
    return _HEAD + f"lines: {{l: {{operations: {{Op 10: {{minutes: {{listed: [{listed}]}}}}}}}}}}\n"


def _many_wrong_units() -> str:
    """As many quantities as fit, each in a unit that is not known."""
    listed = ", ".join(f"{at} mni{at}" for at in range(57_000))
    return _HEAD + f"lines: {{l: {{operations: {{Op 10: {{minutes: {{listed: [{listed}]}}}}}}}}}}\n"


def _letters(number: int) -> str:
    """A word that stands for a number, so that no two are alike."""
    return "q" + "".join(chr(ord("a") + int(digit)) for digit in f"{number}")


def _many_unknown_units() -> str:
    """As many quantities as fit, each in an unknown unit of its own."""
    listed = ", ".join(f"{at} {_letters(at)}*mm" for at in range(57_000))
    return _HEAD + f"lines: {{l: {{operations: {{Op 10: {{minutes: {{listed: [{listed}]}}}}}}}}}}\n"


def _peeled() -> str:
    """Much that is right, and a fault that shows another one under it each time it is taken out."""
    listed = ", ".join(f'"{at}.5 min"' for at in range(57_000))
    deep = "{weibull: {shape: 1, mean: 2, scale: 3}, uniform: {low: 3, high: 1}, triangular: {low: x, mode: 1}}"
    cutter = f"{{renewal: {{reground: {{minutes: {deep}, stock: 1}}, bought: {{}}}}, change: {deep}, lief: 3}}"
    line = f"{{operations: {{Op 10: {{minutes: {{listed: [{listed}]}}, load: {deep}, gauges: {{g: {{fature: f}}}}}}}}}}"
    return _HEAD + f"cutters: {{c: {cutter}, d: {{}}}}\nlines: {{l: {line}}}\n"


def _many_compound_units() -> str:
    """Quantities whose units are long products."""
    unit = "*".join(["mm", "kg", "min", "N"] * 20)
    listed = ", ".join(f'"{at} {unit}"' for at in range(5_000))
    return _HEAD + f"lines: {{l: {{operations: {{Op 10: {{minutes: {{listed: [{listed}]}}}}}}}}}}\n"


def _many_durations() -> str:
    """As many operations as there may be, each with many times that cannot be."""
    times = ", ".join(
        f"{name}: {{weibull: {{shape: -1, mean: x}}}}" for name in ("load", "unload", "access", "minutes")
    )
    return _routing(f"o{at}: {{{times}}}" for at in range(390))


def _too_many_operations() -> str:
    """Seven thousand operations, each with three entries that nobody knows."""
    return _routing(f"o{at}: {{minuets: 1, lod: 2, unlod: 3}}" for at in range(7_100))


def _many_unknown_entries() -> str:
    """Nearly thirty thousand entries at the top that nobody knows."""
    return _HEAD + _ONE_LINE + "".join(f"polizies{at}: 1\n" for at in range(28_500))


def _many_twice() -> str:
    """One entry given nearly thirty thousand times."""
    return _HEAD + _ONE_LINE + "about: x\n" * 28_500


def _many_strokes() -> str:
    """The most operations with the most strokes that fit, all cuts of features that are not there."""
    cut = "{feature: top fase, cutter: milll, process: milling, depth: 1, speed: 100, feed: 0.1, length: 10, width: 5}"
    strokes = ", ".join(f"s{at}: {{cuts: {{c: {cut}}}}}" for at in range(6))
    return _routing(f"o{at}: {{strokes: {{{strokes}}}}}" for at in range(390))[:1_957_000]


def _many_corrections() -> str:
    """Gauges that correct cuts of one another's operations."""
    cut = "{feature: f, cutter: c, process: boring, depth: 1, speed: 100, feed: 0.1, length: 10}"
    gauges = ", ".join(f"g{at}: {{feature: f, corrects: {{cut: x{at}, operation: o399}}}}" for at in range(12))
    operations = "".join(
        f"      o{at}: {{strokes: {{s: {{cuts: {{x: {cut}}}}}}}, gauges: {{{gauges}}}}}\n" for at in range(400)
    )
    return (
        _HEAD
        + "cutters: {c: {grade: coat, renewal: {bought: {}}}}\n"
        + "lines:\n  l:\n    features: {f: {kind: bore, size: [87.99, 88.01]}}\n    operations:\n"
        + operations
    )[:1_957_000]


def _many_policies_that_cannot_act() -> str:
    """Two hundred policies whose rules ask a gauge that is not there, of a routing with many sets."""
    cutters = "".join(f"  c{at}: {{life: 9, sets: 9, renewal: {{bought: {{}}}}}}\n" for at in range(400))
    operations = "".join(
        f"      o{at}: {{minutes: 1, sets: [{', '.join(f'c{(at + each) % 400}' for each in range(32))}]}}\n"
        for at in range(400)
    )
    rules = ", ".join(f"c{at}: {{gauge: {{size: 5}}}}" for at in range(30))
    policies = "".join(f"  p{at}: {{default: run out, exceptions: {{{rules}}}}}\n" for at in range(200))
    return f"name: x\ncutters:\n{cutters}lines:\n  l:\n    operations:\n{operations}policies:\n{policies}"[:1_957_000]


def _defaults_that_cannot_act() -> str:
    """Two hundred policies whose defaults ask a gauge that is not there, each with an exception at an operation."""
    cutters = "".join(f"  c{at}: {{life: 9, sets: 32, renewal: {{bought: {{}}}}}}\n" for at in range(400))
    operations = "".join(
        f"      o{at}: {{minutes: 1, sets: [{', '.join(f'c{(at + each) % 400}' for each in range(32))}]}}\n"
        for at in range(400)
    )
    policies = "".join(
        f"  p{at}: {{default: {{gauge: {{size: 5}}}}, exceptions: {{o{at} / c{at}: run out}}}}\n" for at in range(200)
    )
    return f"name: x\ncutters:\n{cutters}lines:\n  l:\n    operations:\n{operations}policies:\n{policies}"


def _policies_that_work() -> str:
    """As many exceptions as there may be, all of them right."""
    cutters = "".join(f"  c{at}: {{life: 9, sets: 999, renewal: {{bought: {{}}}}}}\n" for at in range(400))
    operations = "".join(
        f"      o{at}: {{minutes: 1, sets: [{', '.join(f'c{(at + each) % 400}' for each in range(32))}]}}\n"
        for at in range(400)
    )
    rules = ", ".join(f"c{at}: {{life: 5}}" for at in range(40))
    policies = "".join(f"  p{at}: {{default: run out, exceptions: {{{rules}}}}}\n" for at in range(200))
    return f"name: x\ncutters:\n{cutters}lines:\n  l:\n    operations:\n{operations}policies:\n{policies}"


def _handbook_of_own() -> str:
    """Thousands of materials of one's own, none with what it needs."""
    return (
        _HEAD
        + _ONE_LINE
        + "handbook:\n  materials:\n"
        + "".join(f"    m{at}: {{based_on: m{at + 1}, kc11: x, mc: 2}}\n" for at in range(7_000))
    )


def _handbook_chain() -> str:
    """Grades that each rest on the next, in a long chain."""
    return (
        _HEAD
        + _ONE_LINE
        + "handbook:\n  grades:\n"
        + "".join(f"    g{at}: {{based_on: {f'g{at + 1}' if at < 13_999 else 'coat'}}}\n" for at in range(14_000))
    )


def _own_options() -> str:
    """Options of a rule of one's own, nested and many."""
    inner = "{" + ", ".join(f"k{at}: [1, [2, [3, [4]]]]" for at in range(4_500)) + "}"
    return f"name: x\n{_ONE_LINE}policies: {{p: {{default: {{own: {{name: x, options: {inner}}}}}}}}}\n"


def _empty_items() -> str:
    """A list of as many empty groups as fit."""
    return _HEAD + "lines: {l: {operations: {o: {minutes: 1, sets: [" + "{}, " * 57_000 + "]}}}}\n"


def _lines_of_comment() -> str:
    """Nothing but comments."""
    return "# x\n" * 457_000


def _blank_lines() -> str:
    """Nothing but line ends within a quoted text."""
    return 'name: "' + "\n" * 1_900_000 + '"\n'


def _escapes() -> str:
    """A quoted text of nothing but escapes."""
    return 'name: "' + "\\x41" * 457_000 + '"\n'


def _question_marks() -> str:
    """Names of entries that are groups."""
    return "? " * 300_000


def _dashes() -> str:
    """Lists in lists on one line."""
    return "- " * 900_000


def _tabs() -> str:
    """Tabs where blanks belong."""
    return "name: x\n" + "\t\n" * 600_000 + "x: 1\n"


def _many_features() -> str:
    """Features and disturbances that are not there."""
    disturbs = ", ".join(f"feature {at}: 1" for at in range(65))
    return _routing(f"o{at}: {{minutes: 1, disturbs: {{{disturbs}}}}}" for at in range(390))


def _engine_of_many() -> str:
    """An engine whose surfaces are nowhere."""
    return _HEAD + _ONE_LINE + "engine: {stroke: 100, bores: {line: " + "q" * 900_000 + ", feature: x}}\n"


NASTY: dict[str, Callable[[], str]] = {
    name.removeprefix("_").replace("_", " "): made
    for name, made in list(globals().items())
    if name.startswith("_") and not name.startswith("__") and name not in ("_HEAD", "_ONE_LINE", "_routing", "_letters")
}
"""By name, each with what makes its text."""
