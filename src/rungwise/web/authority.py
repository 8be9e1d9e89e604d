"""The shop's own authority: the certificate that phones install once, and what it signs.

A phone works without signal only over a secure connection, and the machine in the office has no
public name. So the shop signs for itself. What it may sign for is bound in its certificate to
names and addresses inside a building: whoever got hold of its key could not stand in for anybody's
bank.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
import os
import socket
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Self, TypeAlias

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from rungwise.errors import BadInput

Network: TypeAlias = ipaddress.IPv4Network | ipaddress.IPv6Network
Address: TypeAlias = ipaddress.IPv4Address | ipaddress.IPv6Address

INSIDE = tuple(
    ipaddress.ip_network(each)
    for each in (
        "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16",  # RFC 1918, private networks
        "127.0.0.0/8", "::1/128",
        "169.254.0.0/16", "fe80::/10",  # RFC 3927 and RFC 4291, of one link
        "fc00::/7",  # RFC 4193, private networks
    )
)  # fmt: skip
"""The addresses that it may sign for."""

INSIDE_NAMES = ("localhost", "local", "lan", "home.arpa", "internal")
"""The names that it may sign for, with all below them, besides the machine's own."""

LIVES = dt.timedelta(days=3650)
SERVES = dt.timedelta(days=397)
"""Platforms refuse a server's certificate that lives longer than some 400 or 825 days."""

RENEWED = dt.timedelta(days=45)
"""A server's certificate with less left than this is made anew as the server starts."""

KEY, CERTIFICATE = "authority.key", "authority.crt"
SERVER_KEY, SERVER_CERTIFICATE = "server.key", "server.crt"


@dataclass(frozen=True)
class Authority:
    """The authority of one shop, kept in a folder of its own."""

    folder: Path
    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @classmethod
    def of(cls, folder: Path) -> Self:
        """The one that is kept in the folder; made there the first time.

        Raises BadInput where what lies in the folder is no authority, or cannot be written.
        """
        try:
            if not (folder / KEY).exists():
                _make(folder)
            certificate = x509.load_pem_x509_certificate((folder / CERTIFICATE).read_bytes())
            key = serialization.load_pem_private_key((folder / KEY).read_bytes(), None)
        except (OSError, ValueError) as fault:
            raise BadInput(
                what=f"The shop's authority cannot be used ({fault}).",
                file=folder,
                next_step="restore the folder, or delete it: phones then install it once more",
            ) from fault
        if not isinstance(key, ec.EllipticCurvePrivateKey):
            raise BadInput(what="This key is not one of ours.", file=folder / KEY)
        return cls(folder, certificate, key)

    @property
    def der(self) -> bytes:
        """Its certificate, as phones install it."""
        return self.certificate.public_bytes(serialization.Encoding.DER)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of its certificate, in pairs, to be compared by eye."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(" ", 2).upper()

    def server_files(self, names: Iterable[str]) -> tuple[Path, Path]:
        """Certificate and key of a server of these names and addresses.

        Those that lie there serve on, unless they have not long to live or lack a name. Raises
        BadInput for a name that it may not sign for.
        """
        wanted = sorted({*filter(None, names), "localhost", "127.0.0.1"})
        signed = [self._general(name) for name in wanted]
        made = self.folder / SERVER_CERTIFICATE, self.folder / SERVER_KEY
        if not _serves(made[0], self.certificate, signed):
            key = ec.generate_private_key(ec.SECP256R1())
            whole = _pem(self._sign(key, signed)) + _pem(self.certificate)
            _write(made[0], whole)
            _write(made[1], _key_pem(key))
        return made

    def may_sign(self, name: str) -> bool:
        """Whether a name or address is inside what its certificate binds it to."""
        address = _address(name)
        if address is not None:
            return any(address in each for each in INSIDE if each.version == address.version)
        return any(_below(name, each) for each in self._names)

    def _general(self, name: str) -> x509.GeneralName:
        address = _address(name)
        if not self.may_sign(name):
            raise BadInput(
                what="The shop's own authority signs only for this building's network.",
                value=name,
                allowed=", ".join((*self._names, *map(str, INSIDE))),
                next_step="serve a public name behind a proxy that has a certificate for it",
            )
        return x509.DNSName(name.lower()) if address is None else x509.IPAddress(address)

    @property
    def _names(self) -> list[str]:
        bounds = self.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
        permitted = bounds.permitted_subtrees or []
        return [each.value for each in permitted if isinstance(each, x509.DNSName)]

    def _sign(
        self, key: ec.EllipticCurvePrivateKey, names: list[x509.GeneralName]
    ) -> x509.Certificate:
        now = dt.datetime.now(dt.UTC)
        made = _begun("Rungwise server", self.certificate.subject, key, now, SERVES)
        usage = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])
        issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(self.key.public_key())
        return (
            made.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(x509.SubjectAlternativeName(names), critical=False)
            .add_extension(usage, critical=False)
            .add_extension(issuer, critical=False)
            .sign(self.key, hashes.SHA256())
        )


def _make(folder: Path) -> None:
    """A new authority; its key is readable by nobody else."""
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    key = ec.generate_private_key(ec.SECP256R1())
    own = socket.gethostname().lower()
    bounds: list[x509.GeneralName] = [x509.DNSName(name) for name in dict.fromkeys(
        [*INSIDE_NAMES, own]
    )]  # fmt: skip
    bounds += [x509.IPAddress(each) for each in INSIDE]
    name = f"Rungwise on {own}"
    begun = _begun(name, _named(name), key, dt.datetime.now(dt.UTC), LIVES)
    signs = x509.KeyUsage(
        key_cert_sign=True, crl_sign=True, digital_signature=False, content_commitment=False,
        key_encipherment=False, data_encipherment=False, key_agreement=False,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip
    certificate = (
        begun.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(signs, critical=True)
        .add_extension(x509.NameConstraints(bounds, None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _write(folder / CERTIFICATE, _pem(certificate))
    _write(folder / KEY, _key_pem(key))  # last: where it lies, the other does


def _begun(
    name: str,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    now: dt.datetime,
    lives: dt.timedelta,
) -> x509.CertificateBuilder:
    """What every certificate has; its clock may stand a day behind the phone's."""
    return (
        x509.CertificateBuilder()
        .subject_name(_named(name))
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - dt.timedelta(days=1))
        .not_valid_after(now + lives - dt.timedelta(days=1))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _named(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name[:64])])


def _serves(path: Path, issuer: x509.Certificate, names: list[x509.GeneralName]) -> bool:
    try:
        held = x509.load_pem_x509_certificate(path.read_bytes())
        held.verify_directly_issued_by(issuer)
    except (OSError, ValueError, TypeError, InvalidSignature):
        return False  # whatever is wrong with it, another one is made
    told = held.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    lives = held.not_valid_after_utc - dt.datetime.now(dt.UTC)
    return lives > RENEWED and all(each in list(told) for each in names)


def _below(name: str, suffix: str) -> bool:
    return name.lower() == suffix or name.lower().endswith(f".{suffix}")


def _address(name: str) -> Address | None:
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        return None


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def _key_pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write(path: Path, content: bytes) -> None:
    """A file of the owner's alone, whole or not at all."""
    part = path.with_suffix(".part")
    part.unlink(missing_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(content)
    part.replace(path)
