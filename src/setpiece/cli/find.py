"""`setpiece find`: pictures of every match, by words and by what became of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from setpiece.cli.options import HERE, AsJson, WorkspaceDir
from setpiece.cli.terminal import Terminal, opened, print_json

if TYPE_CHECKING:
    from setpiece.work.find.pictures import Found

Texts = list[str] | None


def find(
    words: Annotated[Texts, typer.Argument(help="Words, '\"a phrase\"', a score like 2-1.")] = None,
    person: Annotated[Texts, typer.Option(help="Somebody in the picture.")] = None,
    side: Annotated[Texts, typer.Option(help="A side that the picture shows.")] = None,
    keyword: Annotated[Texts, typer.Option(help="An act, gesture, mood or other keyword.")] = None,
    situation: Annotated[
        str, typer.Option(help="As equaliser, losing, shoot-out, half-time, added time.")
    ] = "",
    competition: Annotated[str, typer.Option(help="Competition, round, ground.")] = "",
    since: Annotated[str, typer.Option(help="First date, as 2027-03-06.")] = "",
    until: Annotated[str, typer.Option(help="Last date.")] = "",
    minute: Annotated[str, typer.Option(help="Match minute, as 74 or 80-90.")] = "",
    camera: Annotated[str, typer.Option(help="A camera's letter, make, model or number.")] = "",
    lens: Annotated[str, typer.Option(help="Focal length in mm, or part of the name.")] = "",
    upright: Annotated[
        bool | None, typer.Option("--upright/--landscape", help="How the picture stands.")
    ] = None,
    match: Annotated[str, typer.Option(help="Part of the match's folder name.")] = "",
    in_set: Annotated[bool, typer.Option("--set", help="Only frames in use.")] = False,
    delivered_to: Annotated[str, typer.Option(help="Only what this desk has.")] = "",
    published: Annotated[
        bool | None,
        typer.Option("--published/--not-published", help="Whether the ledger knows a use."),
    ] = None,
    unused: Annotated[
        bool, typer.Option("--unused", help="Neither delivered nor published.")
    ] = False,
    save: Annotated[str, typer.Option(help="Keep this search under a name.")] = "",
    saved: Annotated[str, typer.Option(help="Run the search kept under this name.")] = "",
    searches: Annotated[bool, typer.Option("--searches", help="List saved searches.")] = False,
    drop: Annotated[str, typer.Option(help="Forget the search kept under this name.")] = "",
    most: Annotated[int, typer.Option(min=1, max=100_000, help="Pictures shown at most.")] = 50,
    csv: Annotated[
        Path | None, typer.Option(help="Write the pictures with their captions to this file.")
    ] = None,
    anew: Annotated[bool, typer.Option("--anew", help="Make the index again first.")] = False,
    workspace: WorkspaceDir = HERE,
    as_json: AsJson = False,
) -> None:
    """Find pictures by words, people, situation and use.

    Looks through every captioned frame of every match. Words find their beginnings, with or
    without accents; slips are forgiven and said.

    Example: setpiece find ørbeck celebrates --situation equaliser --since 2026-08-01 --unused
    """
    from setpiece.work.find import pictures as job
    from setpiece.work.find import search as find_search
    from setpiece.work.find.search import Search

    with opened(workspace) as space, Terminal().working() as caller:
        if searches:
            for name, kept in find_search.every_kept(space).items():
                typer.echo(f"{name}: {kept.words}")
            return
        if drop:
            find_search.drop(space, drop)
            typer.echo(f"{drop} is forgotten.")
            return
        wanted = Search(
            words=" ".join(words or ()),
            people=tuple(person or ()),
            sides=tuple(side or ()),
            keywords=tuple(keyword or ()),
            competition=competition,
            situation=situation,
            since=find_search.read_date(since),
            until=find_search.read_date(until),
            minutes=find_search.read_minutes(minute),
            camera=camera,
            lens=lens,
            upright=upright,
            match=match,
            in_set=in_set,
            delivered_to=delivered_to,
            published=published,
            unused=unused,
        )
        if saved:
            wanted = find_search.kept(space, saved)
        if save:
            find_search.keep(space, save, wanted, caller)
        if anew:
            job.index_anew(space, caller)
        found = job.find(space, wanted, caller, most=most)
    if csv is not None:
        _write(csv, job.as_csv(found))
    if as_json:
        print_json(found)
    else:
        _say(found)


def _say(found: Found) -> None:
    for hit in found.hits:
        minute = f"{hit.minute}'" if hit.minute else ""
        typer.echo(f"{hit.match}  {hit.frame:10} {minute:>4}  {hit.description or hit.headline}")
    for note in found.notes:
        typer.echo(note, err=True)
    total = "more than 20,000" if found.total is None else str(found.total)
    typer.echo(f"{total} pictures, {len(found.hits)} shown.")


def _write(path: Path, text: str) -> None:
    from setpiece.store.copying import write_proved

    write_proved(text.encode(), path)
    typer.echo(f"Written: {path}", err=True)
