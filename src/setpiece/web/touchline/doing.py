"""Does what a typed line says, and says how it is taken back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from setpiece.captions.findings import Level
from setpiece.errors import AskPhotographer, NotFound, WrongUse
from setpiece.store.frames import decide
from setpiece.web.asked import whole_number
from setpiece.web.backstage import Backstage
from setpiece.web.sentences import sentence
from setpiece.web.standing import Standing
from setpiece.web.touchline.crops import crop_text, edit_of, read_crop
from setpiece.web.touchline.finding import find_frames
from setpiece.web.touchline.intent import Deed, Intent, intent_of
from setpiece.web.touchline.ringing import ToSend, answering, read_ask, read_send, which_request
from setpiece.web.touchline.undoing import Undo
from setpiece.web.wording import Wording
from setpiece.work.caption import check_frames, overrule, write_caption
from setpiece.work.desk.goal_proposal import propose_goal
from setpiece.work.desk.kill import kill
from setpiece.work.desk.request import ask_for, decline, fitting
from setpiece.work.edits import set_edit
from setpiece.work.job import Caller
from setpiece.work.logbook import When, add_line, withdraw
from setpiece.work.matchday import Matchday
from setpiece.work.style_files import load_acts


@dataclass(frozen=True, slots=True)
class Done:
    """What was done, in words. `go` is where the page moves: a frame, `next`, `close`, ...

    `offer` is put into an empty line, for the photographer to go on with.
    """

    said: str
    undo: Undo | None = None
    go: str = ""
    doubt: str = ""
    frames: tuple[str, ...] = ()
    offer: str = ""


@dataclass(frozen=True, slots=True)
class Typed:
    """A line sent by the page: the opened frame, and what the page showed of it.

    `was` is the decision and `version` the caption's version that were shown, so that a change
    by another screen in between is told.
    """

    line: str
    frame: str = ""
    was: str = ""
    version: int = 0


class Doer:
    """Does typed lines over the matches of a workspace."""

    def __init__(self, standing: Standing, backstage: Backstage, words: Wording) -> None:
        self.standing = standing
        self.space = standing.space
        self.backstage = backstage
        self.words = words
        self._shown_goals: dict[int, tuple[str, ...]] = {}

    def do(self, folder: str, typed: Typed, caller: Caller) -> Done:
        """Does one line. Raises what the job raises; then nothing was done."""
        day = self.standing.of(folder)
        intent = intent_of(typed.line, day.sheet, load_acts(self.space.folder))
        doing = self._doings()[intent.deed]
        return doing(day, intent, typed, caller)

    def _doings(self) -> dict[Deed, Callable[[Matchday, Intent, Typed, Caller], Done]]:
        return {
            Deed.NOTHING: lambda *_: Done(""),
            Deed.CAPTION: self._caption,
            Deed.LOG: self._log,
            Deed.WITHDRAW: self._withdraw,
            Deed.DECIDE: self._decide,
            Deed.SEND: self._send,
            Deed.TAKE: self._take,
            Deed.OVERRULE: self._overrule,
            Deed.CROP: self._crop,
            Deed.ASK: self._ask,
            Deed.ANSWER: self._answer,
            Deed.DECLINE: self._decline,
            Deed.KILL: self._kill,
            Deed.GO: self._go,
            Deed.FIND: self._find,
            Deed.UNDO: lambda *_: Done("", go="undo"),
            Deed.HELP: lambda *_: Done("", go="help"),
        }

    def _caption(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        frame_id = self._opened(day, typed)
        before = day.captions.get(frame_id)
        made = write_caption(self.space, day.match, frame_id, intent.rest, caller)
        wrong = sum(1 for f in made.findings if f.level is not Level.REMARK)
        said = (
            self.words.count("did.caption-findings", wrong, frame=made.handle)
            if wrong
            else self.words("did.caption", frame=made.handle, n=made.version)
        )
        meanwhile = before is not None and typed.version != before.version
        doubt = (
            self.words("did.caption-meanwhile", n=before.version) if before and meanwhile else ""
        )
        if before is not None and made.version == before.version:
            return Done(said)
        undo = Undo(
            "caption",
            said,
            frame_id,
            version=before.version if before else 0,
            expects=str(made.version),
        )
        return Done(said, undo, doubt=doubt)

    def _log(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        when = When(frame=self._opened(day, typed)) if intent.here else None
        entry = add_line(
            self.space,
            day.match,
            intent.rest,
            caller,
            when=when,
            supersedes=intent.replaces,
        )
        told = sentence(entry, self.standing.of(day.match.folder), self.words)
        said = self.words("did.logged", n=entry.id, what=told.plain)
        return Done(said, Undo("log", said, entry=entry.id))

    def _withdraw(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        number = whole_number(intent.rest.lstrip("eE"))
        if number is None:
            raise WrongUse(
                "an entry is taken back by its number", thing=intent.rest, next_step="withdraw 7"
            )
        entry = withdraw(self.space, day.match, number, caller)
        said = self.words("did.withdrawn", n=number)
        return Done(said, Undo("log", said, entry=entry.id))

    def _decide(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        frame = day.frame(intent.rest) if intent.rest else day.frames[self._opened(day, typed)]
        decide(self.space, day.match, frame.id, intent.decision)
        said = self.words(f"did.decide-{intent.word}", frame=frame.handle)
        doubt = ""
        if frame.id == typed.frame and typed.was != frame.decision.value:
            was = self.words(f"thumb.said-{frame.decision.value}") if frame.decision else "–"
            doubt = self.words("did.decide-meanwhile", was=was)
        undo = Undo("decide", said, frame.id, frame.decision.value, expects=intent.decision.value)
        return Done(said, undo, doubt=doubt)

    def _send(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        opened = self._opened(day, typed) if "here" in intent.rest.split() else ""
        what = read_send(intent.rest, day, opened)
        if what.goal:
            return self._goal(day, what)
        if what.corrections:
            batch = self.backstage.correct(day.match, what.desks)
        else:
            batch = self.backstage.send(day.match, what.desks, what.frames)
        said = self.words("did.sending", desks=self.words.listed(list(what.desks)))
        return Done(said, Undo("queue", said, batch=batch))

    def _goal(self, day: Matchday, what: ToSend) -> Done:
        """First its frames, to be looked at one by one; `now` sends those that were shown."""
        proposal = propose_goal(day)
        frames = tuple(p.frame_id for p in proposal.frames)
        if not what.now or self._shown_goals.get(day.match.id) != frames:
            self._shown_goals[day.match.id] = frames
            said = self.words.count("did.goal-proposed", len(frames), goal=proposal.words)
            return Done(said, go="found", frames=frames)
        batch = self.backstage.goal(day.match, proposal, what.desks)
        said = self.words("did.sending", desks=self.words.listed(list(what.desks)))
        return Done(said, Undo("queue", said, batch=batch))

    def _ask(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        rang = read_ask(intent.rest, day)
        made = ask_for(
            self.space, day.match, rang.desk, caller,
            who=rang.who, what=rang.what, shape=rang.shape, by=rang.by,
        )  # fmt: skip
        fits = fitting(day, made)
        said = self.words.count("did.asked", len(fits), desk=made.desk, words=made.words)
        return Done(said, go="found" if fits else "", frames=tuple(f.frame_id for f in fits))

    def _answer(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        request, frames = answering(intent.rest, day, typed.frame)
        batch = self.backstage.answer(day.match, request.id, frames)
        handles = self.words.listed([day.frames[f].handle for f in frames])
        said = self.words("did.answering", desk=request.desk, frames=handles)
        return Done(said, Undo("queue", said, batch=batch))

    def _decline(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        request, reason = which_request(intent.rest, day)
        decline(self.space, day.match, request.id, reason)
        return Done(self.words("did.declined", desk=request.desk, words=request.words))

    def _kill(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        frame = day.frames[self._opened(day, typed)]
        report = kill(self.space, day.match, frame.id, intent.rest, caller)
        if report.notices:
            self.backstage.go_on(day.match)
        desks = self.words.listed(list(report.notices)) or self.words("did.no-desk")
        said = self.words("did.killed", frame=frame.handle, desks=desks)
        return Done(said, Undo("none", said))

    def _take(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        path = Path(intent.rest.strip("'\"")).expanduser()
        if not intent.rest or not path.is_absolute() or not path.exists():
            raise NotFound(
                "there is no such card or folder",
                thing=intent.rest,
                next_step="Type its whole path, as take /media/card.",
            )
        self.backstage.take(day.match, (path,))
        return Done(self.words("did.taking", path=path))

    def _overrule(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        frame_id = self._opened(day, typed)
        (written,) = check_frames(day, [frame_id])
        blocking = [f for f in written.findings if f.level is not Level.REMARK]
        first, _, rest = intent.rest.partition(" ")
        given = whole_number(first)
        number, reason = (1, intent.rest) if given is None else (given, rest)
        if not 1 <= number <= len(blocking):
            raise NotFound(
                self.words("did.no-finding"),
                thing=written.handle,
                next_step=self.words("did.no-finding-next"),
            )
        finding = blocking[number - 1]
        overrule(self.space, day.match, frame_id, finding.code, reason, caller)
        return Done(self.words("did.overruled", what=self.words.told(finding.message)))

    def _crop(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        frame_id = self._opened(day, typed)
        before = edit_of(day, frame_id)
        box = read_crop(intent.rest, day, frame_id)
        set_edit(self.space, day.match, frame_id, replace(before, crop=box), caller)
        key = "did.cropped" if box else "did.uncropped"
        said = self.words(key, frame=day.frames[frame_id].handle)
        old, new = crop_text(before.crop), crop_text(box)
        return Done(said, Undo("crop", said, frame_id, crop=old, expects=new))

    def _go(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        if intent.word == "open" or intent.rest:
            return Done("", go="frame", frames=(day.frame(intent.rest).id,))
        return Done("", go=intent.word)

    def _find(self, day: Matchday, intent: Intent, typed: Typed, caller: Caller) -> Done:
        frames = find_frames(day, intent.rest, self.words)
        if not frames:
            return Done(self.words("did.found-none", what=intent.rest))
        return Done(self.words.count("did.found", len(frames)), go="find", frames=frames)

    def _opened(self, day: Matchday, typed: Typed) -> str:
        if typed.frame not in day.frames:
            raise AskPhotographer(self.words("line.open-first"))
        return typed.frame
