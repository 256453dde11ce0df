"""The checksums, by the functions that hashlib hands on: itself it loads a large library for other kinds."""

from __future__ import annotations

try:
    from _blake2 import blake2b as blake2b
except ImportError:  # a Python that has it elsewhere
    from hashlib import blake2b as blake2b


def sha256_of(data: bytes) -> str:
    """The SHA-256 (hex) of bytes."""
    from importlib import import_module  # a quick check has no use for it

    for name in ("_sha2", "_sha256", "hashlib"):
        try:
            return str(import_module(name).sha256(data).hexdigest())
        except (ImportError, AttributeError):
            continue
    raise AssertionError("hashlib has it")
