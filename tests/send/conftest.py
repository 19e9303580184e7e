"""The servers the senders' tests talk to. Each kind is started once a session."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parent))

from servers import (
    Account,
    Certificate,
    Process,
    PyFtp,
    Server,
    made_account,
    made_certificate,
    openssh,
    vsftpd,
)

from setpiece.send.desk import DeskAddress, Protocol, Secret


@pytest.fixture
def pyftp(tmp_path: Path) -> Iterator[PyFtp]:
    """pyftpdlib, fresh for each test, so that its quirks can be set."""
    home = tmp_path / "desk"
    home.mkdir()
    with PyFtp(home) as running:
        yield running


@pytest.fixture(scope="session")
def account(need_tool: Callable[[str], str]) -> Iterator[Account]:
    """The account that vsftpd and OpenSSH log in."""
    with made_account(need_tool) as made:
        yield made


@pytest.fixture(scope="session")
def certificate(account: Account) -> Certificate:
    """The certificate that the secure servers show."""
    return made_certificate(account.base)


@pytest.fixture(scope="session")
def plain_vsftpd(
    account: Account, need_tool: Callable[[str], str]
) -> Iterator[tuple[Server, Process]]:
    """vsftpd without TLS."""
    with vsftpd(account, need_tool("vsftpd"), Protocol.FTP) as running:
        yield running


@pytest.fixture(scope="session")
def secure_vsftpd(
    account: Account, certificate: Certificate, need_tool: Callable[[str], str]
) -> Iterator[tuple[Server, Process]]:
    """vsftpd with TLS asked for, which demands one session over both connections."""
    with vsftpd(account, need_tool("vsftpd"), Protocol.FTPS, certificate) as running:
        yield running


@pytest.fixture(scope="session")
def implicit_vsftpd(
    account: Account, certificate: Certificate, need_tool: Callable[[str], str]
) -> Iterator[tuple[Server, Process]]:
    """vsftpd with TLS from the first byte."""
    with vsftpd(account, need_tool("vsftpd"), Protocol.FTPS_IMPLICIT, certificate) as running:
        yield running


@pytest.fixture(scope="session")
def sshd(account: Account, need_tool: Callable[[str], str]) -> Iterator[tuple[Server, Process]]:
    """OpenSSH's server."""
    with openssh(account, need_tool("sshd"), need_tool("ssh-keygen")) as running:
        yield running


@pytest.fixture
def folder_desk(tmp_path: Path) -> Server:
    """A folder of this computer as a desk."""
    place = tmp_path / "desk"
    place.mkdir()
    return Server(DeskAddress(Protocol.FOLDER, path=place), Secret(), place)


KINDS = {
    "pyftpdlib": "pyftp",
    "vsftpd": "plain_vsftpd",
    "vsftpd-tls": "secure_vsftpd",
    "vsftpd-implicit": "implicit_vsftpd",
    "openssh": "sshd",
    "folder": "folder_desk",
}


@pytest.fixture(params=KINDS)
def server(request: pytest.FixtureRequest) -> Server:
    """Each kind of server in turn."""
    return _server(request, KINDS[request.param])


@pytest.fixture(params=["pyftpdlib", "vsftpd", "openssh"])
def linked(request: pytest.FixtureRequest) -> Server:
    """Each kind of server that a bad link can be put before."""
    return _server(request, KINDS[request.param])


def _server(request: pytest.FixtureRequest, fixture: str) -> Server:
    made = request.getfixturevalue(fixture)
    if isinstance(made, PyFtp):
        return made.server
    return made[0] if isinstance(made, tuple) else made


@pytest.fixture
def folder(request: pytest.FixtureRequest) -> str:
    """A folder of this test's own at the desk."""
    name = f"{request.path.stem}-{request.node.name}".replace("test_", "")
    return "".join(c if c.isalnum() else "-" for c in name)[:120]
