"""How fast pictures leave: 1.5 MB renditions, against known clients as floors in the same run.

"put" sends the bytes and nothing more; "steps" is what a delivery does: temporary name, size, a
question whether the name is free, rename, size, time. "fewer" leaves that question out, as a
client that may replace a file. Lines without a target are for comparison. Needs root (the servers
log in an account made for it), vsftpd, OpenSSH and lftp. Rounds alternate; each side counts with
its quickest, the one that other work on the computer disturbed least.

Run: python benchmarks/send_throughput.py [--quick]
"""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from time import perf_counter

sys.path.append(str(Path(__file__).resolve().parent.parent / "tests" / "send"))

from link_proxy import LinkProxy
from servers import Account, Server, made_account, openssh, vsftpd

from setpiece.send.desk import Protocol
from setpiece.send.sender import deliver_file

SIZE_BYTES = 1_500_000
ROUND_TRIP_S = 0.08
TIMEOUT_S = 60.0

Run = Callable[[list[Path], str], None]
"""Delivers these files into a folder of the desk."""


def tool(name: str) -> str:
    """The path of a program, or the end of the benchmark."""
    found = shutil.which(name) or shutil.which(name, path="/usr/sbin:/sbin")
    if found is None:
        raise SystemExit(f"{name} is not installed: nothing to measure against")
    return found


def our_puts(server: Server) -> Run:
    """Setpiece: the bytes only."""

    def run(files: list[Path], folder: str) -> None:
        with server.open(timeout_s=TIMEOUT_S) as sender:
            sender.make_folder(folder)
            for file in files:
                sender.upload(
                    file.read_bytes(),
                    f"{folder}/{file.name}",
                    resume_from=0,
                    progress=lambda _bytes: None,
                    stopped=lambda: False,
                )

    return run


def our_steps(server: Server) -> Run:
    """Setpiece: every safe step, one connection."""

    def run(files: list[Path], folder: str) -> None:
        with server.open(timeout_s=TIMEOUT_S) as sender:
            for file in files:
                deliver_file(
                    sender,
                    file.read_bytes(),
                    folder,
                    file.name,
                    temporary_name=True,
                    progress=lambda _bytes: None,
                    stopped=lambda: False,
                    resume_from_partial=False,
                )

    return run


def lftp(server: Server, *, steps: bool, question: bool = True) -> Run:
    """lftp: a put for each file, or the same steps as ours."""

    def lines(files: list[Path], folder: str) -> Iterator[str]:
        yield "set cmd:fail-exit yes; set ftp:ssl-allow no; set net:max-retries 1"
        host = f"-p {server.address.port} 127.0.0.1"
        yield f"open -u {server.address.user},{server.secret.password} {host}"
        yield f"mkdir {folder}; cd {folder}"
        for file in files:
            if steps:
                yield f"put {file} -o {file.stem}.part; quote SIZE {file.stem}.part"
                if question:
                    yield f"quote SIZE {file.name} || echo free"
                yield f"mv {file.stem}.part {file.name}"
                yield f"quote SIZE {file.name}; quote MDTM {file.name}"
            else:
                yield f"put {file}"

    def run(files: list[Path], folder: str) -> None:
        script = "\n".join(lines(files, folder))
        subprocess.run([tool("lftp")], input=script, text=True, check=True, capture_output=True)

    return run


def sftp(server: Server, *, steps: bool, question: bool = True) -> Run:
    """OpenSSH's client: a put for each file, or the same steps as ours."""

    def lines(files: list[Path], folder: str) -> Iterator[str]:
        yield f"mkdir {folder}"
        yield f"cd {folder}"
        for file in files:
            if steps:
                yield f"put {file} {file.stem}.part"
                yield f"ls -l {file.stem}.part"
                if question:
                    yield f"-ls -l {file.name}"
                yield f"rename {file.stem}.part {file.name}"
                yield f"ls -l {file.name}"
            else:
                yield f"put {file}"

    def run(files: list[Path], folder: str) -> None:
        address = server.address
        command = [tool("sftp"), "-q", "-P", str(address.port), "-i", str(server.secret.key_file)]
        command += ["-o", "StrictHostKeyChecking=no", "-o", "UserKnownHostsFile=/dev/null"]
        command += ["-b", "-", f"{address.user}@127.0.0.1"]
        script = "\n".join(lines(files, folder)) + "\n"
        subprocess.run(command, input=script, text=True, check=True, capture_output=True)

    return run


def compare(
    title: str,
    target: float | None,
    files: list[Path],
    account: Account,
    mine: Run,
    floor: Run,
    rounds: int,
) -> bool:
    """Runs both in turn, checks what arrived, prints the ratio of rates beside its target."""
    spent: dict[str, list[float]] = {"ours": [], "floor": []}
    for number in range(rounds):
        for who, run in (("ours", mine), ("floor", floor)):
            folder = f"{who}-{number}"
            started = perf_counter()
            run(files, folder)
            spent[who].append(perf_counter() - started)
            place = account.home / folder
            arrived = {p.name: p.stat().st_size for p in place.iterdir()}
            assert arrived == {f.name: SIZE_BYTES for f in files}, "not everything arrived"
            shutil.rmtree(place)
    rate = {who: len(files) * SIZE_BYTES / 1e6 / min(s) for who, s in spent.items()}
    ratio = rate["ours"] / rate["floor"]
    good = target is None or ratio >= target
    verdict = "" if target is None else f"target {target:.1f}  {'met' if good else 'MISSED'}"
    print(
        f"{title:40} {rate['ours']:8.1f} MB/s  floor {rate['floor']:8.1f} MB/s  "
        f"ratio {ratio:5.2f}  {verdict}"
    )
    return good


def main(quick: bool) -> bool:
    """All comparisons; true when every target is met."""
    near_count, near_rounds, far_count, far_rounds = (40, 3, 5, 1) if quick else (200, 9, 40, 2)
    dice = random.Random(1500)
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        near = [folder / f"{number:04}.jpg" for number in range(near_count)]
        for file in near:
            file.write_bytes(dice.randbytes(SIZE_BYTES))
        far = near[:far_count]
        account = stack.enter_context(made_account(tool))
        ftp, _ = stack.enter_context(vsftpd(account, tool("vsftpd"), Protocol.FTP))
        ssh, _ = stack.enter_context(openssh(account, tool("sshd"), tool("ssh-keygen")))
        print(f"{near_count} renditions of 1.5 MB on loopback, {far_count} at 80 ms")
        good: list[bool] = []

        def hold(
            title: str, target: float | None, files: list[Path], mine: Run, floor: Run
        ) -> None:
            rounds = near_rounds if files is near else far_rounds
            good.append(compare(title, target, files, account, mine, floor, rounds))

        ftp_put, ssh_put = lftp(ftp, steps=False), sftp(ssh, steps=False)
        hold("FTP: our put, lftp's put", 0.9, near, our_puts(ftp), ftp_put)
        hold("FTP: our steps, lftp's steps", 0.9, near, our_steps(ftp), lftp(ftp, steps=True))
        hold("FTP: our steps, lftp's put", None, near, our_steps(ftp), ftp_put)
        hold("SFTP: our put, OpenSSH's put", 0.5, near, our_puts(ssh), ssh_put)
        hold("SFTP: our steps, OpenSSH's put", 0.5, near, our_steps(ssh), ssh_put)
        for name, server, client in (("FTP", ftp, lftp), ("SFTP", ssh, sftp)):
            port = server.address.port or 0
            with LinkProxy(port, ftp=name == "FTP", delay_s=ROUND_TRIP_S / 2) as proxy:
                far_server = server.through(proxy.port)
                mine, title = our_steps(far_server), f"{name} at 80 ms: our steps"
                same = client(far_server, steps=True)
                hold(f"{title}, the same steps", 0.9, far, mine, same)
                fewer = client(far_server, steps=True, question=False)
                hold(f"{title}, fewer", None, far, mine, fewer)
    return all(good)


if __name__ == "__main__":
    sys.exit(0 if main("--quick" in sys.argv[1:]) else 1)
