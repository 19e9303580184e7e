"""The way out to a desk, by the system's own routes."""

from __future__ import annotations

from pathlib import Path

from setpiece.send.desk import DeskAddress, Protocol
from setpiece.work.desk.uplink import way_out


def test_the_way_to_this_computer_is_the_loopback() -> None:
    """A server on this computer is spoken to from the loopback address."""
    address = DeskAddress(Protocol.SFTP, host="127.0.0.1", port=22, user="ada")
    assert way_out(address) == "127.0.0.1"


def test_where_there_is_no_way_nothing_is_said(tmp_path: Path) -> None:
    """A folder has no route, nor has a name that cannot be (RFC 6761: .invalid)."""
    assert way_out(DeskAddress(Protocol.FOLDER, path=tmp_path)) == ""
    assert way_out(DeskAddress(Protocol.FTP, host="desk.invalid", user="ada")) == ""
