"""Whether to reduce in codes or in linear light, and which kernel to enlarge with: the figures.

    python tests/bench/resampling.py

Prints a table; nothing here is timed by CI. Pictures: the photographs in scikit-image.
"""

import numpy as np
import pyvips
import skimage.data

from proofs.lengths import PixelSize
from proofs.outside.pixels.colour import cielab
from proofs.outside.pixels.colour.linear_light import to_16_bits
from proofs.outside.pixels.colour.spaces import SRGB, linear_to_srgb, rgb_to_xyz, srgb_to_linear
from proofs.outside.pixels.resize.resampling import resampled
from proofs.outside.pixels.vips import image_of_codes

PICTURES = {name: getattr(skimage.data, name)() for name in ("astronaut", "chelsea", "coffee")}
KERNELS = ("bilinear", "bicubic", "lbb", "nohalo", "vsqbs")


def picture_of(codes: np.ndarray) -> pyvips.Image:
    """Return codes from 0 to 1 as a 16-bit image."""
    return pyvips.Image.new_from_array(np.rint(codes * 65535).astype(np.uint16))


def reduced(codes: np.ndarray, size: PixelSize, *, linear: bool) -> np.ndarray:
    """Return codes reduced directly, or by way of linear light."""
    given = srgb_to_linear(codes) if linear else codes
    result = resampled(picture_of(given), size) / 65535
    return linear_to_srgb(result) if linear else result


def lightness(codes: np.ndarray) -> np.ndarray:
    """Return the L* of sRGB codes."""
    return cielab.from_xyz(srgb_to_linear(codes) @ rgb_to_xyz(SRGB).T)[..., 0]


def decibels(error: np.ndarray) -> float:
    """Return the peak signal-to-noise ratio of an error in 8-bit codes."""
    return float(10 * np.log10(255**2 / np.mean(error**2)))


def linear_or_not() -> None:
    """Print the effect of reducing in codes and in light on tone and edges."""
    print(
        "reducing               mean L*: asked, in codes, in light   rms to the asked: codes, light"
    )
    for name, picture in PICTURES.items():
        for factor in (2, 4):
            height, width = (side // factor * factor for side in picture.shape[:2])
            codes = picture[:height, :width] / 255
            size = PixelSize(width // factor, height // factor)
            light = srgb_to_linear(codes).reshape(size.height, factor, size.width, factor, 3)
            asked = lightness(linear_to_srgb(light.mean(axis=(1, 3))))
            both = [lightness(reduced(codes, size, linear=choice)) for choice in (False, True)]
            rms = [float(np.sqrt(np.mean((one - asked) ** 2))) for one in both]
            means = [asked.mean(), *(one.mean() for one in both)]
            print(
                f"{name:10s} 1/{factor}            ",
                *(f"{mean:7.2f}" for mean in means),
                "   ",
                *(f"{value:.2f}" for value in rms),
            )
    for low, high in ((0.0, 1.0), (0.2, 0.8), (0.05, 0.5)):
        edge = np.full((40, 403, 3), low)
        edge[:, 201:] = high
        for choice in (False, True):
            small = lightness(reduced(edge, PixelSize(134, 13), linear=choice))[6]
            below = lightness(edge)[0, 0] - small.min()
            above = small.max() - lightness(edge)[0, -1]
            kind = "light" if choice else "codes"
            halo = f"halo {below:5.2f} L* darker, {above:5.2f} lighter"
            print(f"edge {low}-{high} 1/3 in {kind}: {halo}")


def kernels() -> None:
    """Print how near each kernel comes to a photograph that is reduced and enlarged again."""
    for name, picture in PICTURES.items():
        for factor in (1.5, 2.0):
            height, width = picture.shape[:2]
            small = PixelSize(round(width / factor), round(height / factor))
            image = to_16_bits(pyvips.Image.new_from_array(picture))
            little = image_of_codes(resampled(image, small))
            ours = resampled(little, PixelSize(width, height)) / 257 - picture
            row = [f"{name} x{factor}:", f"Lanczos-3 {decibels(ours):.2f}"]
            for kernel in KERNELS:
                across, down = width / small.width, height / small.height
                large = little.cast("float").affine(
                    [across, 0, 0, down],
                    interpolate=pyvips.Interpolate.new(kernel),
                    idx=0.5 * (1 - 1 / across),
                    idy=0.5 * (1 - 1 / down),
                    extend="copy",
                    oarea=[0, 0, width, height],
                )
                error = np.clip(large.numpy() / 257, 0, 255) - picture
                row.append(f"{kernel} {decibels(error):.2f}")
            print("  ".join(row), "dB")


if __name__ == "__main__":
    linear_or_not()
    kernels()
