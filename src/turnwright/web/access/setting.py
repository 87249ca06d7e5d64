"""How the pages answer: on which address, under which names, to whom. What is not safe does not start.

==========  =====================================================================
code        what is wrong
==========  =====================================================================
``ACC-10``  an address, a name, a header or a proxy that is none
``ACC-11``  others could reach the pages, and nothing says who may come in
``ACC-12``  two ways of coming in at once, or one that is told by halves
``ACC-13``  passwords would cross the network for everybody to read
``ACC-14``  it is not said under which names the pages are asked for
``ACC-15``  a certificate that cannot be used
==========  =====================================================================
"""

from __future__ import annotations

import re
import ssl
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network

from msgspec import Struct

from turnwright.errors import InputError
from turnwright.web.access.passwords import PasswordFile, hasher

LOOPBACK = "127.0.0.1"
LOCAL_NAMES = frozenset((LOOPBACK, "localhost"))
NOT_OF_A_PROXY = frozenset(
    ("authorization", "cookie", "host", "origin", "referer", "user-agent", "accept", "content-type", "from")
)
"""Headers that every browser can send as it likes, and that no proxy takes out."""
_NAME = re.compile(r"(?=.{1,253}$)[a-z0-9]([a-z0-9-]{0,62})(\.[a-z0-9]([a-z0-9-]{0,62}))*")
_HEADER = re.compile(r"[A-Za-z][A-Za-z0-9-]{0,63}")

Network = IPv4Network | IPv6Network


class Told(Struct, frozen=True, kw_only=True):
    """What `serve` was told.

    host          address to listen on
    names         names under which browsers ask for the pages
    passwords     file of names and passwords
    proxy_header  header in which a proxy names who asks
    proxies       addresses or networks that proxy asks from
    certificate   file of the certificate, and private_key of its key
    behind_tls    something before the pages encrypts
    """

    host: str = LOOPBACK
    names: tuple[str, ...] = ()
    passwords: str | None = None
    proxy_header: str | None = None
    proxies: tuple[str, ...] = ()
    certificate: str | None = None
    private_key: str | None = None
    behind_tls: bool = False


class Setting(Struct, frozen=True, kw_only=True):
    """How the pages answer; as it stands, to this machine only and without a question.

    hosts    names under which they are asked for
    scheme   what a browser writes before the name
    """

    host: str = LOOPBACK
    hosts: frozenset[str] = LOCAL_NAMES
    scheme: str = "http"
    passwords: PasswordFile | None = None
    proxy_header: str = ""
    proxies: tuple[Network, ...] = ()
    certificate: str | None = None
    private_key: str | None = None

    @property
    def is_local(self) -> bool:
        """Whether nobody has to say who they are."""
        return self.passwords is None and not self.proxy_header

    @property
    def shown_host(self) -> str:
        """The name that an address of the pages is written with."""
        name = self.host if self.host in self.hosts else min(self.hosts)
        return f"[{name}]" if ":" in name else name


def setting_of(told: Told) -> Setting:
    """Return how the pages answer.

    Raises:
        InputError: ACC-10 to ACC-15, and those of the password file.
        MissingExtra: ACC-05.

    Example:
        >>> setting_of(Told()).is_local, sorted(setting_of(Told()).hosts)
        (True, ['127.0.0.1', 'localhost'])
    """
    address = _address(told.host)
    names = tuple(_named(name) for name in told.names)
    _refuse_halves(told)
    others = not address.is_loopback or any(name not in LOCAL_NAMES for name in names)
    if others and told.passwords is None and told.proxy_header is None:
        raise _nobody_is_asked(address.is_loopback)
    if told.passwords is not None:
        _refuse_plain(told, others)
        hasher()
    _check_certificate(told)
    return Setting(
        host=str(address),
        hosts=_hosts(address, names),
        scheme="https" if told.certificate or told.behind_tls else "http",
        passwords=None if told.passwords is None else _passwords(told.passwords),
        proxy_header="" if told.proxy_header is None else _header(told.proxy_header),
        proxies=_proxies(told, address.is_loopback),
        certificate=told.certificate,
        private_key=told.private_key,
    )


def _address(text: str) -> IPv4Address | IPv6Address:
    try:
        return ip_address(LOOPBACK if text == "localhost" else text)
    except ValueError:
        fix = "Write one of this machine, as 192.0.2.7; 0.0.0.0 is every one."
        raise InputError("ACC-10", "--host", f"'{text}' is no address.", fix) from None


def _named(text: str) -> str:
    """Return a name as browsers send it: in small letters, an address in its shortest form."""
    name = text.strip("[]").casefold()
    try:
        return str(ip_address(name))
    except ValueError:
        if _NAME.fullmatch(name):
            return name
    fix = "Write it without http:// and without a port, as pages.example."
    raise InputError("ACC-10", "--name", f"'{text}' is no name of a machine.", fix)


def _refuse_halves(told: Told) -> None:
    if told.passwords is not None and told.proxy_header is not None:
        fix = "Keep --passwords, or --proxy-header."
        raise InputError("ACC-12", "turnwright serve", "two ways of coming in are named.", fix)
    if told.proxies and told.proxy_header is None:
        fix = "Name the header in which it says who asks: --proxy-header."
        raise InputError("ACC-12", "--proxy", "a proxy alone says nobody's name.", fix)
    if (told.certificate is None) != (told.private_key is None):
        fix = "Give both --certificate and --private-key."
        raise InputError("ACC-12", "--certificate", "the certificate or its key is missing.", fix)


def _nobody_is_asked(is_loopback: bool) -> InputError:
    where = "--name" if is_loopback else "--host"
    what = "others could reach the pages, and nothing says who may come in."
    fix = (
        "Give --passwords FILE (made with 'turnwright password FILE NAME'), or --proxy-header NAME where a proxy"
        " says who asks; or leave it out to serve this machine only."
    )
    return InputError("ACC-11", where, what, fix)


def _refuse_plain(told: Told, others: bool) -> None:
    if others and told.certificate is None and not told.behind_tls:
        what = "passwords would cross the network for everybody to read."
        fix = "Give --certificate and --private-key; or --behind-tls, where something before the pages encrypts."
        raise InputError("ACC-13", "--passwords", what, fix)


def _passwords(path: str) -> PasswordFile:
    found = PasswordFile(path)
    if not len(found.current()):
        raise InputError("ACC-12", path, "nobody is in it.", "Add somebody: 'turnwright password FILE NAME'.")
    return found


def _header(text: str) -> str:
    if _HEADER.fullmatch(text) and text.casefold() not in NOT_OF_A_PROXY:
        return text.casefold()
    fix = (
        "Name one that the proxy sets on every request, and takes out where a browser sent it: X-Remote-User."
    )
    raise InputError("ACC-10", "--proxy-header", f"'{text}' cannot say who asks.", fix)


def _proxies(told: Told, is_loopback: bool) -> tuple[Network, ...]:
    if told.proxy_header is None:
        return ()
    if not told.proxies and not is_loopback:
        what = "anybody could write that header."
        fix = "Name the address the proxy asks from: --proxy 192.0.2.10."
        raise InputError("ACC-12", "--proxy-header", what, fix)
    try:
        return tuple(ip_network(each) for each in told.proxies or ("127.0.0.0/8", "::1"))
    except ValueError as error:
        fix = "Write 192.0.2.10, or 192.0.2.0/28."
        raise InputError("ACC-10", "--proxy", f"{error}.", fix) from None


def _hosts(address: IPv4Address | IPv6Address, names: tuple[str, ...]) -> frozenset[str]:
    if names:
        return frozenset(names)
    if address.is_unspecified:
        what = f"{address} is every address of this machine, and none that a browser asks for."
        raise InputError("ACC-14", "--host", what, "Say what browsers ask for: --name pages.example.")
    return LOCAL_NAMES if str(address) == LOOPBACK else frozenset((str(address),))


def _check_certificate(told: Told) -> None:
    if told.certificate is None or told.private_key is None:
        return
    try:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(told.certificate, told.private_key, password=lambda: b"")
    except (OSError, ValueError) as error:
        why = error.strerror or error.args[-1] if isinstance(error, OSError) else error
        fix = "Give the certificate with its chain, and its key without a password, both as PEM."
        raise InputError("ACC-15", "--certificate", f"cannot be used: {why}.", fix) from None
