"""`setpiece ledger` as it is typed: a year from the first use to its sums."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))
from after_the_match import fill, play, shoot
from typed_commands import run

from setpiece.match.instants import Instant
from setpiece.store.workspace import Workspace


@pytest.fixture
def home(space: Workspace, now: Instant, tmp_path: Path) -> Path:
    """A workspace with one delivered picture."""
    of = play(space, now)
    frame = shoot(space, of, 1, "30:00")
    fill(space, of, frame, now, tmp_path / "copies")
    return space.folder


def test_a_year_of_the_ledger(home: Path, tmp_path: Path) -> None:
    """Uses, licence, payment, expense, trip and a reversal come to the year's sums."""
    card, miles = tmp_path / "card.csv", tmp_path / "miles.csv"
    card.write_text("outlet,fee,currency,valid_from\nGazette,70,EUR,2027-01-01\n")
    miles.write_text(
        "vehicle,per_unit,currency,valid_from,source\ncar,0.50,EUR,2027-01-01,invented\n"
    )
    day = ("--day", "2027-03-07")
    assert "1 line added" in run(home, "ledger", "card", str(card)).out
    assert "Not tax advice" in run(home, "ledger", "mileage", str(miles)).out
    lines = [
        ("use", "A-0001", "--outlet", "Gazette", "--desk", "City", *day),
        ("use", "A-0001", "--outlet", "Herald", "--desk", "City", "--fee", "80 EUR",
         "--share", "50", *day),
        ("licence", "A-0001", "--to", "Club", "--purpose", "poster", "--from", "2027-04-01",
         "--fee", "300 EUR"),
        ("pay", "40 EUR", "--desk", "City", "--use", "2", *day),
        ("expense", "parking", "7.50 EUR", *day),
        ("trip", "Vienna", "Lethenbruck", "10", *day),
    ]  # fmt: skip
    for words in lines:
        ran = run(home, "ledger", *words)
        assert ran.status == 0, (words, ran.err)
    assert "1 use is not paid" in run(home, "ledger", "unpaid", "--desk", "City").out
    ran = run(home, "ledger", "reverse", "5", "--reason", "private")
    assert "reversed by entry 7" in ran.out
    found = json.loads(run(home, "ledger", "year", "2027", "--json").out)["totals"][0]
    sums = {k: found[k]["amount"] for k in ("earned", "received", "expenses", "mileage")}
    assert sums == {"earned": "410.00", "received": "40.00", "expenses": "0.00", "mileage": "5.00"}
    shown = run(home, "ledger", "year", "2027").out
    assert "35.00" in shown
    assert "Not tax advice" in shown
    file = tmp_path / "ledger.csv"
    listed = run(home, "ledger", "list", "--csv", str(file))
    assert "(reversed by 7)" in listed.out
    assert len(file.read_text("utf-8").splitlines()) == 8
    for wrong in (
        ("reverse", "99", "--reason", "x"),
        ("pay", "1.234 EUR"),
        ("use", "Z-1", "--outlet", "x"),
        ("expense", "x", "5"),
        ("trip", "a", "b", "1", "--vehicle", "boat"),
    ):
        assert run(home, "ledger", *wrong).status == 2, wrong


def test_a_statement_is_read_and_booked(home: Path, tmp_path: Path) -> None:
    """Verdicts line by line, a column given by hand and remembered, booked once."""
    file = tmp_path / "march.csv"
    file.write_text("Item;Net;When\nmarnstein-1.jpg;40,00;7.3.2027\nother.jpg;1,00;7.3.2027\n")
    read = ("ledger", "statement", "read", str(file), "--desk", "City")
    refused = run(home, *read)
    assert (refused.status, "Item, Net, When" in refused.err) == (2, True)
    given = ("--column", "picture=Item", "--column", "paid=Net", "--column", "day=When")
    found = run(home, *read, *given, "--currency", "eur", "--dates", "dmy", "--share", "50")
    assert found.status == 1
    assert "paid" in found.out
    assert "unknown" in found.out
    assert run(home, *read).out == found.out
    assert json.loads(run(home, "ledger", "statement", "show", "1", "--json").out)["desk"] == "City"
    booked = run(home, "ledger", "statement", "book", "1", "--day", "2027-04-15")
    assert "1 unknown lines are not" in booked.out
    assert run(home, "ledger", "statement", "book", "1").status == 2
    assert "booked" in run(home, "ledger", "statement", "list").out
    assert run(home, *read, "--column", "nonsense").status == 2


def test_an_invoice_is_written_and_reminded_of(home: Path) -> None:
    """Me, a customer, an invoice with tax, a reminder, a cancellation, a list."""
    new = ("ledger", "invoice", "new", "--to", "SK Lethenbruck", "--day", "2027-03-08")
    line = ("--line", "Match day; 350 EUR", "--line", "Picture; 40 EUR; 3")
    assert "invoice me" in run(home, *new, *line).err
    run(home, "ledger", "invoice", "me", "Ida Marlow", "--bank", "AT00")
    run(home, "ledger", "invoice", "customer", "SK Lethenbruck", "--terms", "14")
    made = run(home, *new, *line, "--tax", "20")
    assert "Invoice 2027-0001: 564.00 EUR, due 2027-03-22." in made.out
    assert (home / "ledger/invoices/2027-0001.pdf").is_file()
    late = ("--day", "2027-04-01")
    assert "reminder 1 is due" in run(home, "ledger", "invoice", "list", *late).out
    assert "564.00 EUR open" in run(home, "ledger", "invoice", "remind", "2027-0001", *late).out
    cancelled = run(home, "ledger", "invoice", "cancel", "2027-0001", "--reason", "wrong", *late)
    assert "2027-0002 takes 2027-0001 back" in cancelled.out
    assert run(home, "ledger", "invoice", "list", *late).out.count("cancelled") == 2
    assert "2027-0001.pdf" in run(home, "ledger", "invoice", "print", "2027-0001").out
    assert run(home, *new, "--line", "no price").status == 2
    assert run(home, "ledger", "invoice", "print", "2031-0001").status == 2
