"""A statement against deliveries and uses: each line one verdict, each use paid once."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from setpiece.books.matching import (
    EarlierLine,
    KnownUse,
    Matched,
    Outcome,
    Sent,
    Verdict,
    match_statement,
)
from setpiece.books.money import Money, total
from setpiece.books.statement_cells import reference
from setpiece.books.statements import Statement, StatementLine

DAY = date(2027, 3, 7)
SENT = (
    Sent("f1", "m", ("marnstein-0231.jpg", "A-0231")),
    Sent("f2", "m", ("marnstein-0007.jpg", "B-0007")),
    Sent("f3", "m", ("twin.jpg",)),
    Sent("f4", "n", ("twin.jpg",)),
)


def eur(amount: object) -> Money:
    """Euros."""
    return Money.of(str(amount), "EUR")


def line(
    picture: str,
    paid: object,
    *,
    number: int = 2,
    fee: object = None,
    outlet: str = "Gazette",
    day: date | None = DAY,
) -> StatementLine:
    """One line of a statement."""
    asked = eur(fee) if fee is not None else None
    return StatementLine(number, picture, reference(picture), eur(paid), outlet, day, asked)


def use(
    number: int, frame: str, due: object = None, *, days: int = 0, paid: bool = False
) -> KnownUse:
    """A use in the ledger."""
    owed = eur(due) if due is not None else None
    return KnownUse(number, frame, "Gazette", DAY + timedelta(days=days), owed, None, paid)


def judged(
    lines: list[StatementLine],
    uses: list[KnownUse] | None = None,
    earlier: list[EarlierLine] | None = None,
) -> Outcome:
    """The lines with their verdicts; half of each fee was agreed."""
    return match_statement(
        Statement(tuple(lines)), SENT, uses or [], earlier or [], share_percent=Decimal(50)
    )


def one(*lines: StatementLine, **more: object) -> Matched:
    """The verdict on the last line."""
    return judged(list(lines), **more).lines[-1]  # type: ignore[arg-type]


def test_a_line_finds_its_picture_by_any_name() -> None:
    """File name, path, capitals or handle lead to the frame."""
    for name in ("marnstein-0231.jpg", "X:\\out\\MARNSTEIN-0231.TIF", "a-0231"):
        found = one(line(name, 40, fee=80))
        assert (found.verdict, found.frame, found.match) == (Verdict.PAID, "f1", "m")
        assert found.expected == eur(40)


def test_names_that_none_or_several_pictures_have_stay_unknown() -> None:
    """Nothing is guessed: no near name is taken, and of two none."""
    assert one(line("marnstein-0232.jpg", 40)).verdict is Verdict.UNKNOWN
    twin = one(line("twin.jpg", 40))
    assert (twin.verdict, twin.frame) == (Verdict.UNKNOWN, "")
    assert "f3, f4" in twin.why


def test_a_share_is_held_to_what_was_agreed() -> None:
    """One minor unit may be rounding; two are a wrong share with both figures named."""
    assert one(line("A-0231", "40.01", fee="80.01")).verdict is Verdict.PAID
    assert one(line("A-0231", "40.00", fee="80.01")).verdict is Verdict.PAID
    wrong = one(line("A-0231", "32.00", fee="80.00"))
    assert (wrong.verdict, wrong.expected) == (Verdict.WRONG_SHARE, eur(40))
    assert "50 % of 80.00 EUR is 40.00 EUR" in wrong.why


def test_the_ledgers_own_figure_goes_before_the_statements() -> None:
    """A fee agreed with the photographer decides, whatever gross the statement states."""
    found = one(line("A-0231", "40", fee="80"), uses=[use(7, "f1", 60)])
    assert (found.verdict, found.use, found.expected) == (Verdict.WRONG_SHARE, 7, eur(60))
    assert one(line("A-0231", "60", fee="80"), uses=[use(7, "f1", 60)]).verdict is Verdict.PAID


def test_a_line_without_any_agreed_figure_is_paid_without_expectation() -> None:
    """Where neither fee nor use is known, the amount cannot be wrong."""
    found = one(line("A-0231", "12.34"))
    assert (found.verdict, found.expected) == (Verdict.PAID, None)


def test_the_same_use_is_not_paid_twice() -> None:
    """Within a statement and against earlier ones; another outlet or day is another use."""
    first, again = line("A-0231", 40), line("A-0231", 40, number=3)
    assert one(first, again).verdict is Verdict.TWICE
    earlier = [EarlierLine("f1", "gazette", DAY, eur(40))]
    assert one(first, earlier=earlier).verdict is Verdict.TWICE
    for other in (
        line("A-0231", 40, outlet="Herald"),
        line("A-0231", 40, day=DAY + timedelta(days=1)),
        line("A-0231", 41),
    ):
        assert one(first, other).verdict is Verdict.PAID


def test_what_is_taken_back_was_paid_before() -> None:
    """A negative line undoes its payment; one that undoes nothing is unknown."""
    back = one(line("A-0231", 40), line("A-0231", -40, number=3))
    assert back.verdict is Verdict.TAKEN_BACK
    assert one(line("A-0231", -40)).verdict is Verdict.UNKNOWN
    paid_anew = one(line("A-0231", 40), line("A-0231", -40), line("A-0231", 40))
    assert paid_anew.verdict is Verdict.PAID


def test_the_nearest_unpaid_use_is_the_one_paid() -> None:
    """Of two uses of a picture the nearer day is taken, and each only once."""
    uses = [use(1, "f1", days=-20), use(2, "f1", days=1), use(3, "f1", days=-200)]
    outcome = judged([line("A-0231", 40), line("A-0231", 41, number=3)], uses)
    assert [m.use for m in outcome.lines] == [2, 1]
    assert [u.number for u in outcome.unpaid] == [3]


def test_a_published_use_that_no_line_pays_is_unpaid() -> None:
    """Up to the statement's last day; later ones have time, paid ones are none."""
    uses = [use(1, "f2", 20), use(2, "f1", days=30), use(3, "f2", paid=True)]
    outcome = judged([line("A-0231", 40)], uses)
    assert [u.number for u in outcome.unpaid] == [1]
    assert judged([line("A-0231", 40, day=None)], uses).unpaid == ()


LINES = st.lists(
    st.builds(
        lambda name, cents, days: line(name, Decimal(cents) / 100, day=DAY + timedelta(days=days)),
        st.sampled_from(["A-0231", "B-0007", "twin.jpg", "stranger"]),
        st.integers(-5000, 5000),
        st.integers(0, 3),
    ),
    max_size=14,
)


@given(LINES, st.lists(st.integers(1, 2), max_size=6))
def test_every_line_has_one_verdict_and_no_use_is_paid_twice(
    lines: list[StatementLine], frames: list[int]
) -> None:
    """Lines come out as they went in; sums by verdict make the whole; uses are paid once."""
    uses = [use(n, f"f{frame}") for n, frame in enumerate(frames, 1)]
    outcome = judged(lines, uses)
    assert [m.line for m in outcome.lines] == lines
    by_verdict = [
        total((m.line.paid for m in outcome.lines if m.verdict is v), "EUR") for v in Verdict
    ]
    assert total(by_verdict, "EUR") == total((x.paid for x in lines), "EUR")
    paid = [m.use for m in outcome.lines if m.use is not None]
    assert len(paid) == len(set(paid))
    assert not {u.number for u in outcome.unpaid} & set(paid)
