"""Names and texts of a scenario where markup is read: they are shown as they stand, whatever they hold."""

from __future__ import annotations

import html
import re

__all__ = ["in_markdown", "in_picture", "short"]

_SIGNS = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|~$:&^=@])")
_BREAKS = re.compile(r"\s+")


def short(text: str, most: int = 28) -> str:
    """A text cut to so many signs, on one line.

    >>> short("Op 10"), short("a very long name of an operation", 12)
    ('Op 10', 'a very long…')
    """
    line = _BREAKS.sub(" ", "".join(sign if sign.isprintable() else " " for sign in text)).strip()
    return line if len(line) <= most else f"{line[: most - 1].rstrip()}…"


def in_markdown(text: str, most: int = 200) -> str:
    r"""A text in which Markdown finds nothing to obey.

    >>> in_markdown("**<b>x</b>** :red[y] $z$")
    '\\*\\*\\<b\\>x\\</b\\>\\*\\* \\:red\\[y\\] \\$z\\$'
    """
    return _SIGNS.sub(r"\\\1", short(text, most))


def in_picture(text: str, most: int = 28) -> str:
    """A text for a label in a picture, in which neither HTML nor TeX is read.

    >>> in_picture("<b>$x$")
    '&lt;b&gt;&#36;x&#36;'
    """
    return html.escape(short(text, most)).replace("$", "&#36;")
