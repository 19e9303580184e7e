"""The fixture: one match to be covered, and the competition's rules that bear on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from setpiece.errors import WrongUse
from setpiece.match.instants import Instant


@dataclass(frozen=True, slots=True)
class Rules:
    """What the competition sets: lengths in minutes, numbers of players and substitutions.

    Defaults are the Laws of the Game, Law 3 and Law 7 (from memory).
    """

    half_min: int = 45
    extra_half_min: int = 15
    players: int = 11
    substitutions: int = 5
    extra_time_substitutions: int = 1
    return_substitutions: bool = False
    video_review: bool = False


@dataclass(frozen=True, slots=True)
class Fixture:
    """One match to be covered.

    `time_zone` is the venue's IANA zone; dates printed in captions are dates there.
    `country_code` is ISO 3166-1 alpha-3 as IPTC asks. `latitude_deg` north, `longitude_deg`
    east, positive; None when not known.
    """

    id: str
    home: str
    away: str
    competition: str
    kick_off: Instant
    time_zone: str
    stage: str = ""
    venue: str = ""
    city: str = ""
    state: str = ""
    country: str = ""
    country_code: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    rules: Rules = field(default_factory=Rules)

    def __post_init__(self) -> None:
        try:
            ZoneInfo(self.time_zone)
        except (ValueError, KeyError, OSError) as error:
            raise WrongUse(
                "no such time zone",
                thing=self.time_zone,
                next_step="Use a name like Europe/Berlin.",
            ) from error
        if self.country_code and len(self.country_code) != 3:
            raise WrongUse("a country code has three letters", thing=self.country_code)

    def local_date(self, at: Instant) -> date:
        """The date at the venue at that instant."""
        return at.astimezone(ZoneInfo(self.time_zone)).date()

    def offset_min(self, at: Instant) -> int:
        """The venue's offset from UTC at that instant, in minutes east."""
        offset = at.astimezone(ZoneInfo(self.time_zone)).utcoffset() or timedelta()
        return round(offset.total_seconds() / 60)
