"""The shop's own certificate: an authority made once, which phones install, and a server certificate made by it."""

import ipaddress
import os
from collections.abc import Collection
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from stopwright.errors import StopwrightError
from stopwright.web.kit.shop_certificate import ShopCertificate

AUTHORITY_LASTS = timedelta(days=3650)
SERVER_LASTS = timedelta(days=390)
"""Phones refuse server certificates that last much longer than a year."""
A_DAY = timedelta(days=1)
"""The clock of a phone may be behind."""
AUTHORITY_SINCE = datetime(2000, 1, 1, tzinfo=UTC)
"""From when an authority holds: made while the clock was ahead, it still holds once the clock is corrected."""
RENEWED_BEFORE = timedelta(days=30)
_PRIVATE = ("127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16")


def shop_certificate(folder: Path, hosts: Collection[str], now: datetime) -> ShopCertificate:
    """The certificate for these names and addresses, made in the folder if need be; keys can be read by us only.

    The authority stays, so that what phones have installed goes on holding when the address changes. It may only
    vouch for the names given when it was made, for names ending in .local, and for addresses of private networks.
    Raises StopwrightError when the folder cannot be written to.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        authority, authority_key = _authority(folder, hosts, now)
        certificate, key = folder / "server.pem", folder / "server-key.pem"
        if not _still_good(certificate, key, authority, hosts, now):
            _make_server(certificate, key, authority, authority_key, hosts, now)
        return ShopCertificate(certificate, key, authority.public_bytes(serialization.Encoding.DER))
    except (OSError, ValueError) as error:
        raise StopwrightError(
            f"the shop's certificate cannot be made or read ({error})",
            str(folder),
            "move that folder away, start again",
        ) from error


def _authority(
    folder: Path, hosts: Collection[str], now: datetime
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    file, key_file = folder / "authority.pem", folder / "authority-key.pem"
    if file.exists() and key_file.exists():
        made, key = x509.load_pem_x509_certificate(file.read_bytes()), _read_key(key_file)
        if now < made.not_valid_after_utc - SERVER_LASTS and not _outside(hosts, made):
            return made, key
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"stopwright {now:%Y-%m-%d}")])
    made = (
        _begun(name, name, key.public_key(), min(now, AUTHORITY_SINCE), now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(_only_here(hosts), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _write(key_file, _pem(key))
    _write(file, made.public_bytes(serialization.Encoding.PEM))
    return made, key


def _make_server(
    file: Path,
    key_file: Path,
    authority: x509.Certificate,
    authority_key: ec.EllipticCurvePrivateKey,
    hosts: Collection[str],
    now: datetime,
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "stopwright at the bench")])
    signed_by = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority_key.public_key())
    made = (
        _begun(name, authority.subject, key.public_key(), now - A_DAY, now + SERVER_LASTS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(_general(hosts)), critical=False)
        .add_extension(signed_by, critical=False)
        .sign(authority_key, hashes.SHA256())
    )
    _write(key_file, _pem(key))
    _write(file, made.public_bytes(serialization.Encoding.PEM))


def _still_good(file: Path, key_file: Path, authority: x509.Certificate, hosts: Collection[str], now: datetime) -> bool:
    if not (file.exists() and key_file.exists()):
        return False
    with suppress(ValueError, TypeError, InvalidSignature):
        made = x509.load_pem_x509_certificate(file.read_bytes())
        made.verify_directly_issued_by(authority)
        named = made.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        in_time = made.not_valid_before_utc <= now < made.not_valid_after_utc - RENEWED_BEFORE
        return in_time and set(named) == set(_general(hosts)) and made.public_key() == _read_key(key_file).public_key()
    return False


def _begun(
    name: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePublicKey, since: datetime, until: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(since)
        .not_valid_after(until)
    )


def _usage(signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        encipher_only=False,
        decipher_only=False,
    )


def _only_here(hosts: Collection[str]) -> x509.NameConstraints:
    names = [name.value for name in _general(hosts) if isinstance(name, x509.DNSName)]
    networks = [ipaddress.ip_network(one) for one in _PRIVATE]
    networks += [
        ipaddress.ip_network(address)
        for address in map(_address, hosts)
        if isinstance(address, ipaddress.IPv4Address) and not any(address in network for network in networks)
    ]
    domains = sorted({*(name for name in names if not name.endswith(".local")), "local"})
    return x509.NameConstraints([*map(x509.DNSName, domains), *map(x509.IPAddress, networks)], None)


def _outside(hosts: Collection[str], authority: x509.Certificate) -> bool:
    """True when the authority may not vouch for one of the hosts."""
    allowed = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    names = {one.value for one in allowed if isinstance(one, x509.DNSName)}
    networks = [one.value for one in allowed if isinstance(one.value, ipaddress.IPv4Network | ipaddress.IPv6Network)]
    for host in hosts:
        address = _address(host)
        if address is None and not any(host == name or host.endswith(f".{name}") for name in names):
            return True
        if address is not None and not any(address in network for network in networks):
            return True
    return False


def _general(hosts: Collection[str]) -> list[x509.GeneralName]:
    addresses = {host: _address(host) for host in sorted({host.lower() for host in hosts})}
    return [x509.IPAddress(found) if found else x509.DNSName(host) for host, found in addresses.items()]


def _address(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        return None


def _read_key(file: Path) -> ec.EllipticCurvePrivateKey:
    key = serialization.load_pem_private_key(file.read_bytes(), None)
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise ValueError(f"{file.name} holds another kind of key")
    return key


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write(file: Path, content: bytes) -> None:
    """Written whole or not at all, and never readable by others, not even for a moment."""
    part = file.with_name(file.name + ".part")
    part.unlink(missing_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
        out.write(content)
        out.flush()
        os.fsync(out.fileno())
    part.replace(file)
