"""Whether a file lies on a network, where two machines may write to it at once."""

from __future__ import annotations

import re
from pathlib import Path

KINDS = frozenset(
    {
        "9p", "afpfs", "afs", "ceph", "cifs", "davfs", "fuse.curlftpfs", "fuse.davfs2",
        "fuse.glusterfs", "fuse.rclone", "fuse.s3fs", "fuse.sshfs", "glusterfs", "gpfs", "lustre",
        "ncpfs", "nfs", "nfs4", "smb3", "smbfs", "sshfs", "vboxsf", "webdav",
    }
)  # fmt: skip
"""Kinds of file system that other machines share (as Linux names them; common practice)."""

_MOUNTS = Path("/proc/mounts")


def network_of(path: Path) -> str | None:
    """The kind of network `path` lies on; None on a disk of its own, and where nobody can say."""
    try:
        mounts = _MOUNTS.read_text(encoding="utf-8", errors="replace")
        return network_among(mounts, str(path.resolve()))
    except (OSError, ValueError, RuntimeError):
        return None


def network_among(mounts: str, path: str) -> str | None:
    """The same, from the text of a table of mounts: the innermost that holds `path` decides.

    Its lines are those of proc(5): device, folder and kind; odd letters of the folder are octal.
    """
    innermost, found = "", ""
    for line in mounts.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        folder, kind = _plain(fields[1]).rstrip("/"), fields[2]
        # Of two mounts in one place the later one covers the earlier.
        if f"{path}/".startswith(f"{folder}/") and len(folder) >= len(innermost):
            innermost, found = folder, kind
    return found if found in KINDS else None


def _plain(folder: str) -> str:
    return re.sub(r"\\([0-7]{3})", lambda octal: chr(int(octal[1], 8)), folder)
