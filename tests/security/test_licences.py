"""What is installed with Setpiece, and under which licence."""

from __future__ import annotations

import importlib.util
import re
import sys
import tomllib
from pathlib import Path
from types import ModuleType

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parent.parent.parent
PROJECT = ROOT / "pyproject.toml"


@pytest.fixture(scope="module")
def licences() -> ModuleType:
    """The script that writes the page."""
    spec = importlib.util.spec_from_file_location("licences", ROOT / "tools" / "licences.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


def test_every_package_that_is_named_stands_on_the_page(licences: ModuleType) -> None:
    """A new dependency needs an entry in docs/licences.md, and a gone one has none."""
    text = (ROOT / "docs" / "licences.md").read_text("utf-8")
    listed = re.findall(r"^\| \*\*([\w-]+)\*\* \| \S", text, re.MULTILINE)
    assert sorted(listed) == sorted(licences.plain(wanted.name) for wanted in licences.asked_for())


def test_every_package_that_is_named_has_a_licence_that_goes_with_ours(
    licences: ModuleType,
) -> None:
    """What pyproject names states a licence, and each is known to go with the GPL, version 3."""
    named = tuple(p for p in licences.installed() if p.direct)
    assert len(named) == len(licences.asked_for())
    assert licences.unknown(named) == []


def test_a_package_without_a_known_licence_is_told(licences: ModuleType) -> None:
    """No licence, an unknown one, and one unknown among several are all told."""
    strange = tuple(licences.Package("x", s, True) for s in ("", "SSPL-1.0", "MIT AND SSPL-1.0"))
    assert licences.unknown(strange) == list(strange)
    assert licences.unknown((licences.Package("x", "MIT OR Apache-2.0", True),)) == []


def test_every_dependency_has_a_range_and_a_reason() -> None:
    """Each dependency has a lower bound, an upper one unless it is data, and its reason."""
    text = PROJECT.read_text("utf-8")
    for line in tomllib.loads(text)["project"]["dependencies"]:
        wanted = Requirement(line)
        bounds = {spec.operator for spec in wanted.specifier}
        if wanted.name not in ("tzdata", "typing_extensions"):  # by date; only ever adds names
            assert bounds == {">=", "<"}, line
        assert re.search(rf'^    "{re.escape(line)}", +# \w', text, re.MULTILINE), line
