"""Tag codes: five characters and an ISO/IEC 7064 MOD 37,36 check character."""

from __future__ import annotations

import secrets

from stdnum.iso7064 import mod_37_36

from staveward.models import Barrel, Club
from staveward.services.errors import Impossible

# Without 0 O 1 I: a code is read off a damp tag by lamplight.
ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
LENGTH = 5


def tag_code_new(club: Club) -> str:
    """Returns a code that no barrel of the club carries."""
    taken = set(Barrel.objects.for_club(club).values_list("tag_code", flat=True))
    while True:
        stem = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
        code = stem + mod_37_36.calc_check_digit(stem)
        if code not in taken:
            return code


def tag_code_checked(text: str) -> str:
    """Returns the code in its printed form, or refuses one whose check character is wrong."""
    code = text.strip().upper().replace("-", "").replace(" ", "")
    if not mod_37_36.is_valid(code) or len(code) != LENGTH + 1:
        raise Impossible.field(
            "tag_code",
            text,
            "five characters and their check character",
            f"{text!r} is not a tag code: its check character does not fit. Read it once more.",
        )
    return code
