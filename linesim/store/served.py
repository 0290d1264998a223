"""A store on a PostgreSQL server."""

from __future__ import annotations

from sqlalchemy import Engine, create_engine, make_url
from sqlalchemy.exc import ArgumentError

from linesim.errors import StoreError

__all__ = ["LOCK", "served"]

LOCK = 0x6C6E736D
"""Key of the lock under which PostgreSQL lets one process at a time bring the schema up to date."""

_CONNECTING = {
    "connect_timeout": 10,
    "keepalives_idle": 10, "keepalives_interval": 5, "keepalives_count": 3, "tcp_user_timeout": 30_000,
}  # fmt: skip
"""A server whose cable is pulled is given up within half a minute; libpq's words and units."""


def served(address: str, shown: str) -> Engine:
    """Engine for a database server.

    Parameters
    ----------
    address : str
        URL.
    shown : str
        What it is called in errors; without a password.

    Raises
    ------
    StoreError
        It is no URL of PostgreSQL, or the package for it is missing.
    """
    try:
        url = make_url(address)
    except (ArgumentError, ValueError):
        url = None
    if url is None or url.get_backend_name() != "postgresql":
        expected = "a file, or a URL such as postgresql://user@host/name, was expected"
        raise StoreError(f"{shown}: only SQLite files and PostgreSQL databases can be a store; {expected}")
    try:
        import psycopg  # noqa: F401, PLC0415 - an extra of its own
    except ImportError as error:
        missing = "PostgreSQL needs the package psycopg; install linesim with the extra postgres"
        raise StoreError(f"{shown}: {missing}: pip install 'linesim[postgres]'") from error
    if "@" in (url.host or ""):
        raise StoreError(f"{shown}: there are two @ in this URL; write one that belongs to the password as %40")
    url = url.set(drivername="postgresql+psycopg")
    return create_engine(url, pool_pre_ping=True, connect_args=_CONNECTING)
