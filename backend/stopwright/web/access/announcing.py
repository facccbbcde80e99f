"""A name on the shop's network, so that labels and codes outlive a changed address (multicast DNS, RFC 6762)."""

import re
from collections.abc import Callable, Sequence
from ipaddress import ip_address

from stopwright.errors import StopwrightError

SERVICE = "_http._tcp.local."


def announce(name: str, address: str, port: int, interfaces: Sequence[str] = ()) -> Callable[[], None]:
    """Answers for `<name>.local` at the address until what is returned is called. Raises StopwrightError.

    It speaks on the network of that address only, or on `interfaces`, given by their addresses.
    """
    from zeroconf import NonUniqueNameException, ServiceInfo, Zeroconf  # for phones only: the bench starts without

    host = host_name(name)
    info = ServiceInfo(
        SERVICE, f"{name}.{SERVICE}", addresses=[ip_address(address).packed], port=port, server=f"{host}."
    )
    try:
        speaking = Zeroconf(interfaces=[*interfaces] or [address])
        try:
            speaking.register_service(info)
        except BaseException:
            speaking.close()
            raise
    except NonUniqueNameException as error:
        raise StopwrightError(
            f"another program on this network is called {host} already", next_step="choose another with --name"
        ) from error
    except Exception as error:  # of many kinds: no network, no multicast, a firewall
        raise StopwrightError(
            f"the name {host} could not be made known ({str(error) or type(error).__name__})",
            next_step="phones find the bench by its address, as long as that stays",
        ) from error
    return speaking.close


def host_name(name: str) -> str:
    """The name as it is called on the network. Raises StopwrightError for what cannot be one.

    >>> host_name("stopwright")
    'stopwright.local'
    """
    if not re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", name):
        raise StopwrightError(
            f"'{name[:80]}' cannot be a name on the network", next_step="use small letters, figures and hyphens"
        )
    return f"{name}.local"
