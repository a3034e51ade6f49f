"""Reading settings from the environment, telling every bad value at once and in words."""

from __future__ import annotations

import re
import zoneinfo
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeVar
from urllib.parse import urlsplit

from django.core.exceptions import ImproperlyConfigured

from stockist.variables import VARIABLES

Value = TypeVar("Value")

_HOST = re.compile(r"^(\*|\.?[A-Za-z0-9_]([A-Za-z0-9_.-]*[A-Za-z0-9])?|\[[0-9A-Fa-f:]+\])$")
_YES = {"1", "true", "yes", "on"}
_NO = {"0", "false", "no", "off"}


class BadSettings(ImproperlyConfigured):
    """One or more environment variables hold something that cannot be used."""

    def __init__(self, problems: list[str]) -> None:
        self.problems = problems
        lines = "\n".join(f"  - {problem}" for problem in problems)
        super().__init__(f"The settings in the environment cannot be used:\n{lines}")


class Environment:
    """Reads variables one by one; keeps what is wrong until `finish()` tells all of it.

    A variable that is set but empty counts as not set, as in a compose file with `NAME=`.
    """

    def __init__(self, variables: Mapping[str, str], *, production: bool = False) -> None:
        self._variables = variables
        self.production = production
        self.problems: list[str] = []

    def read(self, name: str, convert: Callable[[str], Value], default: Value) -> Value:
        """The value of `name` through `convert`, which raises ValueError for what it refuses."""
        variable = VARIABLES[name]
        text = self._variables.get(name, "").strip()
        ask = f"wanted is {variable.wanted}, for example {name}={variable.example}"
        if not text:
            if variable.required and self.production:
                self.problems.append(f"{name} is not set, and production needs it: {ask}.")
            return default
        try:
            return convert(text)
        except ValueError as reason:
            held = f"{name} is set" if variable.secret else f"{name} holds {text!r}"
            self.problems.append(f"{held}, but {reason}: {ask}.")
            return default

    def finish(self) -> None:
        """Raises `BadSettings` with every problem found, or returns if there was none."""
        if self.problems:
            raise BadSettings(self.problems)


def flag(text: str) -> bool:
    """True for 1, true, yes, on; False for 0, false, no, off."""
    if text.lower() in _YES:
        return True
    if text.lower() in _NO:
        return False
    raise ValueError("that is neither yes nor no")


def number(lowest: int, highest: int) -> Callable[[str], int]:
    """A whole number between the two, both included."""

    def convert(text: str) -> int:
        try:
            value = int(text)
        except ValueError:
            raise ValueError("that is not a whole number") from None
        if not lowest <= value <= highest:
            raise ValueError(f"that is not between {lowest} and {highest}")
        return value

    return convert


def one_of(*choices: str) -> Callable[[str], str]:
    """One of the words, in any case; as written in `choices`."""

    def convert(text: str) -> str:
        for choice in choices:
            if text.lower() == choice.lower():
                return choice
        raise ValueError(f"it can only be one of {', '.join(choices)}")

    return convert


def words(text: str) -> str:
    """A line of text of at most 80 characters, without control characters."""
    if len(text) > 80:
        raise ValueError("that is longer than 80 characters")
    if not text.isprintable():
        raise ValueError("there is a control character in it")
    return text


def time_zone(text: str) -> str:
    """The name of a time zone that this machine knows."""
    try:
        zoneinfo.ZoneInfo(text)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        raise ValueError("no time zone has that name") from None
    return text


def hosts(text: str) -> list[str]:
    """Host names, separated by commas."""
    names = _parts(text)
    for name in names:
        if not _HOST.match(name):
            raise ValueError(f"{name!r} is not a host name (no scheme, no port, no path)")
    return names


def hosts_by_name(text: str) -> list[str]:
    """Host names that are spelled out: production takes no wildcard."""
    names = hosts(text)
    if "*" in names:
        raise ValueError("* would answer to any name at all")
    return names


def origins(text: str) -> list[str]:
    """Addresses with their scheme and nothing after the host and port, separated by commas."""
    names = _parts(text)
    for name in names:
        parts = urlsplit(name)
        if parts.scheme not in {"http", "https"} or not parts.netloc or parts.path.strip("/"):
            raise ValueError(f"{name!r} is not a scheme and a host")
    return [name.rstrip("/") for name in names]


def secret_key(text: str) -> str:
    """A signing key that is long and varied enough."""
    if len(text) < 50:
        raise ValueError("it is shorter than 50 characters")
    if len(set(text)) < 10:
        raise ValueError("it has fewer than 10 different characters")
    if text.startswith("django-insecure-"):
        raise ValueError("it says of itself that it is insecure")
    return text


def redis_address(text: str) -> str:
    """The address of a Redis-compatible server."""
    parts = urlsplit(text)
    if parts.scheme not in {"redis", "rediss", "unix"}:
        raise ValueError("it does not start with redis://, rediss:// or unix://")
    if parts.scheme != "unix" and not parts.hostname:
        raise ValueError("it names no host")
    _port(text)
    return text


def folder(text: str) -> Path:
    """A folder by its full path; made when first needed."""
    path = Path(text).expanduser()
    if not path.is_absolute():
        raise ValueError("that is not a full path")
    if path.exists() and not path.is_dir():
        raise ValueError("there is a file of that name")
    return path


def _port(text: str) -> int | None:
    try:
        return urlsplit(text).port
    except ValueError:
        raise ValueError("its port is not a number up to 65535") from None


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]
