"""The checksums are those of hashlib."""

from __future__ import annotations

import hashlib

import pytest

from tracker.storage.sums import blake2b, sha256_of


@pytest.mark.parametrize("data", [b"", b"Night ferry", bytes(range(256)) * 300])
def test_they_are_those_of_hashlib(data: bytes) -> None:
    assert sha256_of(data) == hashlib.sha256(data).hexdigest()
    expected = hashlib.blake2b(data, digest_size=16).hexdigest()
    assert blake2b(data, digest_size=16).hexdigest() == expected
