"""What one typed line is for: the first word decides.

goal 9r, yellow 5w, whistle, log captain 4r, correct 7 goal 11r, withdraw 7    the match log
use, hold, spike, clear [FRAME]                                     the decision on a frame
send [goal [now] | here | corrections | DESK ...], take PATH                   long jobs
ask DESK WHO WHAT [upright] [by 16:50], answer [N], decline N REASON           requests
kill REASON                                          the opened frame must not be used
next, previous, open FRAME, close, find WORDS, undo, help           moving, looking, taking back
overrule [N] REASON                                   an answer to a finding of the check
crop [4:5 | 0.1,0.2,0.5,0.4 | off]                        the part of a frame that is sent
anything else                                         the caption of the opened frame
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from setpiece.captions.acts import Acts
from setpiece.captions.lexicon import Piece, Word
from setpiece.captions.line import COMMAND_WORDS
from setpiece.captions.situation import vocabulary_of
from setpiece.captions.words import pieces_of
from setpiece.errors import WrongUse
from setpiece.match.people import TeamSheet
from setpiece.match.typed import KINDS
from setpiece.store.frames import Decision
from setpiece.web.asked import whole_number


class Deed(StrEnum):
    """What a line does when Enter is pressed."""

    NOTHING = "nothing"
    CAPTION = "caption"
    LOG = "log"
    WITHDRAW = "withdraw"
    DECIDE = "decide"
    SEND = "send"
    TAKE = "take"
    OVERRULE = "overrule"
    CROP = "crop"
    ASK = "ask"
    ANSWER = "answer"
    DECLINE = "decline"
    KILL = "kill"
    GO = "go"
    FIND = "find"
    UNDO = "undo"
    HELP = "help"


@dataclass(frozen=True, slots=True)
class Intent:
    """A line by what it does. `rest` is what followed the word, `at` where in the line it begins.

    `here` pins a log entry to the opened frame; `replaces` is the entry a correction replaces.
    """

    deed: Deed
    rest: str = ""
    at: int = 0
    word: str = ""
    decision: Decision = Decision.NONE
    here: bool = False
    replaces: int | None = None


DECISIONS = MappingProxyType(
    {
        "use": Decision.USE,
        "hold": Decision.HOLD,
        "spike": Decision.SPIKE,
        "clear": Decision.NONE,
    }
)
"""The words that decide on a frame."""

WORDS = MappingProxyType(
    {
        **dict.fromkeys(DECISIONS, Deed.DECIDE),
        "send": Deed.SEND,
        "take": Deed.TAKE,
        "overrule": Deed.OVERRULE,
        "crop": Deed.CROP,
        "ask": Deed.ASK,
        "answer": Deed.ANSWER,
        "decline": Deed.DECLINE,
        "kill": Deed.KILL,
        "withdraw": Deed.WITHDRAW,
        "next": Deed.GO,
        "previous": Deed.GO,
        "open": Deed.GO,
        "close": Deed.GO,
        "find": Deed.FIND,
        "undo": Deed.UNDO,
        "help": Deed.HELP,
    }
)
"""The words that act on this page, and what they do."""

CAPTION_FIRST = frozenset({"captain", "in goal", "kick", "kick-off"})
"""Words of the log that may also open a caption: they log only after `log`."""

_LOG_WORDS = frozenset(KINDS) - CAPTION_FIRST | {"whistle"}


def intent_of(line: str, sheet: TeamSheet, acts: Acts) -> Intent:
    """What the line does. Raises WrongUse for a word that acts, but not here."""
    text = line.strip()
    if not text:
        return Intent(Deed.NOTHING)
    at = len(line) - len(line.lstrip())
    first, _, rest = text.partition(" ")
    word = first.lower()
    rest_at = at + len(text) - len(rest)
    if _begins_with_kit(text, sheet, acts):
        return Intent(Deed.CAPTION, text, at)
    if word in ("log", "correct"):
        return _log(rest, rest_at, correcting=word == "correct")
    if word in WORDS:
        deed = WORDS[word]
        return Intent(deed, rest.strip(), rest_at, word, DECISIONS.get(word, Decision.NONE))
    if any(text.lower() == w or text.lower().startswith(w + " ") for w in _LOG_WORDS):
        return _log(text, at)
    if word in COMMAND_WORDS:
        raise WrongUse(
            "this word acts, but not on this page",
            thing=first,
            next_step="F1 lists the words that do.",
        )
    return Intent(Deed.CAPTION, text, at)


def _log(text: str, at: int, *, correcting: bool = False) -> Intent:
    replaces = None
    if correcting:
        number, _, rest = text.partition(" ")
        replaces = whole_number(number.lstrip("eE"))
        if replaces is None:
            raise WrongUse(
                "a correction names the entry it replaces",
                thing=number,
                next_step="Type its number first, as correct 7 goal 11r.",
            )
        at, text = at + len(text) - len(rest), rest
    words = text.split()
    here = "here" in words
    if here:
        text = " ".join(w for w in words if w != "here")
    return Intent(Deed.LOG, text, at, here=here, replaces=replaces)


def _begins_with_kit(text: str, sheet: TeamSheet, acts: Acts) -> bool:
    """Whether it begins with a shirt as said, as `red 9`, though `red` is also a card."""
    piece = next(iter(pieces_of(text, acts.lexicon, vocabulary_of(sheet))), None)
    return isinstance(piece, Piece) and piece.kind is Word.KIT
