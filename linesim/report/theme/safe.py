"""Names and texts of a scenario where markup is read: they are shown as they stand, whatever they hold."""

from __future__ import annotations

import html
import re
from collections import Counter
from collections.abc import Sequence

__all__ = ["in_markdown", "in_picture", "key_in_picture", "short", "short_labels"]

_SIGNS = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|~$:&^=@])")
_BREAKS = re.compile(r"\s+")
_ADDRESSES = re.compile(r"(https?:)(?=//)|(www)(?=\.)|(@)(?=\w)", re.IGNORECASE)
_JOINER = "\N{WORD JOINER}"
"""Takes no room and allows no break; what has it inside is no address to a search for addresses in plain text."""


def short(text: str, most: int = 28) -> str:
    """A text cut to so many signs, on one line.

    >>> short("Op 10"), short("a very long name of an operation", 12)
    ('Op 10', 'a very long…')
    """
    line = _one_line(text)
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


def short_labels(names: Sequence[str], most: int = 28) -> list[str]:
    """Short labels for the names on one picture, in their order, of which no two are alike.

    Parameters
    ----------
    names : sequence of str
        What is to be labelled; the same name may stand for several things.
    most : int
        Signs of a label, 8 or more; only a number that tells like ones apart may make it longer.

    Returns
    -------
    list of str
        Cut at the end; names with a like beginning in the middle; and names that are then still alike, numbered.

    >>> short_labels(["Op 10", "rough bore left", "rough bore right"], 10)
    ['Op 10', 'rou…e left', 'rou… right']
    >>> short_labels(["Op 10", "Op 10"])
    ['1 Op 10', '2 Op 10']
    """
    at_end = [short(name, most) for name in names]
    times = Counter(at_end)
    labels = [
        label if times[label] == 1 else _cut_in_the_middle(_one_line(name), most)
        for name, label in zip(names, at_end, strict=True)
    ]
    if len(set(labels)) < len(labels):
        return [f"{at} {label}" for at, label in enumerate(labels, start=1)]
    return labels


def in_markdown(text: str, most: int = 200) -> str:
    r"""A text in which Markdown finds nothing to obey, and no address to make a link of.

    >>> in_markdown("**<b>x</b>** :red[y] $z$")
    '\\*\\*\\<b\\>x\\</b\\>\\*\\* \\:red\\[y\\] \\$z\\$'
    """
    # Addresses are looked for after the escapes have been taken out, so that these alone do not help.
    unlinked = _ADDRESSES.sub(lambda answer: f"{answer[0]}{_JOINER}", short(text, most))
    return _SIGNS.sub(r"\\\1", unlinked)


def in_picture(text: str, most: int = 28) -> str:
    """A text for a picture, in which no markup is read; quotation marks stay, for which Plotly has no name.

    >>> in_picture('<b>$x$ 2"')
    '&lt;b&gt;&#36;x&#36; 2"'
    """
    return html.escape(short(text, most), quote=False).replace("$", "&#36;")


def key_in_picture(name: str) -> str:
    """What a picture carries so that a click on it names something: whole, and no markup.

    >>> key_in_picture("<b>")
    '&lt;b&gt;'
    """
    return html.escape(name, quote=False)


def _one_line(text: str) -> str:
    return _BREAKS.sub(" ", "".join(sign if sign.isprintable() else " " for sign in text)).strip()


def _cut_in_the_middle(line: str, most: int) -> str:
    """The beginning and the longer end of a text, as like names mostly differ at the end."""
    if len(line) <= most:
        return line
    end = 2 * most // 3
    return f"{line[: most - 1 - end]}…{line[-end:]}"
