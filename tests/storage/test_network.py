"""Network folders are told by the table of mounts (its form: proc(5) and fstab(5), Linux manual)."""

from __future__ import annotations

from pathlib import Path

import pytest

from tracker.storage import network
from tracker.storage.network import network_among, network_of

MOUNTS = """\
/dev/sda1 / ext4 rw,relatime 0 0
proc /proc proc rw 0 0
server:/home /home nfs4 rw,vers=4.2 0 0
/dev/sdb1 /home/knitter/own ext4 rw 0 0
//office/wool /mnt/wool\\040basket cifs rw 0 0
me@host: /home/knitter/far fuse.sshfs rw 0 0
share /srv/disk 9p rw 0 0
/dev/sdc1 /srv/disk xfs rw 0 0
torn
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/var/basket.db", None),
        ("/home/knitter/basket.db", "nfs4"),
        ("/home", "nfs4"),
        ("/homeless/basket.db", None),
        ("/home/knitter/own/basket.db", None),
        ("/home/knitter/far/basket.db", "fuse.sshfs"),
        ("/mnt/wool basket/basket.db", "cifs"),
        ("/mnt/wool/basket.db", None),
        ("/srv/disk/basket.db", None),
    ],
)
def test_the_innermost_mount_decides(path: str, kind: str | None) -> None:
    assert network_among(MOUNTS, path) == kind


def test_where_nobody_can_say(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(network, "_MOUNTS", tmp_path / "none")
    assert network_of(tmp_path) is None
    assert network_among("", "/home") is None
