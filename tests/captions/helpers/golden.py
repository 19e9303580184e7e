"""Golden lines: a situation, its line, what is printed, and a twin that carries one wrong fact.

`says` is the clause in North Wire's style. The twin is the same caption with `right` replaced by
`wrong` as if typed over; the check must then find `code`.
"""

from __future__ import annotations

from dataclasses import dataclass

from cup_tie import away, extra, first, home, kicks, second

from setpiece.match.instants import Instant

__all__ = ["GOLDEN", "Golden", "away", "home"]

NAME = "name not as on the sheet"
WHO = "unknown person"
SIDE = "wrong side"
SCORE = "score not the log's"
SCORER = "scorer not the log's"
TITLE = "role title not the club's"
WHERE = "not where the act needs her"
TENSE = "not in the present tense"
BOTH = "ambiguous person"
DATE = "date not the frame's"


@dataclass(frozen=True)
class Golden:
    """One situation and its twin."""

    about: str
    tie: str
    at: Instant
    line: str
    says: str
    right: str
    wrong: str
    code: str
    frame: str = "frame"


def _g(
    about: str, at: Instant, line: str, says: str, right: str, wrong: str, code: str,
    tie: str = "tie", frame: str = "frame",
) -> Golden:  # fmt: skip
    return Golden(about, tie, at, line, says, right, wrong, code, frame)


JOY = second(73, 50)
FREE_KICK = "after scoring from a free kick to make it 2–1"
NORA = "Nora Lindqvist of Hallern FC"

GOLDEN = (
    _g("scorer with a team-mate", JOY, "9r celebrates with 11r right",
       f"{NORA} celebrates with team-mate Ebba Roth (right) {FREE_KICK}",
       "2–1", "1–1", SCORE),
    _g("the scorer in the centre of three", JOY, "4r left 9r centre 11r right celebrate",
       "Lotte Moreau (left), Nora Lindqvist (centre) and Ebba Roth (right) of Hallern FC celebrate "
       "after Nora Lindqvist scored from a free kick to make it 2–1",
       "Nora Lindqvist scored", "Ebba Roth scored", SCORER),
    _g("three in order", JOY, "4r 9r 11r celebrate in order",
       "Lotte Moreau (left), Nora Lindqvist (centre) and Ebba Roth (right) of Hallern FC celebrate "
       "after Nora Lindqvist scored from a free kick to make it 2–1",
       "Lotte Moreau", "Cleo Morreau", NAME),
    _g("a team-mate unknown", JOY, "9r celebrates with someone left",
       f"{NORA} celebrates with a team-mate (left) {FREE_KICK}",
       "a team-mate", "Ebbe Rothmann", WHO),
    _g("a question mark for a team-mate", JOY, "9r celebrates with ? left",
       f"{NORA} celebrates with a team-mate (left) {FREE_KICK}",
       "scoring from a free kick", "scoring the winner", "winner before full time"),
    _g("an unknown player with the scorer", JOY, "someone r celebrates with 9r right",
       "A Hallern FC player celebrates with team-mate Nora Lindqvist (right) after Nora Lindqvist "
       "scored from a free kick to make it 2–1",
       "Nora Lindqvist scored", "Jule Adler scored", SCORER),
    _g("a team-mate celebrates someone else's goal", JOY, "7r celebrates",
       "Jule Adler of Hallern FC celebrates after Nora Lindqvist scored from a free kick to make "
       "it 2–1",
       "after Nora Lindqvist scored", "after scoring", SCORER),
    _g("the goal itself", second(73, 20), "9r scores",
       f"{NORA} scores from a free kick to make it 2–1",
       "2–1", "1–2", SCORE, frame="strike"),
    _g("the goal by its colour's name", second(73, 20), "red 9 scores",
       f"{NORA} scores from a free kick to make it 2–1",
       "Nora Lindqvist", "Ebba Roth", SCORER, frame="strike"),
    _g("a header by name", first(16, 30), "nora lindqvist scores header",
       f"{NORA} scores with a header to make it 1–0",
       "1–0", "2–0", SCORE),
    _g("an own goal says so by itself", first(46, 30), "5r scores",
       "Mara Voss of Hallern FC scores an own goal to make it 1–1",
       "scores an own goal", "scores", SCORER),
    _g("an own goal celebrated by the others", first(46, 50), "9w celebrates",
       "Jo Kemp of Whitmoor Rovers celebrates after an own goal by Mara Voss to make it 1–1",
       "an own goal by Mara Voss", "a goal by Jo Kemp", SCORER),
    _g("who scored an own goal reacts", second(47), "5r reacts after own goal",
       "Mara Voss of Hallern FC reacts after scoring an own goal to make it 1–1",
       "1–1", "2–1", SCORE),
    _g("a disallowed goal celebrated", second(57, 40), "9w celebrates",
       "Jo Kemp of Whitmoor Rovers celebrates after scoring a goal that was disallowed",
       "that was disallowed", "to make it 1–2", SCORE),
    _g("a disallowed goal signalled", second(58, 40), "ref disallows goal",
       "Referee Ida Holm signals that a goal is disallowed",
       "Ida Holm", "Ida Holmes", NAME),
    _g("the pass before the goal", second(73, 20), "10r sets up 9r",
       "Sofía Peña of Hallern FC sets up a goal for team-mate Nora Lindqvist to make it 2–1",
       "Sofía Peña", "Sofia Pena", NAME),
    _g("a goal told later by its minute", second(80), "9r celebrates after 74 goal",
       f"{NORA} celebrates {FREE_KICK}", "2–1", "3–1", SCORE),
    _g("an earlier goal told by its minute", second(80), "9r celebrates after 17' goal",
       f"{NORA} celebrates after scoring with a header to make it 1–0",
       "1–0", "0–1", SCORE),
    _g("a penalty saved", second(67, 20), "1g saves 10w penalty",
       "Goalkeeper Zoë Müller of Hallern FC saves a penalty taken by Fay Dunne of Whitmoor Rovers",
       "Zoë Müller", "Zoe Muller", NAME),
    _g("a penalty missed", second(67, 20), "10w misses penalty",
       "Fay Dunne of Whitmoor Rovers misses a penalty",
       "Fay Dunne of Whitmoor Rovers", "Fay Dunne of Hallern FC", SIDE),
    _g("after the penalty, the goalkeeper congratulated", second(67, 50),
       "1g left reacts with 5r after penalty save",
       "Goalkeeper Zoë Müller (left) of Hallern FC reacts with team-mate Mara Voss after a saved "
       "penalty taken by Fay Dunne",
       "reacts", "reacted", TENSE),
    _g("a yellow card", second(52, 20), "ref yellow 5w",
       "Referee Ida Holm shows a yellow card to Kay Stone of Whitmoor Rovers",
       "Kay Stone of Whitmoor Rovers", "Kay Stone of Hallern FC", SIDE),
    _g("booked, the referee not in the picture", second(52, 20), "5w booked",
       "Kay Stone of Whitmoor Rovers is shown a yellow card",
       "Kay Stone", "Kay Stonne", NAME),
    _g("a red card", second(80, 20), "ref red 5w",
       "Referee Ida Holm shows a red card to Kay Stone of Whitmoor Rovers",
       "Kay Stone", "Ray Stones", NAME),
    _g("the walk after the red card", second(80, 50), "5w leaves after red",
       "Kay Stone of Whitmoor Rovers leaves the pitch after a red card",
       "Saturday", "Sunday", "weekday not the frame's"),
    _g("a substitution", second(62, 20), "17w replaces 8w",
       "Bea Quill of Whitmoor Rovers replaces team-mate Ivy Marsh",
       "Ivy Marsh", "Ivy Marsch", NAME),
    _g("a substitution said the other way round", second(62, 20), "8w replaced by 17w",
       "Bea Quill of Whitmoor Rovers replaces team-mate Ivy Marsh",
       "6 March 2027", "7 March 2027", DATE),
    _g("off the pitch", second(62, 30), "8w goes off",
       "Ivy Marsh of Whitmoor Rovers leaves the pitch",
       "Whitmoor Rovers leaves", "Hallern FC leaves", SIDE),
    _g("a substitute warming up", second(55), "17w warms up as substitute",
       "Bea Quill of Whitmoor Rovers warms up as a substitute",
       "Bea Quill", "Bea Quillen", NAME),
    _g("substituted, on the bench", second(70), "8w sits on bench",
       "Ivy Marsh of Whitmoor Rovers sits on the bench",
       "sits on the bench", "tackles", WHERE),
    _g("about to come on", second(84, 30), "16r left prepares to come on for 10r",
       "Tilda Ørsted (left) of Hallern FC prepares to come on for team-mate Sofía Peña",
       "Tilda Ørsted", "Tilda Orsted", NAME),
    _g("treated by the physiotherapist", second(88, 30), "7r treated by r physio",
       "Hallern FC physiotherapist Ola Grav treats Jule Adler of Hallern FC",
       "treats Jule Adler of Hallern FC", "treats the concussion of Jule Adler of Hallern FC",
       "diagnosis"),
    _g("on the ground", second(88, 10), "7r lies on pitch",
       "Jule Adler of Hallern FC lies on the pitch",
       "lies on the pitch", "lies on the pitch with a torn ligament", "diagnosis"),
    _g("a silence by both sides", first(-2), "both sides silence",
       "Players of both sides observe a minute's silence",
       "2027", "2026", DATE),
    _g("a silence, the sides named", first(-2), "r players w players silence",
       "Players of Hallern FC and players of Whitmoor Rovers observe a minute's silence",
       ", 6 March 2027", ", 6 March", "year missing"),
    _g("a manager", second(60), "w coach reacts",
       "Whitmoor Rovers manager Tom Birch reacts",
       "manager", "head coach", TITLE),
    _g("a head coach at work", second(60), "r coach instructs 7r",
       "Hallern FC head coach Mara Feld gives instructions to Jule Adler of Hallern FC",
       "head coach", "manager", TITLE),
    _g("captains and the referee", first(-3), "captains shake hands with ref",
       "Both captains shake hands with referee Ida Holm",
       "Ida Holm", "Ada Holm", NAME),
    _g("pennants", first(-3), "6r exchanges pennants with 6w",
       "Pia Kern of Hallern FC exchanges pennants with Ruth van der Berg of Whitmoor Rovers",
       "Ruth van der Berg", "Ruth van den Berg", NAME),
    _g("a line-up", first(-5), "r players line up", "Players of Hallern FC line up",
       "line up", "lost", TENSE),
    _g("the ground", first(-60), "general view", "A general view of Kiln Lane",
       "6 March 2027", "6 April 2027", DATE),
    _g("an arrival", first(-80), "9r arrives", f"{NORA} arrives at the ground",
       "Nora Lindqvist of Hallern FC", "Nora Lindqvist of Whitmoor Rovers", SIDE),
    _g("supporters after the goal", JOY, "r supporters celebrate",
       "Hallern FC supporters celebrate after Nora Lindqvist scored from a free kick to make it "
       "2–1",
       "2–1", "2–0", SCORE),
    _g("supporters with flags", first(5), "w supporters wave flags",
       "Whitmoor Rovers supporters wave flags",
       "wave flags", "wave flags at 1–0", SCORE),
    _g("a banner", first(5), "w supporters holds banner",
       "Whitmoor Rovers supporters hold up a banner",
       "hold up a banner", "are drunk", "motive"),
    _g("a steward and an invader", second(60), "steward stops invader",
       "A steward leads a person who entered the pitch away",
       "a person who entered the pitch", "Hugo Streaksson", WHO),
    _g("lit flares", second(60), "r supporters lights flares",
       "Hallern FC supporters are seen with lit flares",
       "supporters are seen", "hooligans are seen", "motive"),
    _g("mascots", first(-4), "9r walks with mascots", f"{NORA} walks out with mascots",
       "mascots", "mascot Lilly Tinytoes", WHO),
    _g("shirts exchanged after full time", second(94), "9r swaps shirts with 9w",
       f"{NORA} exchanges shirts with Jo Kemp of Whitmoor Rovers",
       "Jo Kemp", "Joe Kemp", NAME),
    _g("after full time", second(95), "9r thanks supporters", f"{NORA} applauds supporters",
       "applauds supporters", "applauds supporters at 3–1", SCORE),
    _g("an award from a guest", second(110), "9r receives award from guest",
       f"{NORA} receives the player of the match award from mayor Eva Lunde",
       "Eva Lunde", "Eva Lundell", NAME),
    _g("a guest hands over an award", second(110), "guest presents award to 9r",
       f"Mayor Eva Lunde presents an award to {NORA}",
       "Nora Lindqvist", "Nora Lindquist", NAME),
    _g("a duel, one by any part of her name", first(30), "van der berg challenges 8r in midfield",
       "Ruth van der Berg of Whitmoor Rovers challenges for the ball with Rike Thal of Hallern FC "
       "in midfield",
       "challenges for", "challenged for", TENSE),
    _g("a tackle", first(30), "5w tackles 9r sliding",
       f"Kay Stone of Whitmoor Rovers tackles {NORA} with a sliding challenge",
       "Kay Stone", "Una Reed", WHERE),
    _g("tackled by somebody unknown", first(30), "9r tackled by someone",
       f"A Whitmoor Rovers player tackles {NORA}",
       "Nora Lindqvist of Hallern FC", "Nora Lindqvist of Whitmoor Rovers", SIDE),
    _g("a player with one name", first(30), "lu dribbles past 3r",
       "Lu of Whitmoor Rovers dribbles with the ball past Ines de Wit of Hallern FC",
       "Ines de Wit", "Ines van Wit", NAME),
    _g("two sisters' family name", first(12), "4r clears",
       "Lotte Moreau of Hallern FC clears the ball",
       "Lotte Moreau", "Moreau", BOTH),
    _g("a corner", first(12), "10r takes corner", "Sofía Peña of Hallern FC takes a corner",
       "takes a corner", "took a corner", TENSE),
    _g("a wall", first(12), "r players form wall", "Players of Hallern FC form a wall",
       "form a wall", "form a wall with the score at 0–1", SCORE),
    _g("a milestone", first(12), "9r 100th appearance runs with ball",
       f"{NORA} runs with the ball in a 100th appearance for Hallern FC",
       "Nora Lindqvist", "Norah Lindqvist", NAME),
    _g("in front of the supporters", JOY, "9r celebrates in front of r supporters",
       f"{NORA} celebrates in front of Hallern FC supporters {FREE_KICK}",
       "after scoring", "after the equaliser, scoring", "equaliser not the log's"),
    _g("consoled after the end", second(94), "9r consoles 9w",
       f"{NORA} consoles Jo Kemp of Whitmoor Rovers",
       "Jo Kemp", "Jo Kempe", NAME),
    _g("a shirt without a number", second(83), "ines de wit shields ball 9w",
       "Ines de Wit of Hallern FC shields the ball from Jo Kemp of Whitmoor Rovers",
       "Ines de Wit", "Ines de Wit (3)", "number not worn"),
    _g("a penalty goal", second(70, 30), "10w scores penalty",
       "Fay Dunne of Whitmoor Rovers scores from the penalty spot to make it 1–1",
       "Fay Dunne", "Jo Kemp", SCORER, tie="long"),
    _g("an outfield player in goal", second(80), "5r saves",
       "Mara Voss of Hallern FC makes a save",
       "Mara Voss", "Mara Vosse", NAME, tie="long"),
    _g("who keeps goal now", second(80), "r goalkeeper catches",
       "Mara Voss of Hallern FC catches the ball",
       "Mara Voss of Hallern FC", "Mara Voss of Whitmoor Rovers", SIDE, tie="long"),
    _g("a goal under review, celebrated", extra(94, 50), "9w celebrates",
       "Jo Kemp of Whitmoor Rovers celebrates after scoring a goal that is under review",
       "Jo Kemp", "Joy Kemp", NAME, tie="long"),
    _g("a kick of the shoot-out", kicks(1), "9r scores kick", f"{NORA} scores",
       "Nora Lindqvist", "Nora Linqvist", NAME, tie="long"),
    _g("a kick saved", kicks(2), "5r saves 10w kick",
       "Mara Voss of Hallern FC saves a kick by Fay Dunne of Whitmoor Rovers",
       "Fay Dunne", "Faye Dunne", NAME, tie="long"),
    _g("a kick missed", kicks(3), "11r misses kick", "Ebba Roth of Hallern FC misses a kick",
       "Ebba Roth", "Ebba Rothe", NAME, tie="long"),
    _g("waiting in the shoot-out", kicks(2), "r players watch shoot-out",
       "Players of Hallern FC look on",
       "look on", "look on at 5–4", SCORE, tie="long"),
    _g("the trophy", kicks(30), "6w lifts trophy",
       "Ruth van der Berg of Whitmoor Rovers lifts the trophy",
       "Ruth van der Berg", "Ruth van der Bergh", NAME, tie="long"),
    _g("floodlights out", first(30, 30), "floodlights out",
       "The pitch lies in darkness as the floodlights are out",
       "6 March 2027", "5 March 2027", DATE, tie="dark"),
    _g("a match suspended", first(40), "match suspended", "Play is suspended",
       "suspended", "suspended at 2–2", SCORE, tie="dark"),
    _g("a match abandoned", first(61), "r players leave pitch",
       "Players of Hallern FC leave the pitch",
       "leave the pitch", "leave the pitch at 1–0", SCORE, tie="dark"),
)  # fmt: skip
