"""Act files and house styles on disk: those shipped, and the photographer's own."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from pathlib import Path

from setpiece.captions.acts import Acts, read_acts
from setpiece.captions.style import HouseStyle, read_style
from setpiece.captions.tables import nearest
from setpiece.errors import BadFile, NotFound, WrongUse

ACT_FILES = ("english", "german")
"""The act files shipped, the typed language first."""

STYLES = ("north", "gazette", "club", "nordblatt")
"""The house styles shipped, all invented."""

OWN_STYLES = "styles"
"""Folder of the workspace that holds the photographer's own styles, as NAME.toml."""

OWN_ACTS = "acts.toml"
"""File of the workspace that adds the photographer's own acts."""


def shipped_text(name: str) -> str:
    """The text of a shipped act file or house style, by its name without ending."""
    return files("setpiece.captions").joinpath("data", f"{name}.toml").read_text("utf-8")


@lru_cache(maxsize=1)
def _acts_shipped() -> Acts:
    return read_acts(*(shipped_text(name) for name in ACT_FILES))


@lru_cache(maxsize=8)
def _acts_with(own: str) -> Acts:
    texts = (*(shipped_text(name) for name in ACT_FILES), own)
    return read_acts(*texts, names=(*ACT_FILES, OWN_ACTS))


@lru_cache(maxsize=32)
def _style(text: str, thing: str) -> HouseStyle:
    return read_style(text, thing)


def read_text(path: Path) -> str:
    """The text of a file. Raises NotFound or BadFile."""
    try:
        return path.read_text("utf-8")
    except FileNotFoundError as error:
        raise NotFound(
            "there is no such file", thing=str(path), next_step="Check the path."
        ) from error
    except (OSError, UnicodeDecodeError) as error:
        raise BadFile(f"the file cannot be read: {error}", thing=str(path)) from error


def load_acts(folder: Path | None = None) -> Acts:
    """The acts shipped, with those of the workspace's own `acts.toml` where there is one."""
    own = folder / OWN_ACTS if folder is not None else None
    if own is None or not own.is_file():
        return _acts_shipped()
    return _acts_with(read_text(own))


def style_names(folder: Path | None = None) -> tuple[str, ...]:
    """The styles there are: the photographer's own, then those shipped."""
    own = sorted(p.stem for p in (folder / OWN_STYLES).glob("*.toml")) if folder else []
    return tuple(dict.fromkeys((*own, *STYLES)))


def load_style(folder: Path | None, name: str) -> HouseStyle:
    """A style by the name of its file, or by the name it gives itself.

    The workspace's own file stands before a shipped one; a broken file harms no other style.
    Raises NotFound naming the nearest, WrongUse for a broken file that may be the one.
    """
    names = style_names(folder)
    if name in names:
        return _style_of(folder, name)
    broken: WrongUse | None = None
    for known in names:
        try:
            style = _style_of(folder, known)
        except WrongUse as error:
            broken = broken or error
            continue
        if style.name == name:
            return style
    if broken is not None:
        raise broken
    near = nearest(name, names)
    raise NotFound(
        "there is no such house style",
        thing=name,
        next_step=f"Did you mean {' or '.join(near)}?"
        if near
        else f"There are {', '.join(names)}.",
    )


def _style_of(folder: Path | None, name: str) -> HouseStyle:
    """The style in the file of that name."""
    own = folder / OWN_STYLES / f"{name}.toml" if folder is not None else None
    text = read_text(own) if own is not None and own.is_file() else shipped_text(name)
    return _style(text, f"{name}.toml")


def own_acts(text: str) -> tuple[str, ...]:
    """The acts that such a file of the photographer adds. Raises WrongUse for what is wrong."""
    known = _acts_shipped().acts
    return tuple(
        sorted(name for name, act in _acts_with(text).acts.items() if known.get(name) != act)
    )
