"""Writes the licence of everything that is installed with Setpiece to docs/licences.md.

Each package says its licence itself (`License-Expression`, else a classifier, else `License`).
What a package says is brought to one of the words of KNOWN; what is not there is a failure: read
the licence, then add a word with the reason why it goes with the GPL, version 3.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "licences.md"

FREE = "asks only that its notice is kept"
KNOWN = {
    "MIT": FREE,
    "MIT-0": "asks nothing",
    "MIT-CMU": FREE,
    "ISC": FREE,
    "BSD-2-Clause": FREE,
    "BSD-3-Clause": FREE,
    "0BSD": "asks nothing",
    "Zlib": FREE,
    "CC0-1.0": "asks nothing",
    "PSF-2.0": "the Free Software Foundation lists it as compatible (from memory)",
    "Apache-2.0": "goes with version 3 of the GPL, not with version 2",
    "MPL-2.0": "its section 3.3 lets it go into a work under the GPL",
    "LGPL-2.1": "its section 3 lets it be taken under the GPL, version 2 or later",
    "LGPL-3.0-only": "version 3 of the GPL with more allowed; so the whole is under version 3",
    "LGPL-3.0-or-later": "version 3 of the GPL with more allowed",
    "GPL-3.0-or-later": "the same; it is why Setpiece is",
}
"""Licences by their SPDX name, and why each goes with GPL-3.0-or-later."""

SPELLED = {
    "Apache 2.0": "Apache-2.0",
    "Apache Software License": "Apache-2.0",
    "Apache License 2.0": "Apache-2.0",
    "BSD License": "BSD-3-Clause",
    "BSD": "BSD-3-Clause",
    "ISC License": "ISC",
    "ISC License (ISCL)": "ISC",
    "MIT License": "MIT",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Python Software Foundation License": "PSF-2.0",
    "PSFL": "PSF-2.0",
    "BSD-3-Clause, Apache-2.0, dependency licenses": "BSD-3-Clause AND Apache-2.0",
}
"""How packages also write them."""

READ = {"pyftpdlib": "MIT"}
"""Packages that say nothing but in the licence file, which was read."""


@dataclass(frozen=True)
class Package:
    """One installed package, its licence in SPDX words, and whether Setpiece names it itself."""

    name: str
    licence: str
    direct: bool


def plain(name: str) -> str:
    """A package's name as it is compared."""
    return re.sub(r"[-_.]+", "-", name).lower()


def asked_for() -> tuple[Requirement, ...]:
    """The packages that pyproject names for running Setpiece."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    return tuple(Requirement(line) for line in project["dependencies"])


def installed() -> tuple[Package, ...]:
    """Those packages and all that they need here, by name."""
    found: dict[str, Distribution] = {}
    for wanted in asked_for():
        _follow(wanted, found)
    direct = {plain(wanted.name) for wanted in asked_for()}
    return tuple(Package(n, licence_of(n, d), n in direct) for n, d in sorted(found.items()))


def _follow(wanted: Requirement, found: dict[str, Distribution]) -> None:
    name = plain(wanted.name)
    if name in found:
        return
    try:
        found[name] = distribution(name)
    except PackageNotFoundError:  # for another system
        return
    extras = wanted.extras or {""}
    for line in found[name].requires or ():
        need = Requirement(line)
        if need.marker is None or any(need.marker.evaluate({"extra": e}) for e in extras):
            _follow(need, found)


def licence_of(name: str, package: Distribution) -> str:
    """What a package says its licence is, in SPDX words; empty when it says nothing."""
    said = package.metadata
    classes = [c for c in said.get_all("Classifier") or () if c.startswith("License ::")]
    text = said.get("License-Expression") or said.get("License") or ""
    if "\n" in text or not text:
        text = classes[-1].rpartition(" :: ")[2] if classes else READ.get(name, "")
    return SPELLED.get(text, text)


def unknown(packages: Iterable[Package]) -> list[Package]:
    """Packages with a licence that nobody has read yet."""
    return [
        p
        for p in packages
        if not p.licence or not all(w in KNOWN for w in re.split(r" AND | OR ", p.licence))
    ]


def page() -> str:
    """The page."""
    packages = installed()
    used = {word for p in packages for word in re.split(r" AND | OR ", p.licence)}
    lines = [
        "# Licences",
        "",
        "Setpiece is under the GNU General Public License, version 3 or later: exiv2, which reads",
        "and writes the metadata of pictures, is. Written by `.venv/bin/python tools/licences.py`",
        "from what the installed packages say of themselves; a test fails when a new one is not",
        "here. Bold: named in pyproject.toml, with its reason; the others come with those. Parts",
        "for other systems are left out, and so are tools that only developers use.",
        "",
        "| package | licence |",
        "| --- | --- |",
        *(f"| {f'**{p.name}**' if p.direct else p.name} | {p.licence} |" for p in packages),
        "",
        "## Why each goes with the GPL, version 3",
        "",
        "| licence | why |",
        "| --- | --- |",
        *(f"| {word} | {why} |" for word, why in KNOWN.items() if word in used),
        "",
        "Not in a package's metadata: the binary wheels of opencv, pillow, pillow-heif, pypdfium2",
        "and pyvips bring libraries of their own (FFmpeg, libheif, libde265, libvips and others,",
        "under LGPL, BSD and the like); their licence files lie beside them when installed. The",
        "list of licences is ours to keep; it is no legal advice.",
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    for package in unknown(installed()):
        print(f"read the licence of {package.name}: {package.licence or 'it states none'}")
    PAGE.write_text(page(), encoding="utf-8")
