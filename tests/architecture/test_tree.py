"""What lies at the top, and that what is installed is what was tried."""

from __future__ import annotations

import re
import subprocess
import tomllib

import pytest

from tests.support.source import ROOT

TOP = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml", "uv.lock", "manage.py", "compose.yaml"),
    *("stockist", "inventory", "fitments", "tests", "fixtures"),
}
# Names that are written differently in the two files mean the same (PEP 503).
_PIN = re.compile(r"^([A-Za-z0-9._-]+)==([^\s;]+)")


def same(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def kept_files() -> list[str]:
    """What git keeps, or would keep once it is added."""
    try:
        command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
        answer = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    except (OSError, subprocess.CalledProcessError) as error:
        pytest.skip(f"this is not a git checkout ({error})")
    return answer.stdout.splitlines()


def test_nothing_else_lies_at_the_top():
    tops = {name.split("/")[0] for name in kept_files()}
    assert {name for name in tops if not name.startswith(".")} <= TOP


def test_nothing_that_is_made_is_kept():
    made = re.compile(r"(^|/)(__pycache__|\.local|build|[^/]+\.egg-info|\.python-version)(/|$)")
    assert [name for name in kept_files() if made.search(name)] == []


def test_what_is_installed_is_what_is_locked():
    packages = tomllib.loads((ROOT / "uv.lock").read_text())["package"]
    locked: dict[str, set[str]] = {}
    for package in packages:
        locked.setdefault(same(package["name"]), set()).add(package.get("version", ""))
    lines = (ROOT / ".locked.txt").read_text().splitlines()
    pins = [match.groups() for line in lines if (match := _PIN.match(line))]
    assert [(name, version) for name, version in pins if version not in locked[same(name)]] == []
    assert {same(name) for name, _ in pins} == set(locked) - {"tyre-stockist"}


def test_what_is_asked_for_is_locked():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    asked = project["dependencies"] + [
        each for extra in project["optional-dependencies"].values() for each in extra
    ]
    names = {same(re.match(r"[A-Za-z0-9._-]+", each)[0]) for each in asked}
    locked = {same(p["name"]) for p in tomllib.loads((ROOT / "uv.lock").read_text())["package"]}
    assert names <= locked
