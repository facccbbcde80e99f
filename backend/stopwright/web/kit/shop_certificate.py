"""What the program knows of its certificate while it serves; made or read by `certificate.py`."""

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path


@dataclass(frozen=True, slots=True)
class ShopCertificate:
    """Where the server's certificate and key lie, and the authority's certificate as phones install it (DER)."""

    certificate: Path
    key: Path
    authority: bytes

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the authority's certificate, in pairs, to be compared on bench and phone."""
        return ":".join(f"{byte:02X}" for byte in sha256(self.authority).digest())
