"""One contract, every kind of sender, against real servers."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest
from servers import Server

from setpiece.errors import NotFound, Refused, Stopped, WrongUse
from setpiece.send.desk import DeskAddress, Protocol, Secret
from setpiece.send.sender import (
    Receipt,
    deliver_file,
    discard,
    join,
    open_sender,
    settle,
    temporary_name_for,
)

pytestmark = pytest.mark.network

PICTURE = random.Random(6).randbytes(700_001)
NAME = "20270306_hollin_vale_001.jpg"


def nothing(_bytes: int) -> None:
    """Progress that nobody looks at."""


def never() -> bool:
    """Nobody stops."""
    return False


def deliver(sender, folder: str, data: bytes = PICTURE, **changes) -> Receipt:
    """A delivery as the outbox makes it, with changes."""
    settings = {
        "temporary_name": True,
        "progress": nothing,
        "stopped": never,
        "resume_from_partial": False,
    }
    return deliver_file(sender, data, folder, NAME, **(settings | changes))


def put(sender, path: str, data: bytes, start: int = 0) -> int:
    """An upload without more."""
    return sender.upload(data, path, resume_from=start, progress=nothing, stopped=never)


class TestContract:
    """What every kind of sender does."""

    def test_a_delivery_leaves_one_whole_file(self, server: Server, folder: str) -> None:
        """The file is under its final name, identical, alone, and the receipt states it."""
        with server.open() as sender:
            receipt = deliver(sender, folder)
        assert server.files(folder) == {NAME: PICTURE}
        assert receipt.remote_path == f"{folder}/{NAME}"
        assert (receipt.size, receipt.resumed_from) == (len(PICTURE), 0)
        assert receipt.server_words
        held = (server.home / folder / NAME).stat().st_mtime
        assert receipt.server_time is not None
        assert abs(receipt.server_time.timestamp() - held) < 1.0  # FTP states whole seconds

    def test_without_a_temporary_name(self, server: Server, folder: str) -> None:
        """A desk that forbids renaming gets the file under its final name at once."""
        with server.open() as sender:
            deliver(sender, folder, temporary_name=False)
        assert server.files(folder) == {NAME: PICTURE}

    def test_several_on_one_connection(self, server: Server, folder: str) -> None:
        """One connection carries one picture after another."""
        with server.open() as sender:
            for number in range(3):
                deliver_file(
                    sender,
                    PICTURE[number:],
                    folder,
                    f"{number}.jpg",
                    temporary_name=True,
                    progress=nothing,
                    stopped=never,
                    resume_from_partial=False,
                )
            assert sender.list_names(folder) == ["0.jpg", "1.jpg", "2.jpg"]
        assert server.files(folder) == {f"{n}.jpg": PICTURE[n:] for n in range(3)}

    def test_an_empty_file_arrives(self, server: Server, folder: str) -> None:
        """No bytes are a file too."""
        with server.open() as sender:
            deliver(sender, folder, b"")
        assert server.files(folder) == {NAME: b""}

    def test_folders_are_made_on_the_way(self, server: Server, folder: str) -> None:
        """Missing folders are made, one below the other, and made only once."""
        with server.open() as sender:
            deliver(sender, f"{folder}/2027/first half")
            sender.make_folder(f"{folder}/2027/first half")
        assert server.files(folder) == {f"2027/first half/{NAME}": PICTURE}

    def test_going_on_with_a_partial(self, server: Server, folder: str) -> None:
        """A try goes on where an earlier one of the same bytes stopped, and the receipt says so."""
        part = join(folder, temporary_name_for(PICTURE, NAME))
        with server.open() as sender:
            sender.make_folder(folder)
            put(sender, part, PICTURE[:300_000])
        seen: list[int] = []
        with server.open() as sender:
            receipt = deliver(sender, folder, resume_from_partial=True, progress=seen.append)
        assert receipt.resumed_from == 300_000
        assert min(seen) > 300_000
        assert server.files(folder) == {NAME: PICTURE}

    def test_a_partial_longer_than_the_file_starts_again(self, server: Server, folder: str) -> None:
        """What cannot be a beginning of the file is written over from the first byte."""
        part = join(folder, temporary_name_for(PICTURE, NAME))
        with server.open() as sender:
            sender.make_folder(folder)
            put(sender, part, PICTURE + b"more")
            receipt = deliver(sender, folder, resume_from_partial=True)
        assert receipt.resumed_from == 0
        assert server.files(folder) == {NAME: PICTURE}

    def test_a_partial_that_only_lacks_its_name(self, server: Server, folder: str) -> None:
        """A whole upload that was never renamed is renamed, without a byte sent again."""
        part = join(folder, temporary_name_for(PICTURE, NAME))
        seen: list[int] = []
        with server.open() as sender:
            sender.make_folder(folder)
            put(sender, part, PICTURE)
            receipt = deliver(sender, folder, resume_from_partial=True, progress=seen.append)
        assert (receipt.resumed_from, seen) == (len(PICTURE), [])
        assert server.files(folder) == {NAME: PICTURE}

    def test_another_file_of_the_name_is_never_replaced(self, server: Server, folder: str) -> None:
        """A different file under the final name stays, and nothing of ours is left beside it."""
        with server.open() as sender:
            sender.make_folder(folder)
            put(sender, join(folder, NAME), PICTURE + b"somebody else's")
            for again in (False, True):
                for temporary in (False, True):
                    with pytest.raises(Refused, match="another file of this name"):
                        deliver(sender, folder, resume_from_partial=again, temporary_name=temporary)
        assert server.files(folder) == {NAME: PICTURE + b"somebody else's"}

    def test_rename_replaces_nothing(self, server: Server, folder: str) -> None:
        """Renaming onto a file that is there is refused, and both stay."""
        with server.open() as sender:
            sender.make_folder(folder)
            put(sender, f"{folder}/a", b"a")
            put(sender, f"{folder}/b", b"b")
            with pytest.raises(Refused):
                sender.rename(f"{folder}/a", f"{folder}/b")
        assert server.files(folder) == {"a": b"a", "b": b"b"}

    def test_the_same_size_counts_only_after_an_earlier_try(
        self, server: Server, folder: str
    ) -> None:
        """A file of the final name and size is ours only if we tried before."""
        with server.open() as sender:
            deliver(sender, folder)
            with pytest.raises(Refused):
                deliver(sender, folder)
            receipt = deliver(sender, folder, resume_from_partial=True)
        assert (receipt.size, receipt.seconds) == (len(PICTURE), 0.0)

    def test_settling_asks_the_server(self, server: Server, folder: str) -> None:
        """Settling finds nothing for a partial, a receipt for the whole, and refuses another."""
        temp = temporary_name_for(PICTURE, NAME)
        size = len(PICTURE)
        with server.open() as sender:
            assert settle(sender, folder, NAME, temp, size) is None
            sender.make_folder(folder)
            put(sender, join(folder, temp), PICTURE[:1000])
            assert settle(sender, folder, NAME, temp, size) is None
            put(sender, join(folder, NAME), PICTURE)
            receipt = settle(sender, folder, NAME, temp, size)
            assert receipt is not None
            assert receipt.size == size
            assert sender.size(join(folder, temp)) is None
            with pytest.raises(Refused):
                settle(sender, folder, NAME, temp, size + 1)
            assert settle(sender, folder, NAME, "", size + 1) is None

    def test_stopping_keeps_what_is_there(self, server: Server, folder: str) -> None:
        """A stop ends the upload early; the final name is absent; the next run completes it."""
        seen: list[int] = []
        with server.open() as sender, pytest.raises(Stopped):
            deliver(sender, folder, progress=seen.append, stopped=lambda: bool(seen))
        assert NAME not in server.files(folder)
        with server.open() as sender:
            deliver(sender, folder, resume_from_partial=True)
        assert server.files(folder) == {NAME: PICTURE}

    def test_discarding_leaves_nothing(self, server: Server, folder: str) -> None:
        """What a withdrawn delivery left behind is taken away; a second time does nothing."""
        with server.open() as sender:
            sender.make_folder(folder)
            put(sender, join(folder, temporary_name_for(PICTURE, NAME)), PICTURE[:5000])
            discard(sender, folder, PICTURE, NAME)
            discard(sender, folder, PICTURE, NAME)
        assert server.files(folder) == {}

    def test_what_is_not_there(self, server: Server, folder: str) -> None:
        """A missing file has no size, time or beginning; a missing folder cannot be listed."""
        with server.open() as sender:
            missing = f"{folder}/{NAME}"
            assert sender.size(missing) is None
            assert sender.modified(missing) is None
            assert sender.matching(missing, PICTURE) == 0
            sender.delete(missing)
            with pytest.raises(NotFound):
                sender.list_names(folder)
            sender.make_folder(folder)
            assert sender.list_names(folder) == []

    def test_progress_ends_at_the_size(self, server: Server, folder: str) -> None:
        """Progress rises to the size and not beyond."""
        seen: list[int] = []
        with server.open() as sender:
            deliver(sender, folder, progress=seen.append)
        assert seen == sorted(seen)
        assert seen[-1] == len(PICTURE)

    @pytest.mark.parametrize("name", ["", "..", "a/b.jpg", "a\\b.jpg", "a\r\nDELE x", "a\0"])
    def test_a_name_that_is_no_name(self, server: Server, folder: str, name: str) -> None:
        """A name that could mean a path or a command is refused before anything is sent."""
        with server.open() as sender, pytest.raises(WrongUse):
            deliver_file(
                sender,
                PICTURE,
                folder,
                name,
                temporary_name=True,
                progress=nothing,
                stopped=never,
                resume_from_partial=False,
            )
        assert not (server.home / folder).exists()

    def test_closing_twice_is_fine(self, server: Server) -> None:
        """Closing never raises, open or not."""
        sender = server.open()
        sender.close()
        sender.connect()
        sender.close()
        sender.close()

    def test_letters_beyond_ascii(self, server: Server, folder: str) -> None:
        """Folders with accents are named at the desk as they were given."""
        accented = f"{folder}-Zoë Ljubičić"
        with server.open() as sender:
            deliver(sender, accented)
            assert sender.list_names(accented) == [NAME]
        assert server.files(accented) == {NAME: PICTURE}


def test_the_temporary_name_follows_bytes_and_name() -> None:
    """The same bytes and name give the same temporary name, others another."""
    first = temporary_name_for(PICTURE, NAME)
    assert first == temporary_name_for(bytes(PICTURE), NAME)
    assert len({first, temporary_name_for(PICTURE, "b.jpg"), temporary_name_for(b"", NAME)}) == 3
    assert first.endswith(".part")
    assert len(first) <= 35


@pytest.mark.parametrize(
    ("folder", "path"), [("", "n"), ("/", "/n"), ("a", "a/n"), ("a/b/", "a/b/n"), ("/a", "/a/n")]
)
def test_paths_are_joined_with_one_stroke(folder: str, path: str) -> None:
    """A folder and a name make a path, from the log-in folder or from the root."""
    assert join(folder, "n") == path


def test_a_desk_takes_the_file_in_at_once(folder_desk: Server) -> None:
    """A file that the desk's intake moves away right after the rename counts as delivered."""
    with folder_desk.open() as sender:
        rename = sender.rename

        def rename_and_vanish(old: str, new: str) -> None:
            rename(old, new)
            sender.delete(new)

        sender.rename = rename_and_vanish
        receipt = deliver(sender, "in")
    assert receipt.size == len(PICTURE)
    assert receipt.server_time is None


def test_a_file_that_vanishes_under_its_final_name(folder_desk: Server) -> None:
    """Without a temporary name a confirmed file that is gone is a question, not sent again."""
    with folder_desk.open() as sender:
        upload = sender.upload

        def upload_and_vanish(data: bytes, path: str, **more) -> int:
            begun = upload(data, path, **more)
            sender.delete(path)
            return begun

        sender.upload = upload_and_vanish
        with pytest.raises(Refused, match="intake may have taken it"):
            deliver(sender, "in", temporary_name=False)


def test_each_protocol_has_a_sender() -> None:
    """Every protocol a desk can have opens a sender."""
    for protocol in Protocol:
        if protocol is Protocol.FOLDER:
            address = DeskAddress(protocol, path=Path("/").absolute())
        else:
            address = DeskAddress(protocol, "127.0.0.1", 1, "ada")
        assert open_sender(address, Secret()).server_words == ""


def test_a_server_address_can_be_changed(folder_desk: Server) -> None:
    """An address is a value: a change gives another one and checks it again."""
    with pytest.raises(WrongUse):
        replace(folder_desk.address, host="x")
