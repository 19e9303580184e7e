"""The rehearsal: what a desk allows, told step by step."""

from __future__ import annotations

from dataclasses import replace

import pytest
from link_proxy import LinkProxy, closed_port
from servers import Process, PyFtp, Server

from setpiece.send.desk import Secret
from setpiece.send.rehearsal import Outcome, Step, StepName, rehearse
from setpiece.send.trouble import FirstContact

pytestmark = pytest.mark.network

GOOD, FAILED, NOT_TRIED = Outcome.GOOD, Outcome.FAILED, Outcome.NOT_TRIED


def run(server: Server, **changes) -> dict[StepName, Step]:
    """The steps by name."""
    steps = rehearse(
        replace(server.address, **changes), server.secret, known_hosts=server.known_hosts
    )
    assert [step.name for step in steps] == list(StepName)
    for step in steps:
        assert "\n" not in step.sentence
    return {step.name: step for step in steps}


def outcomes(steps: dict[StepName, Step]) -> list[Outcome]:
    """How each step went, in order."""
    return [step.outcome for step in steps.values()]


def test_a_desk_that_allows_everything(server: Server) -> None:
    """Every step is good, twice in a row, and nothing is left at the desk."""
    before = server.files()
    for _ in range(2):
        steps = run(server)
        assert outcomes(steps) == [GOOD] * 7, steps
    assert server.files() == before


def test_a_folder_that_is_made(server: Server, folder: str) -> None:
    """A desk's folder that is missing is made while writing; listing it is done without."""
    steps = run(server, folder=folder)
    assert steps[StepName.LIST].outcome is Outcome.WITHOUT
    assert outcomes(steps)[3:] == [GOOD] * 4
    assert (server.home / folder).is_dir()


def test_nobody_answers(pyftp: PyFtp) -> None:
    """When connecting fails the rest is not tried, and says why."""
    steps = run(pyftp.server, port=closed_port(), timeout_s=1.0)
    assert outcomes(steps) == [FAILED] + [NOT_TRIED] * 6
    assert "nothing answers" in steps[StepName.CONNECT].sentence
    assert "connect" in steps[StepName.DELETE].sentence


def test_a_wrong_password(pyftp: PyFtp) -> None:
    """A wrong password is a step of its own, told from a server that cannot be reached."""
    steps = run(replace(pyftp.server, secret=Secret("not-the-password")))
    assert outcomes(steps) == [GOOD, FAILED] + [NOT_TRIED] * 5
    assert "does not accept this user" in steps[StepName.LOG_IN].sentence
    assert "not-the-password" not in str(steps)


@pytest.mark.parametrize("kind", ["sshd", "secure_vsftpd"])
def test_a_server_nobody_confirmed(request: pytest.FixtureRequest, kind: str) -> None:
    """First contact stops at connecting, with the fingerprint for the question."""
    server: Server = request.getfixturevalue(kind)[0]
    steps = run(replace(server, known_hosts=()), fingerprint="")
    assert outcomes(steps) == [FAILED] + [NOT_TRIED] * 6
    trouble = steps[StepName.CONNECT].trouble
    assert isinstance(trouble, FirstContact)
    assert trouble.fingerprint in steps[StepName.CONNECT].sentence


def test_blocked_data_connections(pyftp: PyFtp) -> None:
    """Blocked data ports show at the first step that needs one."""
    with LinkProxy(pyftp.server.address.port or 0, ftp=True) as proxy:
        proxy.data_blocked = True
        steps = run(pyftp.server.through(proxy.port))
    assert steps[StepName.LIST].outcome is FAILED
    assert "data connection is blocked" in steps[StepName.LIST].sentence


def test_writing_refused(pyftp: PyFtp) -> None:
    """A desk that refuses to write says so with its own words."""
    pyftp.handler.replies["STOR"] = "553 Only pictures here."
    steps = run(pyftp.server)
    assert outcomes(steps) == [GOOD, GOOD, GOOD, FAILED] + [NOT_TRIED] * 3
    assert "Only pictures here" in steps[StepName.WRITE].sentence


def test_sizes_hidden(pyftp: PyFtp) -> None:
    """A desk that shows nothing of what was sent cannot prove a delivery."""
    pyftp.handler.replies["SIZE"] = "550 No."
    steps = run(pyftp.server)
    assert steps[StepName.SIZE].outcome is FAILED
    assert "could not be proven" in steps[StepName.SIZE].sentence


def test_renaming_refused(pyftp: PyFtp) -> None:
    """A desk that forbids renaming is told how to be set, and its test file is still deleted."""
    pyftp.handler.replies["RNFR"] = "550 No."
    steps = run(pyftp.server)
    assert steps[StepName.RENAME].outcome is FAILED
    assert "Turn temporary names off" in steps[StepName.RENAME].sentence
    assert steps[StepName.DELETE].outcome is GOOD
    assert pyftp.server.files() == {}
    assert run(pyftp.server, temporary_name=False)[StepName.RENAME].outcome is NOT_TRIED


def test_deleting_refused(pyftp: PyFtp) -> None:
    """A desk that forbids deleting can be delivered to; the test file stays and is named."""
    pyftp.handler.replies["DELE"] = "550 No."
    steps = run(pyftp.server)
    assert steps[StepName.DELETE].outcome is Outcome.WITHOUT
    assert "setpiece-test.txt" in steps[StepName.DELETE].sentence
    assert list(pyftp.server.files()) == ["setpiece-test.txt"]


def test_plain_ftp_is_told_as_such(pyftp: PyFtp, secure_vsftpd: tuple[Server, Process]) -> None:
    """A desk without encryption says that even the password goes in clear."""
    assert "nothing is encrypted" in run(pyftp.server)[StepName.CONNECT].sentence
    assert "certificate holds" in run(secure_vsftpd[0])[StepName.CONNECT].sentence
