"""What is set once for a workspace, in `setpiece.toml` beside the database."""

from __future__ import annotations

import json
import tomllib
from dataclasses import dataclass

from setpiece.errors import WrongUse
from setpiece.store.copying import write_proved
from setpiece.store.workspace import Workspace

FILE = "setpiece.toml"


@dataclass(frozen=True, slots=True)
class Settings:
    """The photographer's name as printed, and the house style captions are first written in."""

    photographer: str = ""
    style: str = "north"


def read_settings(space: Workspace) -> Settings:
    """The workspace's settings; what is not set has its default. Raises WrongUse."""
    path = space.folder / FILE
    if not path.exists():
        return Settings()
    try:
        values = tomllib.loads(path.read_text("utf-8"))
        return Settings(**{k: str(v) for k, v in values.items()})
    except (tomllib.TOMLDecodeError, TypeError, UnicodeDecodeError) as error:
        raise WrongUse(
            f"the settings cannot be read ({error})",
            thing=str(path),
            next_step='It holds lines like photographer = "Your Name" and style = "north".',
        ) from error


def write_settings(space: Workspace, settings: Settings) -> None:
    """Writes the settings in one step."""
    text = (
        "# Who makes the pictures: printed as creator and credit.\n"
        f"photographer = {json.dumps(settings.photographer, ensure_ascii=False)}\n"
        "# The house style in which captions are first written.\n"
        f"style = {json.dumps(settings.style, ensure_ascii=False)}\n"
    )
    write_proved(text.encode(), space.folder / FILE)
