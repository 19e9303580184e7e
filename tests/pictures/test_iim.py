"""IIM datasets hold the caption within their limits, and older ones are read."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import exiv2
import pytest
from sample_fields import FULL, LONG

from setpiece.captions.fields import PictureFields
from setpiece.pictures.iim import datasets, from_iim, read_datasets, to_iim
from setpiece.pictures.library import exiv2_alone


def test_every_row_of_the_table_with_a_dataset_is_held() -> None:
    """Headline, caption, keywords one by one, date and time with its zone."""
    held = datasets(FULL)
    assert held[2, 105] == [FULL.headline]
    assert held[2, 25] == list(FULL.keywords)
    assert held[2, 80] == list(FULL.creator)
    assert (held[2, 55], held[2, 60]) == (["2027-03-06"], ["16:19:05+01:00"])
    assert held[2, 7] == ["CORRECTION"]
    assert len(held) == 20


def test_values_that_become_alike_stand_once() -> None:
    """Two keywords that differ after their limit only are one in IIM."""
    held = datasets(PictureFields(keywords=(LONG * 2 + "a", LONG * 2 + "b")))
    assert held[2, 25] == ["Grundlseeer Größenwahn übertrifft Fußballverbände"]


@pytest.mark.parametrize("zone_min", [0, 60, 330, -210, -30, 840])
def test_zones_keep_their_sign(zone_min: int) -> None:
    """East and west of UTC, half hours and minus thirty minutes among them, come back."""
    at = datetime(2027, 3, 6, 15, 3, 12, tzinfo=timezone(timedelta(minutes=zone_min)))
    with exiv2_alone():
        found = from_iim(to_iim(PictureFields(date_created=at)))
    assert found["date_created"] == at
    assert found["date_created"].utcoffset() == at.utcoffset()


def test_text_in_the_old_encoding_is_read() -> None:
    """Without the UTF-8 mark and not UTF-8, bytes are taken for Latin-1."""
    with exiv2_alone():
        iim = exiv2.IptcData()
        value = exiv2.StringValue()
        value.read(b"M\xfcller", exiv2.ByteOrder.bigEndian)
        iim.add(exiv2.IptcKey(105, 2), value)
        assert read_datasets(iim) == {(2, 105): ["Müller"]}


def test_a_time_without_a_date_is_none() -> None:
    """Half a date says nothing; a time without a zone is taken for UTC."""
    with exiv2_alone():
        iim = exiv2.IptcData()
        iim.add(exiv2.IptcKey(60, 2), exiv2.StringValue("150312"))
        assert from_iim(iim) == {}
        iim.add(exiv2.IptcKey(55, 2), exiv2.StringValue("20270306"))
        assert from_iim(iim)["date_created"] == datetime(2027, 3, 6, 15, 3, 12, tzinfo=UTC)
        bad = exiv2.IptcData()
        bad.add(exiv2.IptcKey(55, 2), exiv2.StringValue("20271399"))
        bad.add(exiv2.IptcKey(60, 2), exiv2.StringValue("150312"))
        assert from_iim(bad) == {}
