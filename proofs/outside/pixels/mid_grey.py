"""How light a picture is, and what becomes of mid grey on its way to the finished file."""

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import curves, vips
from proofs.outside.pixels.base import Base
from proofs.outside.pixels.colour import variant_image
from proofs.outside.pixels.encoding import encoded
from proofs.outside.pixels.grey_route import lab_of_tones, name_of
from proofs.outside.pixels.icc import Floats
from proofs.outside.pixels.lightness import deepened, lab_of, lightness_of, xyz_of
from proofs.outside.pixels.targets import lab_profile, target_of
from proofs.plan.tones.tone import MID_LIGHTNESS, density
from proofs.records.labs import Lab

_RAMP = 4097  # codes; between two of them L* is straight to a millionth
_PATCH_PX = 32  # whole blocks of a JPEG


def lightness_map(base: Base, lab: Lab) -> NDArray[np.float32]:
    """Return the L* of every pixel of a base, as the tone curve finds it on the way to a lab."""
    vips.ready()
    tones = lightness_in(base.image, base.profile)
    if base.black and target_of(lab).deepens:
        neutral = np.stack([tones, np.zeros_like(tones), np.zeros_like(tones)], axis=-1)
        tones = lab_of(deepened(xyz_of(neutral), base.black))[..., 0]
    return tones.astype(np.float32)


def mid_grey_reached(base: Base, lab: Lab, change: float) -> float:
    """Return by how much density the route of a picture moves mid grey.

    A patch of L* 50 in the picture's own encoding goes through tone curve, lab space and the
    lab's encoder and is read back; the result is its density there less that of L* 50.
    """
    vips.ready()
    patch = _patch(base, lab)
    before = float(lightness_map(patch, lab)[0, 0])
    file = encoded(variant_image(patch, lab, change), lab)
    image = pyvips.Image.new_from_buffer(file, "")
    after = lightness_in(image, lab_profile(lab))
    return density(float(after.mean())) - density(before)


def _patch(base: Base, lab: Lab) -> Base:
    """A patch of the grey, among those of equal channels, that is nearest to L* 50."""
    codes = np.rint(np.linspace(0, 65535, _RAMP)).astype(np.uint16)
    tones = lightness_map(_filled(base, codes[None, :]), lab)[0]
    code = round(float(np.interp(MID_LIGHTNESS, tones, codes)))
    return _filled(base, np.full((_PATCH_PX, _PATCH_PX), code, np.uint16))


def _filled(base: Base, codes: NDArray[np.uint16]) -> Base:
    bands = base.image.bands
    image = pyvips.Image.new_from_array(
        np.repeat(codes[..., None], bands, axis=2), interpretation=name_of(bands, 16)
    )
    return Base(image, base.profile, base.black)


def lightness_in(image: pyvips.Image, profile: bytes) -> Floats:
    """Return the L* of every pixel of a picture of 8 or 16 bits, from its profile's white."""
    vips.ready()
    codes, most = image.numpy(), 65535 if image.format == "ushort" else 255
    if image.bands == 1:
        steps = np.linspace(0, 65535, most + 1).astype(int)
        return np.asarray(lab_of_tones(profile)[:, 0][steps][codes.reshape(codes.shape[:2])])
    model = curves.matrix_model(profile)
    if model is None:
        file = vips.profile_file(profile)
        lab = image.icc_import(input_profile=file, intent="relative", pcs="lab")
        return np.asarray(lab.numpy()[..., 0], dtype=np.float64)
    # A table a channel: a power for every pixel of a picture took a second (measured).
    ramp = np.linspace(0, 1, most + 1)
    shares = model.light(np.repeat(ramp[:, None], 3, axis=1)) * model.to_xyz[1]
    y = sum(shares[:, channel][codes[..., channel]] for channel in range(3))
    return lightness_of(np.asarray(y))
