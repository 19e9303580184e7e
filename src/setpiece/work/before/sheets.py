"""Team sheets into the workspace: imported whole or side by side, kits added by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

from setpiece.errors import WrongUse
from setpiece.match.people import Kit, Side, SidePeople, TeamSheet
from setpiece.match.sheet_audit import audit_sheet
from setpiece.match.sheet_exchange import read_sheet_csv, read_sheet_json
from setpiece.match.sheet_text import read_sheet_text
from setpiece.store.matches import Match, add_sheet, newest_sheet
from setpiece.store.workspace import Workspace
from setpiece.work.job import Caller


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import understood, what it did not, and what the sheet's own check remarks."""

    people: int
    starting: int
    not_understood: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()


def import_sheet(
    space: Workspace, of: Match, text: str, ending: str, side: str, caller: Caller
) -> Imported:
    """Reads a team sheet (`.json`, `.csv`, else pasted text) and keeps it as the newest.

    Pasted text of one `side` replaces that side only. Kits stay as they were unless the file
    brings its own.
    """
    before = newest_sheet(space, of) or _empty(of)
    unread: tuple[str, ...] = ()
    if ending == ".json":
        read = read_sheet_json(text)
    elif ending == ".csv":
        read = read_sheet_csv(text, home=before.home, away=before.away)
    else:
        pasted = read_sheet_text(text, home=before.home, away=before.away, side=_side(side))
        read, unread = pasted.sheet, pasted.not_understood
        if side:
            others = [p for p in before.people if p.side is not _side(side)]
            read = replace(read, people=(*others, *read.people))
    if not read.people:
        raise WrongUse(
            "nobody was found on this sheet",
            thing=text.strip()[:60],
            next_step="A line reads like: 9 Given Family (c).",
        )
    officials = read.officials_kits or before.officials_kits
    sheet = replace(read, officials_kits=officials)
    add_sheet(space, of, sheet, caller.now())
    return Imported(
        people=len(sheet.people),
        starting=sum(p.starts for p in sheet.people),
        not_understood=unread,
        remarks=tuple(r.says for r in audit_sheet(sheet)),
    )


def add_kit(space: Workspace, of: Match, wearer: str, kit: Kit, caller: Caller) -> TeamSheet:
    """Gives a side, or the officials, a kit; one of the same letter is replaced.

    Raises WrongUse when another wearer has that letter.
    """
    sheet = newest_sheet(space, of) or _empty(of)
    taken = sheet.kit(kit.letter)
    side = None if wearer == "officials" else _side(wearer)
    if taken and taken[1] is not side:
        raise WrongUse(
            "another kit has that letter",
            thing=f"{kit.letter} {taken[0].colour}",
            next_step="Choose a letter of its own for each kit.",
        )

    def with_kit(kits: tuple[Kit, ...]) -> tuple[Kit, ...]:
        return (*(k for k in kits if k.letter != kit.letter), kit)

    if side is None:
        changed = replace(sheet, officials_kits=with_kit(sheet.officials_kits))
    elif side is Side.HOME:
        changed = replace(sheet, home=replace(sheet.home, kits=with_kit(sheet.home.kits)))
    else:
        changed = replace(sheet, away=replace(sheet.away, kits=with_kit(sheet.away.kits)))
    add_sheet(space, of, changed, caller.now())
    return changed


def _empty(of: Match) -> TeamSheet:
    if of.fixture is None:
        raise WrongUse(
            "these frames have no fixture yet",
            thing=of.folder,
            next_step="Make it with `setpiece fixture new`.",
        )
    home, away = of.fixture.home, of.fixture.away
    return TeamSheet(SidePeople(home, home), SidePeople(away, away))


def _side(word: str) -> Side | None:
    if not word:
        return None
    try:
        return Side(word.lower())
    except ValueError as error:
        raise WrongUse("a side is home or away", thing=word) from error
