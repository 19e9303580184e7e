"""Two ways to try a changed module on tests, each change in a process of its own.

Afresh: a process that has imported nothing of the program imports the changed text. In place: a
process that holds every test, collected once, puts the changed code into its functions: ten times
as quick, but only for what does not run when the program is imported.
"""

from __future__ import annotations

import functools
import gc
import importlib
import importlib.machinery
import importlib.util
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import hypothesis
import pytest
from _pytest.runner import runtestprotocol

ROOT = Path(__file__).resolve().parent.parent
OPTIONS = [
    "-o", "addopts=", "--import-mode=importlib", "-p", "no:schemathesis", "-p", "no:cacheprovider",
    "-p", "no:xdist", "-q", "--hypothesis-seed=0",
    "-W", "ignore::pytest.PytestAssertRewriteWarning",  # hypothesis is imported before
]  # fmt: skip
SURVIVED, NOTICED, STILLBORN, ASLEEP, UNFIT = 0, 1, 70, 71, 72
"""How a try ends: a stillborn module cannot be imported; asleep, no test ran; unfit, its code does
not fit in place of the old."""
_FUNCTION = 0x3  # CO_OPTIMIZED and CO_NEWLOCALS


def path_of(module: str) -> Path:
    """The file of a module."""
    base = ROOT / "src" / Path(*module.split("."))
    return base / "__init__.py" if base.is_dir() else base.with_suffix(".py")


def hasten() -> None:
    """Lets hypothesis look for one failure and not for the smallest."""
    phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
    hypothesis.settings.register_profile("hasty", deadline=None, database=None, phases=phases)


class _Hasty:
    def pytest_collectstart(self) -> None:
        """Before a file of tests is read: its conftest has had its say."""
        hypothesis.settings.load_profile("hasty")


@dataclass(frozen=True)
class Try:
    """A changed module and the tests to try it on."""

    module: str
    text: str
    tests: list[str]
    limit_s: float


# ----- afresh -----


class _Chosen(_Hasty):
    def __init__(self, tests: list[str]) -> None:
        self.order = {test: at for at, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Chooses and orders."""
        chosen = [i for i in items if i.nodeid in self.order]
        items[:] = sorted(chosen, key=lambda i: self.order[i.nodeid])


class _Changed(importlib.machinery.SourceFileLoader):
    """Loads a module from another text than its file holds."""

    text = ""

    def get_code(self, fullname: str) -> CodeType:
        """The changed text's code, under the file's name."""
        return compile(self.text, self.path, "exec", dont_inherit=True)


class _Finder:
    """Finds one module, changed, before anybody else does."""

    def __init__(self, name: str, text: str) -> None:
        self.name, self.text = name, text

    def find_spec(self, name: str, path: object = None, target: ModuleType | None = None) -> Any:
        """The spec of the changed module; None for every other."""
        if name != self.name:
            return None
        file = str(path_of(name))
        loader = _Changed(name, file)
        loader.text = self.text
        inside = [str(Path(file).parent)] if file.endswith("__init__.py") else None
        return importlib.util.spec_from_file_location(
            name, file, loader=loader, submodule_search_locations=inside
        )


def afresh(one: Try) -> int:
    """How the tests end, in a process that imports the changed text."""
    child = os.fork()
    if child:
        return _ended(child)
    signal.setitimer(signal.ITIMER_REAL, one.limit_s)  # whose default is to end the process
    code = NOTICED
    with suppress(BaseException):
        code = _afresh(one)
    os._exit(code)


def _ended(child: int) -> int:
    _, status = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(status)
    return code if code in (SURVIVED, STILLBORN, ASLEEP, UNFIT) else NOTICED


def _afresh(one: Try) -> int:
    _hush()
    sys.meta_path.insert(0, _Finder(one.module, one.text))  # type: ignore[arg-type]
    try:
        importlib.import_module(one.module)
    except Exception:
        return STILLBORN
    code = pytest.main([*OPTIONS, "-x", *_files(one.tests)], plugins=[_Chosen(one.tests)])
    if code == pytest.ExitCode.NO_TESTS_COLLECTED:
        return ASLEEP
    return SURVIVED if code == pytest.ExitCode.OK else NOTICED


def _hush() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def _files(tests: list[str]) -> list[str]:
    return sorted({str(ROOT / test.partition("::")[0]) for test in tests})


# ----- in place -----

Swap = tuple[CodeType, CodeType]


def swaps(module: str, text: str) -> list[Swap] | None:
    """The functions that a change changes, before and after; None where it changes a table."""
    name = str(path_of(module))
    before = compile(path_of(module).read_text("utf-8"), name, "exec", dont_inherit=True)
    try:
        after = compile(text, name, "exec", dont_inherit=True)
        return list(_swaps(before, after))
    except (SyntaxError, LookupError):
        return None


def _swaps(before: CodeType, after: CodeType) -> Iterator[Swap]:
    if before == after:
        return
    if before.co_flags & _FUNCTION == _FUNCTION:
        yield before, after
        return
    if (before.co_code, before.co_names) != (after.co_code, after.co_names):
        raise LookupError(before.co_name)
    for old, new in zip(before.co_consts, after.co_consts, strict=True):
        if isinstance(old, CodeType) and isinstance(new, CodeType):
            yield from _swaps(old, new)
        elif old != new or type(old) is not type(new):
            raise LookupError(before.co_name)


class _Place(_Hasty):
    """Holds the tests and tries one change after the other."""

    def __init__(self, tries: list[tuple[Try, list[Swap]]]) -> None:
        self.tries = tries
        self.codes: list[int] = []

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """In place of running the tests."""
        items = {item.nodeid: item for item in session.items}
        live = [o for o in gc.get_objects() if isinstance(o, FunctionType)]
        functions: dict[CodeType, list[FunctionType]] = {}
        for function in live:
            if function.__module__ and function.__module__.startswith("setpiece"):
                functions.setdefault(function.__code__, []).append(function)
        caches = [o for o in gc.get_objects() if isinstance(o, functools._lru_cache_wrapper)]
        gc.freeze()
        for one, changed in self.tries:
            chosen = [items[test] for test in one.tests if test in items]
            self.codes.append(self._try(one, changed, chosen, (functions, caches)))
        return True

    def _try(
        self,
        one: Try,
        changed: list[Swap],
        items: list[pytest.Item],
        found: tuple[dict[CodeType, list[FunctionType]], list[Any]],
    ) -> int:
        child = os.fork()
        if child:
            return _ended(child)
        signal.setitimer(signal.ITIMER_REAL, one.limit_s)
        code = UNFIT
        functions, caches = found
        with suppress(ValueError, LookupError):
            for old, new in changed:
                for function in functions[old]:
                    function.__code__ = new
            for cache in caches:
                cache.cache_clear()
            code = NOTICED
        if code == NOTICED:
            with suppress(BaseException):
                code = _passed(items)
        os._exit(code)


def _passed(items: list[pytest.Item]) -> int:
    for at, item in enumerate(items):
        following = items[at + 1] if at + 1 < len(items) else None
        if any(r.failed for r in runtestprotocol(item, nextitem=following, log=False)):
            return NOTICED
    return SURVIVED if items else ASLEEP


def in_place(tries: list[tuple[Try, list[Swap]]]) -> list[int]:
    """How each try ends, by one process that holds all their tests."""
    reader, writer = os.pipe()
    child = os.fork()
    if not child:
        _hush()
        place = _Place(tries)
        files = _files(sorted({test for one, _ in tries for test in one.tests}))
        pytest.main([*OPTIONS, *files], plugins=[place])
        os.write(writer, bytes(place.codes))
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader, "rb") as told:
        codes = told.read()
    os.waitpid(child, 0)
    return list(codes)
