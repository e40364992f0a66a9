"""A decoded picture in sRGB, pixel by pixel: nothing here lets one pixel depend on another."""

import io

from PIL import Image, ImageCms

_SPACES = {"RGB": "RGB", "CMYK": "CMYK", "L": "GRAY"}


def in_srgb(image: Image.Image) -> Image.Image:
    """The picture in RGB: 16 bits are scaled, not clipped; what is transparent becomes white.

    A colour profile in the file is applied, so that nothing has to be passed on with the pixels; one that cannot be
    used, or that belongs to other channels than the picture has, is left aside.
    """
    profile = image.info.get("icc_profile")
    plain = _plain(image)
    if isinstance(profile, bytes) and plain.mode in _SPACES:
        converted = _by_profile(plain, profile)
        if converted is not None:
            return converted
    return plain if plain.mode == "RGB" else plain.convert("RGB")


def _plain(image: Image.Image) -> Image.Image:
    """The picture without transparency, palette or depth: RGB, CMYK or grey."""
    if image.mode.startswith("I"):
        return image.convert("I").point(lambda level: level * (1 / 257)).convert("L")
    if image.mode in ("RGBA", "LA", "PA", "RGBa", "La") or "transparency" in image.info:
        layer = image.convert("RGBA")
        white = Image.new("RGBA", layer.size, "white")
        white.alpha_composite(layer)
        return white.convert("RGB")
    return image if image.mode in _SPACES else image.convert("RGB")


def _by_profile(image: Image.Image, data: bytes) -> Image.Image | None:
    """The picture by its own profile, or None if that is sRGB already or of no use."""
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(data))
        if profile.profile.xcolor_space.strip() != _SPACES[image.mode]:
            return None
        if "sRGB" in ImageCms.getProfileDescription(profile):
            return None
        return ImageCms.profileToProfile(image, profile, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, ImportError, OSError, ValueError):
        return None
