"""Deliveries over links that break: delivered once, whole, with nothing left behind."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import pytest
from link_proxy import Fault, LinkProxy
from servers import Process, PyFtp, Server

from setpiece.errors import LinkLost, OutcomeUnknown, TryAgain
from setpiece.send.desk import Protocol
from setpiece.send.sender import Receipt, deliver_file, settle, temporary_name_for

pytestmark = pytest.mark.network

RANDOM_START = 2027
PICTURE = random.Random(RANDOM_START).randbytes(400_003)
NAME = "kick-off.jpg"

COMMANDS = [
    b"USER",
    b"PASS",
    b"TYPE",
    b"SIZE",
    b"PWD",
    b"CWD",
    b"MKD",
    b"EPSV",
    b"STOR",
    b"RNFR",
    b"RNTO",
    b"MDTM",
]


def proxied(server: Server, **settings) -> LinkProxy:
    """A proxy before the server."""
    port = server.address.port or 0
    return LinkProxy(port, ftp=server.address.protocol is Protocol.FTP, **settings)


def deliver(
    server: Server,
    folder: str,
    data: bytes = PICTURE,
    name: str = NAME,
    tries: int = 6,
    timeout_s: float = 1.0,
    failed: Callable[[TryAgain], None] = lambda _error: None,
) -> Receipt:
    """Tries as the outbox does: settle or go on after an earlier try, give up after `tries`."""
    for number in range(tries):
        try:
            with server.open(timeout_s=timeout_s) as sender:
                return deliver_file(
                    sender,
                    data,
                    folder,
                    name,
                    temporary_name=server.address.temporary_name,
                    progress=lambda _bytes: None,
                    stopped=lambda: False,
                    resume_from_partial=number > 0,
                )
        except TryAgain as error:
            failed(error)
    raise AssertionError("not delivered")


@pytest.fixture(params=["pyftpdlib", "vsftpd"])
def ftp_server(request: pytest.FixtureRequest) -> Server:
    """Both FTP servers."""
    if request.param == "pyftpdlib":
        return request.getfixturevalue("pyftp").server
    return request.getfixturevalue("plain_vsftpd")[0]


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("moment", ["at_command", "lost_reply_to"])
def test_ftp_link_lost_at_each_phase(
    ftp_server: Server, folder: str, command: bytes, moment: str
) -> None:
    """Whichever command or reply the link takes with it, one whole file is there in the end."""
    with proxied(ftp_server) as proxy:
        fault = Fault(**{moment: command})
        proxy.arm(fault)
        receipt = deliver(ftp_server.through(proxy.port), folder)
        assert proxy.struck == [fault]
    assert ftp_server.files(folder) == {NAME: PICTURE}
    assert receipt.size == len(PICTURE)


@pytest.mark.parametrize("temporary_name", [True, False])
@pytest.mark.parametrize("sent", [0, 1, 70_000, 250_001, len(PICTURE) - 1])
def test_ftp_data_cut_in_the_middle(
    ftp_server: Server, folder: str, sent: int, temporary_name: bool
) -> None:
    """A data connection cut after some bytes is gone on with, not begun again."""
    server = replace(ftp_server, address=replace(ftp_server.address, temporary_name=temporary_name))
    with proxied(server) as proxy:
        proxy.arm(Fault(channel="data", after_bytes=sent))
        deliver(server.through(proxy.port), folder)
        assert len(proxy.struck) == 1
    assert server.files(folder) == {NAME: PICTURE}


def test_resume_sends_only_the_rest(ftp_server: Server, folder: str) -> None:
    """After a cut the receipt tells from which byte it went on, and that byte had arrived."""
    with proxied(ftp_server, bytes_s=4_000_000) as proxy:
        proxy.arm(Fault(channel="data", after_bytes=250_000))
        receipt = deliver(ftp_server.through(proxy.port), folder)
    assert 0 < receipt.resumed_from <= 250_000
    assert ftp_server.files(folder) == {NAME: PICTURE}


@pytest.mark.parametrize(
    "fault",
    [
        Fault("stall", at_command=b"SIZE"),
        Fault("stall", at_command=b"STOR"),
        Fault("stall", channel="data", after_bytes=100_000),
        Fault("stall", lost_reply_to=b"STOR"),
        Fault("stall", lost_reply_to=b"RNTO"),
    ],
    ids=["size", "store", "data", "stored", "renamed"],
)
def test_ftp_link_falls_silent(ftp_server: Server, folder: str, fault: Fault) -> None:
    """A link that says nothing more is given up after the timeout, and the next one delivers,
    while the server still believes in the first."""
    with proxied(ftp_server) as proxy:
        proxy.arm(fault)
        deliver(ftp_server.through(proxy.port), folder, timeout_s=0.4)
        assert proxy.struck == [fault]
        assert ftp_server.files(folder) == {NAME: PICTURE}


@pytest.mark.parametrize("how", ["reset", "stall"])
@pytest.mark.parametrize("part", [0.0, 0.3, 0.9, 1.0])
def test_sftp_link_breaks(sshd: tuple[Server, Process], folder: str, how: str, part: float) -> None:
    """An SFTP link that is cut or falls silent at any part ends in one whole file."""
    server = sshd[0]
    sent = int(3500 + part * len(PICTURE))  # the handshake takes about the first 3,500 bytes
    with proxied(server) as proxy:
        proxy.arm(Fault(how, after_bytes=sent))
        deliver(server.through(proxy.port), folder, timeout_s=0.6)
        assert len(proxy.struck) == 1
        proxy.mend()
    assert server.files(folder) == {NAME: PICTURE}


@pytest.mark.parametrize("sent", range(100, 2500, 300))
def test_secure_control_connection_breaks(
    secure_vsftpd: tuple[Server, Process], folder: str, sent: int
) -> None:
    """A control connection with TLS that is cut anywhere ends in one whole file."""
    server = secure_vsftpd[0]
    with LinkProxy(server.address.port or 0, ftp=False) as proxy:
        proxy.arm(Fault(after_bytes=sent))
        deliver(server.through(proxy.port), folder)
    assert server.files(folder) == {NAME: PICTURE}


def test_loss_before_the_last_byte_is_not_unknown(pyftp: PyFtp, folder: str) -> None:
    """A link lost in the middle is LinkLost, one lost after the last byte is OutcomeUnknown."""
    seen: list[TryAgain] = []
    with proxied(pyftp.server) as proxy:
        server = pyftp.server.through(proxy.port)
        proxy.arm(Fault("stall", channel="data", after_bytes=5_000))
        deliver(server, folder, PICTURE * 4, failed=seen.append)
        proxy.arm(Fault(lost_reply_to=b"STOR"))
        deliver(server, folder, PICTURE, "b.jpg", failed=seen.append)
        proxy.arm(Fault(lost_reply_to=b"RNTO"))
        deliver(server, folder, PICTURE, "c.jpg", failed=seen.append)
    assert [type(error) for error in seen] == [LinkLost, OutcomeUnknown, OutcomeUnknown]
    assert pyftp.server.files(folder) == {NAME: PICTURE * 4, "b.jpg": PICTURE, "c.jpg": PICTURE}


def test_settling_after_a_lost_answer(ftp_server: Server, folder: str) -> None:
    """Where the rename was done but not answered, asking gives the receipt: nothing is resent."""
    with proxied(ftp_server) as proxy:
        proxy.arm(Fault(lost_reply_to=b"RNTO"))
        with pytest.raises(OutcomeUnknown):
            deliver(ftp_server.through(proxy.port), folder, tries=1, failed=_raise)
        temp = temporary_name_for(PICTURE, NAME)
        with ftp_server.through(proxy.port).open() as sender:
            receipt = settle(sender, folder, NAME, temp, len(PICTURE))
    assert receipt is not None
    assert receipt.size == len(PICTURE)


def _raise(error: TryAgain) -> None:
    raise error


def test_a_slow_link_is_not_a_silent_one(linked: Server, folder: str) -> None:
    """A transfer that takes longer than the timeout arrives as long as bytes move, though no
    block of it is answered within that time."""
    data = PICTURE[:45_000]
    with proxied(linked, bytes_s=20_000) as proxy:
        deliver(linked.through(proxy.port), folder, data, tries=1, failed=_raise)
    assert linked.files(folder) == {NAME: data}


def test_a_far_server(linked: Server, folder: str) -> None:
    """Round trips of 80 ms change nothing in what arrives."""
    with proxied(linked, delay_s=0.04) as proxy:
        deliver(linked.through(proxy.port), folder, tries=1, failed=_raise)
    assert linked.files(folder) == {NAME: PICTURE}


def test_a_dead_link_comes_back(linked: Server, folder: str) -> None:
    """With no link every try ends in TryAgain; with the link back the next one delivers."""
    seen: list[TryAgain] = []
    with proxied(linked) as proxy:
        proxy.down = True

        def failed(error: TryAgain) -> None:
            seen.append(error)
            proxy.down = len(seen) < 2

        deliver(linked.through(proxy.port), folder, failed=failed)
    assert len(seen) == 2
    assert linked.files(folder) == {NAME: PICTURE}


@pytest.mark.parametrize("kind", ["plain_vsftpd", "sshd"])
def test_the_server_is_killed_and_restarted(
    request: pytest.FixtureRequest, folder: str, kind: str
) -> None:
    """A server killed in the middle of an upload and started again gets the file once."""
    server, process = request.getfixturevalue(kind)
    killed: list[int] = []

    def kill_once(sent: int) -> None:
        if not killed:
            killed.append(sent)
            process.kill()

    with proxied(server, bytes_s=3_000_000) as proxy:
        far = server.through(proxy.port)
        with pytest.raises(TryAgain), far.open() as sender:
            deliver_file(
                sender,
                PICTURE,
                folder,
                NAME,
                temporary_name=True,
                progress=kill_once,
                stopped=lambda: False,
                resume_from_partial=False,
            )
        with pytest.raises(TryAgain):
            deliver(far, folder, tries=1, failed=_raise)
        process.start()
        deliver(far, folder)
    assert killed
    assert server.files(folder) == {NAME: PICTURE}


def random_faults(dice: random.Random, ftp: bool, size: int) -> Fault:
    """One fault at a random place; a stalled one costs a timeout, so they are rarer."""
    how = dice.choices(["reset", "stall"], [9, 1])[0]
    if not ftp:
        return Fault(how, after_bytes=dice.randrange(0, size + 6000))
    match dice.randrange(3):
        case 0:
            return Fault(how, channel="data", after_bytes=dice.randrange(0, size))
        case 1:
            return Fault(how, at_command=dice.choice(COMMANDS[2:]))
        case _:
            return Fault(how, lost_reply_to=dice.choice(COMMANDS[2:]))


def run_random_faults(server: Server, folder: str, pictures: int, seed: int) -> None:
    """Delivers so many pictures, about every second one over a link with a random fault."""
    dice = random.Random(seed)
    sent: dict[str, bytes] = {}
    with proxied(server) as proxy:
        for number in range(pictures):
            data = dice.randbytes(dice.randrange(1, 300_000))
            name = f"{number:04}.jpg"
            if dice.random() < 0.5:
                proxy.arm(random_faults(dice, server.address.protocol is Protocol.FTP, len(data)))
            receipt = deliver(
                server.through(proxy.port), folder, data, name, tries=8, timeout_s=0.6
            )
            assert receipt.size == len(data)
            sent[name] = data
    assert server.files(folder) == sent


def test_random_faults(linked: Server, folder: str) -> None:
    """Pictures over a link that breaks at random all arrive once, whole, and alone."""
    run_random_faults(linked, folder, 16, RANDOM_START)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2))
def test_many_random_faults(linked: Server, folder: str, seed: int) -> None:
    """The same, five hundred pictures for each random start."""
    run_random_faults(linked, folder, 500, seed)
