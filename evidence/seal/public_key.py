"""ECDSA on P-256 with SHA-256: read a public key, name it, check one signature. Nothing else is accepted."""

from dataclasses import dataclass

from evidence import jsondoc
from evidence.errors import InputError

MAX_PEM = 2000  # bytes; a P-256 key needs 178


@dataclass(frozen=True)
class PublicKey:
    """A P-256 public key.

    Attributes:
        id: SHA-256 of ``der``, 64 hexadecimal digits.
        pem: SubjectPublicKeyInfo as PEM with LF, the only spelling that a bag may carry.
        der: the same as DER.
    """

    id: str
    pem: bytes
    der: bytes

    def verifies(self, signature: bytes, data: bytes) -> bool:
        """Whether the signature is one of this key over the data, in strict DER."""
        from cryptography.exceptions import InvalidSignature  # noqa: PLC0415 - 60 ms that most commands never need
        from cryptography.hazmat.primitives import hashes, serialization  # noqa: PLC0415
        from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

        if not is_strict_der(signature):
            return False
        key = serialization.load_der_public_key(self.der)
        assert isinstance(key, ec.EllipticCurvePublicKey)  # noqa: S101 - read_public_key made self.der
        try:
            key.verify(signature, data, ec.ECDSA(hashes.SHA256()))
        except InvalidSignature:
            return False
        return True


def is_strict_der(signature: bytes) -> bool:
    """Whether bytes are two integers in DER, in the only spelling that DER allows."""
    from cryptography.hazmat.primitives.asymmetric import utils  # noqa: PLC0415

    try:
        return utils.encode_dss_signature(*utils.decode_dss_signature(signature)) == signature
    except ValueError:
        return False


def read_public_key(pem: bytes, where: str) -> PublicKey:
    """Read a PEM public key.

    Raises:
        InputError: key-malformed, or key-not-p256 for a key of another algorithm or curve.
    """
    from cryptography.exceptions import UnsupportedAlgorithm  # noqa: PLC0415
    from cryptography.hazmat.primitives import serialization  # noqa: PLC0415
    from cryptography.hazmat.primitives.asymmetric import ec  # noqa: PLC0415

    if len(pem) > MAX_PEM:
        raise InputError.one("key-malformed", where, reason="too-long")
    try:
        key = serialization.load_pem_public_key(pem)
    except (ValueError, UnsupportedAlgorithm) as error:
        raise InputError.one("key-malformed", where, reason="not-a-public-key") from error
    if not isinstance(key, ec.EllipticCurvePublicKey) or key.curve.name != "secp256r1":
        raise InputError.one("key-not-p256", where)
    spki = serialization.PublicFormat.SubjectPublicKeyInfo
    der = key.public_bytes(serialization.Encoding.DER, spki)
    return PublicKey(jsondoc.digest(der), key.public_bytes(serialization.Encoding.PEM, spki), der)
