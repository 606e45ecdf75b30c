"""Ids as devices make them."""

from __future__ import annotations

import secrets
import time


def uuid7() -> str:
    """Returns an id as a device makes it (RFC 9562, section 5.7): 48 bits of time, the rest random."""
    milliseconds = time.time_ns() // 1_000_000
    number = (milliseconds << 80) | secrets.randbits(80)
    number = (number & ~(0xF << 76)) | (0x7 << 76)
    number = (number & ~(0x3 << 62)) | (0x2 << 62)
    text = f"{number:032x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"
