"""Who brought the vehicle: words that stand beside the journal, so that they can be erased."""

import hashlib
import secrets

import msgspec

from reassembly.record.trouble import Refused

_encode = msgspec.json.Encoder(order="deterministic").encode


class Customer(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """Personal details, as the customer gave them."""

    name: str = ""
    phone: str = ""
    address: str = ""
    email: str = ""


class Detail(msgspec.Struct, frozen=True):
    """The words as they are kept: deterministic JSON, and the salt that keeps their digest from being guessed."""

    salt: str
    body: bytes

    @classmethod
    def of(cls, customer: Customer, salt: str = "") -> "Detail":
        try:
            return cls(salt or secrets.token_hex(16), _encode(customer))
        except UnicodeEncodeError:
            raise Refused("There is a character in it that is no text: type that word again.") from None

    @property
    def digest(self) -> str:
        """SHA-256 of salt and words, in hex: what the entry says of them."""
        return hashlib.sha256(self.salt.encode() + self.body).hexdigest()

    @property
    def customer(self) -> Customer:
        return read(self.body)


def read(body: bytes) -> Customer:
    """Raises msgspec.ValidationError with the field that is wrong."""
    return _decode(body)


_decode = msgspec.json.Decoder(Customer).decode
