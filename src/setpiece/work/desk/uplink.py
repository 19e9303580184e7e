"""Which way out: the address this computer would speak to a desk from, without sending a byte."""

from __future__ import annotations

import socket
from contextlib import closing

from setpiece.send.desk import DeskAddress, Protocol


def way_out(address: DeskAddress) -> str:
    """The local address of the route to a desk; it changes when another uplink takes over.

    Empty for a folder, where there is no route, and where the host's name is not known. A UDP
    socket is only told where it would send, which asks the system's routing table (BSD sockets,
    Windows too) and puts nothing on the link.
    """
    if address.protocol is Protocol.FOLDER:
        return ""
    try:
        family, kind, number, _, place = socket.getaddrinfo(
            address.host, address.port_used, type=socket.SOCK_DGRAM
        )[0]
        with closing(socket.socket(family, kind, number)) as probe:
            probe.connect(place)
            return str(probe.getsockname()[0])
    except OSError:
        return ""
