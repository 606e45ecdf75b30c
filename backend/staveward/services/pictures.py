"""A file that somebody sent becomes a picture of ours: looked into, turned upright, made smaller, and bare of notes.

What a camera writes beside the picture (where it was taken, when, by which device) never reaches the disk, since only
the pixels are taken over.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from dataclasses import dataclass

from PIL import Image, ImageCms, ImageOps

from staveward.services.errors import FieldProblem, Impossible

LONGEST_PX = 1600
SMALL_PX = 320
# More than any phone's camera makes; a small file can claim to hold far more than memory does.
MOST_PIXELS = 60_000_000
QUALITY = 82
FORMATS = ("JPEG", "PNG", "WEBP")
ALLOWED = "a photo as JPEG, PNG or WebP"


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it is kept: two JPEG files without a note, and the larger one's size."""

    whole: bytes
    small: bytes
    width_px: int
    height_px: int

    @property
    def sha256(self) -> str:
        """What the picture is known by."""
        return hashlib.sha256(self.whole).hexdigest()


def picture_made(sent: bytes) -> Picture:
    """Reads what was sent, by its content and not by its name, or refuses it as no photo."""
    try:
        with warnings.catch_warnings():
            # Pillow only warns of a picture that would fill the memory.
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            upright = _upright(sent)
    except Impossible:
        raise
    except Exception as error:
        # Its readers raise whatever they stumble over: each of them means that this is no whole picture.
        raise _refused(sent, "This is no photo, or not a whole one.") from error
    whole = ImageOps.contain(upright, _fitting(upright, LONGEST_PX), Image.Resampling.LANCZOS)
    small = ImageOps.contain(whole, _fitting(whole, SMALL_PX), Image.Resampling.LANCZOS)
    return Picture(_jpeg(whole), _jpeg(small), whole.width, whole.height)


def _upright(sent: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(sent), formats=FORMATS)
    if image.width * image.height > MOST_PIXELS:
        raise _refused(
            sent, f"The photo is {image.width} by {image.height} pixels; {MOST_PIXELS:,} are read at most."
        )
    image.load()
    upright: Image.Image = ImageOps.exif_transpose(image)
    profile = image.info.get("icc_profile")
    if upright.mode in ("RGBA", "LA", "PA", "P"):
        # A clear ground would turn black.
        upright = upright.convert("RGBA")
        ground = Image.new("RGBA", upright.size, "white")
        return Image.alpha_composite(ground, upright).convert("RGB")
    return _in_srgb(upright, profile)


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Takes the colours of a camera's own space over, since its profile does not stay with the picture."""
    if profile and image.mode in ("RGB", "L", "CMYK"):
        try:
            found = ImageCms.profileToProfile(
                image,
                ImageCms.ImageCmsProfile(io.BytesIO(profile)),
                ImageCms.createProfile("sRGB"),
                outputMode="RGB",
            )
            if found is not None:
                return found
        except (ImageCms.PyCMSError, OSError):
            # A broken profile costs a shade of colour, not the photo.
            pass
    return image.convert("RGB")


def _fitting(image: Image.Image, longest_px: int) -> tuple[int, int]:
    """The box it must fit into; a picture is never made larger."""
    most = min(longest_px, max(image.size))
    return most, most


def _jpeg(image: Image.Image) -> bytes:
    # Only the pixels: a fresh image carries no notes of the old one.
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    written = io.BytesIO()
    bare.save(written, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return written.getvalue()


def _refused(sent: bytes, detail: str) -> Impossible:
    return Impossible(
        detail,
        code="not_a_photo",
        fields=[FieldProblem("photo", f"{len(sent)} bytes", ALLOWED, detail)],
    )
